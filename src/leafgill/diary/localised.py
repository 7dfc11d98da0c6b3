"""Entries from the tank's wall clock to real time."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

import numpy as np

from leafgill.diary.entry import Entry
from leafgill.diary.finding import Finding, warning
from leafgill.diary.times import write_time
from leafgill.diary.wall import localise, to_epoch, wall_seconds
from leafgill.tank.clock import zone

_SAYS = {
    "skipped-hour": "falls in the hour the clocks skip; moved later by it",
    "repeated-hour": "falls in the hour the clocks repeat; taken as the first of the two",
}


def localised_entries(entries: Sequence[Entry], timezone: str) -> tuple[list[Entry], list[Finding]]:
    """Return the entries with aware times in `timezone`, and findings about clock changes.

    Raises InputError for an unknown time zone.
    """
    there = zone(timezone)
    naive = [entry for entry in entries if entry.time.tzinfo is None]
    walls = np.array([int(wall_seconds(entry.time)) for entry in naive], dtype=np.int64)
    times_s, skipped, repeated = to_epoch(walls, timezone)
    moved = iter(times_s.tolist())
    result = []
    for entry in entries:
        if entry.time.tzinfo is not None:
            when = entry.time.astimezone(there)
        else:
            when = datetime.fromtimestamp(next(moved), there)
            when = when.replace(microsecond=entry.time.microsecond)
        drawn = None if entry.drawn is None else localise(entry.drawn, timezone)
        result.append(entry.at(when, drawn))
    found = []
    for kind, marks in (("skipped-hour", skipped), ("repeated-hour", repeated)):
        for index in np.flatnonzero(marks):
            entry = naive[index]
            message = f"{entry.kind} at {write_time(entry.time)} {timezone} {_SAYS[kind]}"
            found.append(warning(kind, message, entry.line, time=entry.time))
    return result, found
