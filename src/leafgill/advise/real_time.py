"""Hours that pass, whatever the clock on the wall does.

Adding hours to an aware datetime moves the wall clock, and the difference of two counts what it
showed: in the night the clocks change both are an hour off.
"""

from __future__ import annotations

from datetime import datetime


def after(at: datetime, hours: float) -> datetime:
    """Return the moment so many hours after an aware one (before it, where negative)."""
    return datetime.fromtimestamp(at.timestamp() + 3600.0 * hours, at.tzinfo)


def hours_from(first: datetime, second: datetime) -> float:
    """Return the hours that pass from one aware moment to another [h]."""
    return (second.timestamp() - first.timestamp()) / 3600.0


def later(*moments: datetime) -> datetime:
    """Return the last of some aware moments."""
    return max(moments, key=datetime.timestamp)


def sooner(*moments: datetime) -> datetime:
    """Return the first of some aware moments."""
    return min(moments, key=datetime.timestamp)
