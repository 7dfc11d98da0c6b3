"""When work is due, by the days of the tank's clock."""

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from leafgill.advise.care import State, done_words, due

BERLIN = ZoneInfo("Europe/Berlin")
NOW = datetime(2025, 3, 8, 12, 10, tzinfo=BERLIN)


@pytest.mark.parametrize(
    ("ago", "every", "state", "words"),
    [
        (None, 7, State.NEVER, "not done yet; do it when you can"),
        (timedelta(days=8), 7, State.OVERDUE, "overdue by 1 day"),
        (timedelta(days=30), 7, State.OVERDUE, "overdue by 23 days"),
        (timedelta(days=7), 7, State.TODAY, "due today"),
        (timedelta(days=6), 7, State.SOON, "due tomorrow"),
        (timedelta(days=1), 7, State.LATER, "due in 6 days, Fri 14 Mar"),
    ],
)
def test_a_task_is_due_by_the_days_of_the_tanks_clock(ago, every, state, words):
    last = None if ago is None else NOW - ago
    found = due(every, last, NOW)
    assert (found.state, found.words) == (state, words)


def test_days_are_those_of_the_tanks_zone_and_not_of_greenwich():
    # 23:30 on the 1st in Greenwich is the 2nd in Berlin
    last = datetime(2025, 3, 1, 23, 30, tzinfo=ZoneInfo("UTC"))
    assert due(7, last, NOW).words == "due tomorrow"


def test_an_hour_lost_to_the_clocks_moves_no_day():
    last = datetime(2025, 3, 29, 0, 30, tzinfo=BERLIN)
    assert due(1, last, datetime(2025, 3, 30, 23, 50, tzinfo=BERLIN)).words == "due today"


def test_when_it_was_done_is_told_in_words():
    assert done_words(None, NOW) == "never"
    assert done_words(NOW - timedelta(hours=2), NOW) == "today"
    assert done_words(NOW - timedelta(hours=13), NOW) == "yesterday"
    assert done_words(NOW - timedelta(days=3), NOW) == "3 days ago, Wed 5 Mar"
    assert done_words(NOW - timedelta(days=100), NOW) == "100 days ago, Thu 28 Nov 2024"
