"""Figures and moments in words."""

from datetime import datetime
from types import SimpleNamespace
from zoneinfo import ZoneInfo

import pytest

from leafgill.answer import figures
from leafgill.cli.moment import parse_now
from leafgill.errors import InputError

NOW = datetime(2025, 3, 8, 12, 10, tzinfo=ZoneInfo("Europe/Lisbon"))


def belief(mean, low, high):
    return SimpleNamespace(mean=mean, low=low, high=high)


@pytest.mark.parametrize(
    ("value", "said"),
    [(24.4, "24"), (99.6, "100"), (9.96, "10"), (9.94, "9.9"), (6.31, "6.3"), (0.996, "1.0"),
     (0.42, "0.42"), (0.0, "0.00"), (-3.2, "-3.2")],
)  # fmt: skip
def test_levels_carry_as_many_digits_as_they_are_worth(value, said):
    assert figures.level(value) == said


def test_an_interval_has_its_unit_once():
    assert figures.interval(belief(24.2, 19.8, 28.4)) == "24 mg/L, 20 to 28"
    assert figures.interval(belief(3.51, 3.02, 3.98), "dKH") == "3.5 dKH, 3.0 to 4.0"
    assert figures.interval(belief(6.618, 6.5, 6.749), "pH") == "pH 6.62, 6.50 to 6.75"


@pytest.mark.parametrize(
    ("part", "said"), [(0.0, "under 1 %"), (0.0099, "under 1 %"), (0.123, "12 %"),
                       (0.99, "99 %"), (0.995, "over 99 %")],
)  # fmt: skip
def test_chances(part, said):
    assert figures.chance(part) == said


@pytest.mark.parametrize(
    ("when", "said"),
    [("2025-03-08T14:30", "today 14:30"), ("2025-03-09T09:00", "tomorrow 09:00"),
     ("2025-03-07T23:59", "yesterday 23:59"), ("2025-03-14T09:00", "Fri 14 Mar 09:00"),
     ("2024-03-14T09:00", "Thu 14 Mar 2024 09:00")],
)  # fmt: skip
def test_moments_are_said_from_now(when, said):
    assert figures.moment(datetime.fromisoformat(when).replace(tzinfo=NOW.tzinfo), NOW) == said


def test_a_moment_is_said_by_the_tanks_clock():
    there = datetime(2025, 3, 8, 23, 30, tzinfo=ZoneInfo("UTC"))
    now = datetime(2025, 3, 8, 12, 0, tzinfo=ZoneInfo("Europe/Berlin"))
    assert figures.moment(there, now) == "tomorrow 00:30"


def test_what_json_cannot_hold_is_null():
    value = {"a": float("nan"), "b": [float("inf"), 1.23456789], "c": (NOW, None, True)}
    assert figures.plain(value) == {
        "a": None,
        "b": [None, 1.23457],
        "c": ["2025-03-08T12:10:00+00:00", None, True],
    }


def test_now_is_taken_by_the_tanks_clock():
    assert parse_now("2025-07-08T12:10", "Europe/Berlin").isoformat() == "2025-07-08T12:10:00+02:00"


def test_now_with_an_offset_is_that_moment():
    when = parse_now("2025-07-08T12:10Z", "Europe/Berlin")
    assert when.isoformat() == "2025-07-08T14:10:00+02:00"


def test_without_now_it_is_the_present():
    before = datetime.now(ZoneInfo("UTC")).replace(microsecond=0)
    when = parse_now(None, "Asia/Kolkata")
    assert before <= when <= datetime.now(ZoneInfo("UTC"))
    assert when.utcoffset().total_seconds() == 5.5 * 3600


@pytest.mark.parametrize("text", ["soon", "2025-03-32", "3025-01-01T00:00", "0001-01-01T00:00"])
def test_a_now_that_cannot_be_meant_is_refused(text):
    with pytest.raises(InputError, match="--now"):
        parse_now(text, "UTC")
