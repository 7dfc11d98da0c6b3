"""Times as a diary file has them: by the tank's clock, with an offset where that is not enough."""

from __future__ import annotations

from collections.abc import Iterable

from leafgill.diary import Entry
from leafgill.diary.wall import localise


def by_the_clock(entries: Iterable[Entry]) -> list[Entry]:
    """Return aware entries in wall time, so that a spreadsheet shows what the tank's clock showed.

    In the hour that comes twice the second pass keeps its offset; it reads back as that moment.
    """
    return [_by_the_clock(entry) for entry in entries]


def _by_the_clock(entry: Entry) -> Entry:
    zone = getattr(entry.time.tzinfo, "key", "")
    wall = entry.time.replace(tzinfo=None, fold=0)
    # moments, since two times of one zone compare as their clocks do
    if not zone or localise(wall, zone).timestamp() != entry.time.timestamp():
        return entry
    drawn = None if entry.drawn is None else entry.drawn.replace(tzinfo=None, fold=0)
    return entry.at(wall, drawn)
