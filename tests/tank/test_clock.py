from datetime import UTC, datetime, time
from itertools import pairwise

import pytest

from leafgill.errors import InputError
from leafgill.tank.clock import hours_text, nearest_zone, offsets, parse_clock, seconds_of, zone


@pytest.mark.parametrize(
    ("text", "moment"),
    [
        ("08:30", time(8, 30)),
        ("8:30", time(8, 30)),
        ("8.30", time(8, 30)),
        (" 08:30:15 ", time(8, 30, 15)),
        ("8 am", time(8)),
        ("8:30 p.m.", time(20, 30)),
        ("12 AM", time(0)),
        ("12:15 pm", time(12, 15)),
        ("23:59", time(23, 59)),
        ("24:00", time(0)),
    ],
)
def test_times_of_day_as_people_write_them(text, moment):
    assert parse_clock(text) == moment


def test_the_end_of_the_day_is_told_from_its_start_where_asked():
    assert parse_clock("24:00", end_of_day=True) == time.max
    assert (seconds_of(time.max), hours_text(time.max)) == (86400.0, "24:00")


@pytest.mark.parametrize(
    "text",
    ["", "8", "24:01", "25:00", "12:60", "12:30:60", "13 pm", "0 am", "12:3", "noon", "-1:00"],
)
def test_other_text_is_no_time_of_day(text):
    with pytest.raises(InputError, match="accepted: 00:00 to 24:00, as 08:30") as caught:
        parse_clock(text)
    assert f'"{text}"' in str(caught.value)


def test_a_time_is_written_as_short_as_it_may_be():
    assert hours_text(time(8, 5)) == "08:05"
    assert hours_text(time(8, 5, 9)) == "08:05:09"
    assert seconds_of(time(8, 5, 9, 500_000)) == 8 * 3600 + 5 * 60 + 9.5


@pytest.mark.parametrize(
    ("name", "like"),
    [
        ("Berlin", "Europe/Berlin"),
        ("europe/berlin", "Europe/Berlin"),
        ("Europe/Berln", "Europe/Berlin"),
        ("America/Berlin", "Europe/Berlin"),
        ("new york", "America/New_York"),
        ("qqqq", ""),
        ("", ""),
    ],
)
def test_the_nearest_zone(name, like):
    assert nearest_zone(name) == like


@pytest.mark.parametrize(
    "name", ["Mars/Base", "", "../etc/passwd", "/etc/localtime", "Europe", "a\0b"]
)
def test_an_unknown_zone_is_refused(name):
    with pytest.raises(InputError, match="accepted: a name such as Europe/Berlin or UTC"):
        zone(name)


def epoch(*when):
    return datetime(*when, tzinfo=UTC).timestamp()


@pytest.mark.parametrize(
    ("name", "turn", "before_h", "after_h"),
    [
        ("Europe/Berlin", (2025, 3, 30, 1), 1.0, 2.0),
        ("Europe/Berlin", (2025, 10, 26, 1), 2.0, 1.0),
        ("America/New_York", (2025, 3, 9, 7), -5.0, -4.0),
        ("America/New_York", (2025, 11, 2, 6), -4.0, -5.0),
        ("Australia/Lord_Howe", (2025, 4, 5, 15), 11.0, 10.5),
        ("Australia/Lord_Howe", (2025, 10, 4, 15, 30), 10.5, 11.0),
    ],
)
def test_a_clock_change_is_found_to_the_second(name, turn, before_h, after_h):
    # the turns are those of the IANA time zone database
    at = epoch(*turn)
    start, end = at - 5 * 86400.0 - 0.25, at + 3 * 86400.0 + 17.5
    assert list(offsets(start, end, name)) == [
        (start, at, before_h * 3600.0),
        (at, end, after_h * 3600.0),
    ]


def test_a_change_next_to_the_ends_is_not_missed_nor_passed():
    at = epoch(2025, 3, 30, 1)
    assert list(offsets(at - 1.0, at, "Europe/Berlin")) == [(at - 1.0, at, 3600.0)]
    assert list(offsets(at, at + 1.0, "Europe/Berlin")) == [(at, at + 1.0, 7200.0)]
    assert list(offsets(at - 0.5, at + 0.5, "Europe/Berlin")) == [
        (at - 0.5, at, 3600.0),
        (at, at + 0.5, 7200.0),
    ]
    assert list(offsets(at, at, "Europe/Berlin")) == []


def test_a_year_of_berlin_has_three_stretches():
    tiles = list(offsets(epoch(2025, 1, 1), epoch(2026, 1, 1), "Europe/Berlin"))
    assert [offset for _, _, offset in tiles] == [3600.0, 7200.0, 3600.0]
    assert all(a[1] == b[0] for a, b in pairwise(tiles))
