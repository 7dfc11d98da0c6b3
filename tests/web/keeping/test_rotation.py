from datetime import UTC, datetime, timedelta

import pytest

from leafgill.web.keeping.rotation import Keep, superfluous

BEGIN = datetime(2024, 1, 1, 3, 10, tzinfo=UTC)
DAY = timedelta(days=1)


def after_days(count, keep, every=DAY):
    """Return what is there when a backup was made each day, and rotated each time."""
    there = []
    for number in range(count):
        there.append(BEGIN + number * every)
        gone = superfluous(there, keep)
        there = [at for at in there if at not in gone]
    return there


def test_a_week_of_days_a_month_of_weeks_a_year_of_months_are_kept():
    there = after_days(3 * 366, Keep(days=7, weeks=5, months=12))
    last = BEGIN + (3 * 366 - 1) * DAY
    assert there[-7:] == [last - n * DAY for n in range(6, -1, -1)]
    weeks = {at.isocalendar()[:2] for at in there}
    months = {(at.year, at.month) for at in there}
    for back in range(5):
        assert (last - back * timedelta(weeks=1)).isocalendar()[:2] in weeks
    expected = {((last.year * 12 + last.month - 1 - n) // 12, (last.month - 1 - n) % 12 + 1)
                for n in range(12)}  # fmt: skip
    assert months == expected
    assert len(there) <= 7 + 5 + 12


def test_of_a_month_that_is_over_its_last_day_stays():
    there = after_days(400, Keep(days=2, weeks=1, months=3))
    # day 400 from 1 January 2024 on is 3 February 2025
    days = [f"{at:%Y-%m-%d}" for at in there]
    assert days == ["2024-12-31", "2025-01-31", "2025-02-02", "2025-02-03"]


def test_the_newest_always_stays():
    assert superfluous([BEGIN], Keep(0, 0, 0)) == []
    assert superfluous([BEGIN, BEGIN + DAY], Keep(0, 0, 0)) == [BEGIN]
    assert superfluous([]) == []


def test_whoever_comes_back_after_a_year_finds_what_there_was():
    old = [BEGIN + n * DAY for n in range(7)]
    back = BEGIN + timedelta(days=400)
    assert superfluous([*old, back], Keep(days=8, weeks=0, months=0)) == []


def test_of_several_on_one_day_the_last_stays():
    there = [BEGIN + timedelta(hours=n) for n in range(20)]
    assert superfluous(there, Keep(days=7, weeks=5, months=12)) == there[:-1]


@pytest.mark.parametrize(
    ("keep", "count"), [(Keep(3, 0, 0), 3), (Keep(0, 3, 0), 3), (Keep(0, 0, 3), 3)]
)
def test_each_period_counts_for_itself(keep, count):
    assert len(after_days(200, keep)) == count
