"""When an alert is to be told: once, danger again and again until it is seen."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, time, timedelta

from leafgill.answer.alerts import NOW, URGENCIES

# Danger is told again after this, then after twice as long each time, up to the most.
FIRST_GAP, MOST_GAP = timedelta(minutes=10), timedelta(hours=4)
# A way that failed is tried again after this, then later each time, up to the most.
FIRST_RETRY, MOST_RETRY = timedelta(minutes=1), timedelta(hours=1)


@dataclass(frozen=True, slots=True)
class Before:
    """How an alert was told by a channel so far: how often, when last, how urgent it was then."""

    count: int
    at: datetime
    urgency: str


def is_due(
    urgency: str, before: Before | None, snoozed_until: datetime | None, now: datetime, quiet: bool
) -> bool:
    """Return whether an open alert is to be told by a channel now.

    `quiet` says that its keeper has quiet hours; danger does not heed them.
    """
    if quiet and urgency != NOW:
        return False
    if before is None or _worse(urgency, before.urgency):
        return True
    if snoozed_until is not None and before.at < snoozed_until <= now:
        return True
    return urgency == NOW and now - before.at >= gap_after(before.count)


def _worse(urgency: str, than: str) -> bool:
    return URGENCIES.index(urgency) < URGENCIES.index(than)


def gap_after(count: int) -> timedelta:
    """Return how long danger that was told so often, 1 or more, is left before it is told again."""
    gap: timedelta = FIRST_GAP * int(2 ** min(count - 1, 20))
    return min(gap, MOST_GAP)


def retry_after(failures: int) -> timedelta:
    """Return how long a channel that failed so often in a row, 1 or more, is left alone."""
    pause: timedelta = FIRST_RETRY * int(2 ** min(failures - 1, 20))
    return min(pause, MOST_RETRY)


def is_quiet(start: time | None, end: time | None, clock: time) -> bool:
    """Return whether a time of day lies in quiet hours, which may run over midnight."""
    if start is None or end is None or start == end:
        return False
    if start < end:
        return start <= clock < end
    return clock >= start or clock < end
