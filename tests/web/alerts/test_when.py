"""When an alert is told: once, danger again and again, and quiet hours between."""

from datetime import time, timedelta

import pytest

from leafgill.web.alerts.when import Before, gap_after, is_due, is_quiet, retry_after


@pytest.fixture
def now(facts):
    return facts().now


def minutes(count):
    return timedelta(minutes=count)


def test_what_is_new_is_told_at_once_but_for_quiet_hours(now):
    for urgency, told_in_quiet in (("now", True), ("today", False), ("look", False)):
        assert is_due(urgency, None, None, now, False)
        assert is_due(urgency, None, None, now, True) is told_in_quiet


def test_what_was_told_is_not_told_again_unless_it_is_danger(now):
    long_ago = Before(1, now - timedelta(days=3), "today")
    assert not is_due("today", long_ago, None, now, False)
    assert not is_due("look", long_ago, None, now, False)
    danger = Before(1, now - minutes(10), "now")
    assert is_due("now", danger, None, now, True)
    assert not is_due("now", Before(1, now - minutes(9), "now"), None, now, False)


def test_what_grows_worse_is_told_again_at_once(now):
    assert is_due("now", Before(3, now, "today"), None, now, True)
    assert is_due("today", Before(3, now, "look"), None, now, False)
    assert not is_due("look", Before(1, now - minutes(60), "now"), None, now, False)


def test_danger_is_told_with_a_growing_gap():
    assert [gap_after(n) // minutes(1) for n in (1, 2, 3, 4, 5, 6, 7, 400)] == [
        10, 20, 40, 80, 160, 240, 240, 240
    ]  # fmt: skip


def test_what_was_put_off_is_told_once_more_afterwards(now):
    before = Before(1, now - minutes(70), "today")
    assert is_due("today", before, now - minutes(10), now, False)
    assert not is_due("today", before, now - minutes(10), now, True)
    assert not is_due("today", Before(2, now - minutes(5), "today"), now - minutes(10), now, False)


def test_a_way_that_fails_is_tried_later_each_time():
    assert [retry_after(n) // minutes(1) for n in (1, 2, 3, 6, 7, 500)] == [1, 2, 4, 32, 60, 60]


@pytest.mark.parametrize(
    ("start", "end", "clock", "quiet"),
    [
        ("22:00", "07:00", "21:59", False),
        ("22:00", "07:00", "22:00", True),
        ("22:00", "07:00", "00:30", True),
        ("22:00", "07:00", "06:59", True),
        ("22:00", "07:00", "07:00", False),
        ("01:00", "05:00", "00:59", False),
        ("01:00", "05:00", "01:00", True),
        ("01:00", "05:00", "05:00", False),
        ("08:00", "08:00", "08:00", False),
    ],
)
def test_quiet_hours_may_run_over_midnight(start, end, clock, quiet):
    assert is_quiet(*map(time.fromisoformat, (start, end, clock))) is quiet


def test_without_quiet_hours_it_is_never_quiet():
    assert not is_quiet(None, None, time(3))
    assert not is_quiet(time(22), None, time(23))
