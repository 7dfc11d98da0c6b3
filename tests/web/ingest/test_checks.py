import numpy as np
import pytest

from leafgill.diary import SENSORS
from leafgill.web.ingest.checks import (
    AHEAD,
    CLASH,
    RANGE,
    RATE,
    STUCK,
    UNTRUSTED,
    WORDS,
    Before,
    doubts,
    named,
)

FIRST = 1_741_400_000
NOW_S = FIRST + 10_000_000
NOTHING = Before()


def flags(values, times=None, kind="ph", before=NOTHING, now_s=NOW_S):
    times = FIRST + 60 * np.arange(len(values)) if times is None else np.array(times)
    return doubts(kind, times, np.array(values, float), before, now_s).tolist()


def test_what_water_shows_is_not_doubted():
    assert flags([6.8, 6.81, 6.79, 6.8]) == [0, 0, 0, 0]
    assert flags([]) == []


@pytest.mark.parametrize("kind", SENSORS)
def test_a_sensors_range_holds_its_ends(kind):
    low, high = SENSORS[kind].accepted
    hour_apart = [FIRST, FIRST + 3600, FIRST + 7200, FIRST + 10_800]
    shown = [low, np.nextafter(low, -1e9), high, np.nextafter(high, 1e9)]
    assert flags(shown, hour_apart, kind) == [0, RANGE, 0, RANGE]


def test_one_stray_value_is_one_doubt():
    assert flags([6.8, 6.8, 7.9, 6.81, 6.8]) == [0, 0, RATE, 0, 0]
    # a value that cannot be is no measure for the next
    assert flags([6.8, 0.0, 6.81]) == [0, RANGE, 0]


def test_a_step_that_stays_is_believed_after_five_minutes():
    found = flags([6.8, *[7.4] * 8])
    assert found == [0, RATE, RATE, RATE, RATE, RATE, 0, 0, 0]


def test_readings_far_apart_tell_no_jump():
    assert flags([6.8, 7.4], [FIRST, FIRST + 300]) == [0, RATE]
    assert flags([6.8, 7.4], [FIRST, FIRST + 301]) == [0, 0]


def test_just_the_jump_that_water_makes_is_none():
    jump = SENSORS["temperature"].jump
    assert flags([20.0, 20.0 + jump], kind="temperature") == [0, 0]
    assert flags([20.0, 20.0 + jump + 0.01], kind="temperature") == [0, RATE]


def test_the_first_reading_is_held_against_what_was_there():
    before = Before(trusted=(FIRST - 60, 6.8))
    assert flags([7.4], before=before) == [RATE]
    assert flags([6.9], before=before) == [0]
    assert flags([7.4], before=Before(trusted=(FIRST - 301, 6.8))) == [0]


def test_two_sensors_that_send_as_one_are_told_apart_by_what_was_trusted():
    assert flags([6.8, 7.3] * 4) == [0, RATE] * 4


def test_a_figure_that_never_changes_is_stuck_after_its_hours():
    times = FIRST + 600 * np.arange(40)
    found = flags([6.8] * 40, times)
    # six hours are 36 readings further
    assert found == [0] * 36 + [STUCK] * 4
    assert flags([6.8] * 39 + [6.81], times) == [0] * 36 + [STUCK] * 3 + [0]


def test_a_few_readings_by_hand_are_not_stuck():
    assert flags([6.8] * 29, FIRST + 3600 * np.arange(29)) == [0] * 29
    assert flags([6.8] * 30, FIRST + 3600 * np.arange(30)) == [0] * 29 + [STUCK]


def test_how_long_a_figure_stood_before_counts():
    since = FIRST - 6 * 3600
    before = Before((FIRST - 60, 6.8), 6.8, since, 29)
    assert flags([6.8, 6.8], before=before) == [STUCK, STUCK]
    assert flags([6.8, 6.8], before=Before((FIRST - 60, 6.8), 6.8, since, 28)) == [0, STUCK]
    assert flags([6.8], before=Before((FIRST - 60, 6.8), 6.8, since + 1, 29)) == [0]
    assert flags([6.81, 6.8], before=before) == [0, 0]


def test_later_than_now_is_doubted_beyond_what_clocks_differ_by():
    times = [FIRST, FIRST + 300, FIRST + 301]
    assert flags([6.8, 6.8, 6.8], times, now_s=FIRST) == [0, 0, AHEAD]


def test_doubts_add_up():
    assert flags([50.0], [FIRST + 400], now_s=FIRST) == [RANGE | AHEAD]


def test_every_doubt_has_words_and_a_bit_of_its_own():
    bits = [RANGE, RATE, STUCK, AHEAD, CLASH]
    assert sorted(WORDS) == bits == [1, 2, 4, 8, 16]
    assert named(0) == []
    assert named(RANGE | STUCK) == [WORDS[RANGE], WORDS[STUCK]]
    assert UNTRUSTED & (STUCK | CLASH) == 0
