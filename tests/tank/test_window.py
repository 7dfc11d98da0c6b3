from datetime import UTC, time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from leafgill.errors import InputError
from leafgill.tank.window import NEVER, Window, parse_window

ALL_DAY = Window(time(0), time.max)
times = st.builds(time, st.integers(0, 23), st.integers(0, 59))
windows = st.one_of(st.builds(Window, times, times | st.just(time.max)), st.just(ALL_DAY))
MINUTES = [time(h, m) for h in range(24) for m in range(60)]


@pytest.mark.parametrize(
    ("text", "window"),
    [
        ("08:30-17:30", Window(time(8, 30), time(17, 30))),
        (" 8:30 – 17:30 ", Window(time(8, 30), time(17, 30))),
        ("08.30—17.30", Window(time(8, 30), time(17, 30))),
        ("8:30 am to 5:30 pm", Window(time(8, 30), time(17, 30))),
        ("9am-5pm", Window(time(9), time(17))),
        ("22:00-06:00", Window(time(22), time(6))),
        ("20:00-24:00", Window(time(20), time(0))),
        ("00:00-24:00", ALL_DAY),
        ("24:00-08:00", Window(time(0), time(8))),
        ("08:00-08:00", Window(time(8), time(8))),
        ("off", NEVER),
        ("Never", NEVER),
    ],
)
def test_hours_as_people_write_them(text, window):
    assert parse_window(text) == window


@pytest.mark.parametrize(
    "text", ["", "08:30", "08:30-", "8-17", "08:30-25:00", "08:30-12:00-17:30", "all day", "on"]
)
def test_other_text_is_no_hours(text):
    with pytest.raises(InputError, match="accepted: from-to, as 08:30-17:30, or off"):
        parse_window(text)


@given(windows)
def test_hours_are_written_as_they_are_read(window):
    again = parse_window(str(window))
    assert (again.on, again.hours) == (NEVER.on if window.never else window.on, window.hours)


@given(windows)
def test_length_is_the_minutes_covered(window):
    assert window.hours == pytest.approx(sum(map(window.covers, MINUTES)) / 60)


@given(windows, windows)
def test_overlap_is_the_minutes_covered_by_both(one, other):
    both = sum(one.covers(t) and other.covers(t) for t in MINUTES) / 60
    assert one.overlap_h(other) == pytest.approx(both)
    assert other.overlap_h(one) == pytest.approx(both)


@given(windows)
def test_the_rest_of_the_day_is_all_but_the_window(window):
    assert all(window.covers(t) != window.rest.covers(t) for t in MINUTES)


def test_the_rest_of_an_evening_begins_at_midnight():
    assert Window(time(20), time.max).rest == Window(time(0), time(20))


def test_edges_belong_to_the_start():
    night = Window(time(22), time(6))
    assert [night.covers(time(*t)) for t in ((22, 0), (6, 0), (5, 59), (21, 59))] == [
        True,
        False,
        True,
        False,
    ]


def test_equal_times_are_never_and_the_clock_round_is_told_otherwise():
    assert Window(time(8), time(8)).never
    assert Window(time(8), time(8)).hours == 0.0
    assert not ALL_DAY.never
    assert ALL_DAY.hours == 24.0
    assert str(ALL_DAY) == "00:00-24:00"


def test_a_time_with_a_zone_is_refused():
    with pytest.raises(InputError, match="wall time"):
        Window(time(8, tzinfo=UTC), time(9))
