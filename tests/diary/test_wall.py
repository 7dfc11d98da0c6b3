"""The tank's wall clock through the nights the clocks change."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from leafgill.diary.wall import localise, to_epoch, wall_seconds
from leafgill.errors import InputError

ZONES = ["UTC", "Europe/Vienna", "America/New_York", "Australia/Lord_Howe", "Asia/Kathmandu"]


@given(
    st.lists(st.datetimes(datetime(1995, 1, 1), datetime(2035, 1, 1)), max_size=20),
    st.sampled_from(ZONES),
)
def test_many_times_at_once_agree_with_one_at_a_time(times, timezone):
    walls = np.array([int(wall_seconds(t)) for t in times], dtype=np.int64)
    second = np.array([t.fold == 1 for t in times], dtype=np.bool_)
    epoch, skipped, _ = to_epoch(walls, timezone, second)
    there = ZoneInfo(timezone)
    # an hour that is skipped has no second pass
    folds = [t.fold and not gone for t, gone in zip(times, skipped, strict=True)]
    wanted = [
        int(t.replace(microsecond=0, tzinfo=there, fold=int(fold)).timestamp())
        for t, fold in zip(times, folds, strict=True)
    ]
    assert epoch.tolist() == wanted


@pytest.mark.parametrize(
    ("timezone", "night", "skipped_from", "skipped_to"),
    [
        ("Europe/Vienna", datetime(2025, 3, 30), 120, 180),
        ("America/New_York", datetime(2025, 3, 9), 120, 180),
        ("Australia/Lord_Howe", datetime(2025, 10, 5), 120, 150),
    ],
)
def test_the_hour_the_clocks_skip(timezone, night, skipped_from, skipped_to):
    minutes = np.arange(0, 300, 10)
    walls = int(wall_seconds(night)) + 60 * minutes
    epoch, skipped, repeated = to_epoch(walls, timezone)
    np.testing.assert_array_equal(skipped, (minutes >= skipped_from) & (minutes < skipped_to))
    assert not repeated.any()
    gap = 60 * (skipped_to - skipped_from)
    # a skipped time is moved later by the gap, so it meets the wall time that much on
    first_after = epoch[minutes == skipped_to][0]
    np.testing.assert_array_equal(epoch[skipped] - first_after, 60 * (minutes[skipped] - 120))
    assert epoch[-1] - epoch[0] == walls[-1] - walls[0] - gap


def test_the_hour_the_clocks_repeat():
    minutes = np.arange(0, 300, 10)
    walls = int(wall_seconds(datetime(2025, 10, 26))) + 60 * minutes
    epoch, skipped, repeated = to_epoch(walls, "Europe/Vienna")
    np.testing.assert_array_equal(repeated, (minutes >= 120) & (minutes < 180))
    assert not skipped.any()
    first = datetime(2025, 10, 26, 2, 30, tzinfo=ZoneInfo("Europe/Vienna"))
    assert epoch[minutes == 150][0] == first.timestamp()
    second, _, _ = to_epoch(walls, "Europe/Vienna", np.ones(len(walls), dtype=bool))
    np.testing.assert_array_equal(second - epoch, np.where(repeated, 3600, 0))


def test_one_time():
    vienna = ZoneInfo("Europe/Vienna")
    assert localise(datetime(2025, 3, 30, 2, 30), "Europe/Vienna") == datetime(
        2025, 3, 30, 3, 30, tzinfo=vienna
    )
    moved = localise(datetime(2025, 7, 1, 12, 0, tzinfo=UTC), "Europe/Vienna")
    assert moved.isoformat() == "2025-07-01T14:00:00+02:00"
    assert localise(datetime(2025, 10, 26, 2, 30), "Europe/Vienna").utcoffset() == timedelta(
        hours=2
    )


def test_no_times_are_no_times():
    assert to_epoch(np.empty(0, np.int64), "Europe/Vienna")[0].shape == (0,)


@pytest.mark.parametrize("name", ["Europe/Wien", "", "../etc/passwd", "Mars/Base"])
def test_an_unknown_zone_is_refused(name):
    with pytest.raises(InputError, match=r"timezone .* is not known.*; accepted: a name such as"):
        localise(datetime(2025, 1, 1), name)
    with pytest.raises(InputError, match="is not known"):
        to_epoch(np.empty(0, np.int64), name)
