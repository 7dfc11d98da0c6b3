"""What the doctor found of one thing."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta

FINE, LOOK, BAD = "fine", "look", "bad"


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that was looked at: in order, worth a look, or to be mended before anything else.

    `says` is a sentence or two; of what is not fine it also tells what to do.
    """

    what: str
    state: str
    says: str


def span(time: timedelta) -> str:
    """Return a span as people say it: "40 seconds", "5 minutes", "3 hours", "12 days"."""
    seconds = abs(time.total_seconds())
    for unit, length in (("day", 86_400.0), ("hour", 3_600.0), ("minute", 60.0)):
        if seconds >= 2 * length or (unit == "minute" and seconds >= length):
            return _count(seconds / length, unit)
    return _count(seconds, "second")


def _count(value: float, unit: str) -> str:
    whole = round(value)
    return f"{whole} {unit}" if whole == 1 else f"{whole} {unit}s"
