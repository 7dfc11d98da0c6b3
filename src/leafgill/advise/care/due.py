"""When a task is due, and when it was done, in words by the days of the tank's clock."""

from __future__ import annotations

from datetime import datetime, timedelta
from enum import StrEnum
from typing import NamedTuple


class State(StrEnum):
    """How near a task is to being due."""

    NEVER = "never done"
    OVERDUE = "overdue"
    TODAY = "due today"
    SOON = "soon"
    LATER = "later"


class Due(NamedTuple):
    """When a task is due: its day (None where it was never done), how near, and in words."""

    at: datetime | None
    state: State
    words: str


_SOON_DAYS = 2


def due(every_days: int, last_done: datetime | None, now: datetime) -> Due:
    """Return when a task is due, by the days of `now`'s clock; both times are aware."""
    if last_done is None:
        return Due(None, State.NEVER, "not done yet; do it when you can")
    at = last_done.astimezone(now.tzinfo) + timedelta(days=every_days)
    days = (at.date() - now.date()).days
    if days < 0:
        return Due(at, State.OVERDUE, f"overdue by {_days(-days)}")
    if days == 0:
        return Due(at, State.TODAY, "due today")
    when = "tomorrow" if days == 1 else f"in {_days(days)}, {at:%a} {at.day} {at:%b}"
    return Due(at, State.SOON if days <= _SOON_DAYS else State.LATER, f"due {when}")


def done_words(last_done: datetime | None, now: datetime) -> str:
    """Return when something was done last: "today", "3 days ago, Wed 5 Mar", "never"."""
    if last_done is None:
        return "never"
    there = last_done.astimezone(now.tzinfo)
    days = (now.date() - there.date()).days
    if days <= 0:
        return "today"
    if days == 1:
        return "yesterday"
    year = f" {there.year}" if there.year != now.year else ""
    return f"{_days(days)} ago, {there:%a} {there.day} {there:%b}{year}"


def _days(count: int) -> str:
    return "1 day" if count == 1 else f"{count} days"
