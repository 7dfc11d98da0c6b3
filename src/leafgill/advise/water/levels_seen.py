"""The newest test of each substance in a diary, as levels to begin a reckoning with."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import NamedTuple

from leafgill.advise.water.sources import kit_range, least_off
from leafgill.diary import Diary, Kind
from leafgill.science.cited import Range

# Older tests tell little of today's water (a choice of ours).
FRESH = timedelta(days=30)
# Levels that follow from others, or that a change of water does not carry over.
_NOT_MIXED = ("oxygen",)


class Seen(NamedTuple):
    """Levels [mg/L] by substance, and where each comes from."""

    levels: dict[str, Range]
    origins: dict[str, str]


def levels_seen(diary: Diary, now: datetime) -> Seen:
    """Return the newest test of each substance within 30 days before an aware moment.

    What was done to the water since is not reckoned with; `advise.balance` does that.
    """
    seen = Seen({}, {})
    for entry in diary.until(now).entries:
        if entry.kind is not Kind.TEST or not entry.substance:
            continue
        if entry.substance in _NOT_MIXED or now - entry.time > FRESH:
            continue
        seen.levels[entry.substance] = kit_range(entry.number, least_off(entry.substance))
        seen.origins[entry.substance] = f"diary, {entry.time.day} {entry.time:%B}"
    return seen
