"""From the tank's wall clock to real time, through the nights the clocks change."""

from __future__ import annotations

from datetime import UTC, datetime
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from leafgill.tank.clock import offsets, zone

_DAY_S = 86_400
EPOCH = datetime(1970, 1, 1)


def wall_seconds(when: datetime) -> float:
    """Return the seconds a naive time's clock shows since 1970-01-01T00:00 [s]."""
    return (when - EPOCH).total_seconds()


@lru_cache(maxsize=64)
def _changes(timezone: str, first_day: int, last_day: int) -> tuple[NDArray[np.int64], ...]:
    """Return when [epoch s] the offset changes within the days, and the offsets around it [s]."""
    parts = list(offsets(first_day * _DAY_S, last_day * _DAY_S, timezone))
    moments = np.array([round(start) for start, _, _ in parts[1:]], dtype=np.int64)
    return moments, np.array([round(offset) for _, _, offset in parts], dtype=np.int64)


def to_epoch(
    wall_s: NDArray[np.int64], timezone: str, second_pass: NDArray[np.bool_] | None = None
) -> tuple[NDArray[np.int64], NDArray[np.bool_], NDArray[np.bool_]]:
    """Return real time [epoch s] for wall-clock seconds, with which were skipped and repeated.

    `wall_s` has shape [n]; so have the three results. A time in the hour the clocks skip is moved
    later by the hour skipped; one in the hour they repeat is taken as the first of the two, unless
    `second_pass` marks it as the second. Raises InputError for an unknown time zone.
    """
    nobody = np.zeros(wall_s.shape, dtype=np.bool_)
    zone(timezone)
    if not wall_s.size:
        return wall_s.astype(np.int64), nobody, nobody
    first = int(wall_s.min()) // _DAY_S - 2
    last = int(wall_s.max()) // _DAY_S + 3
    moments, shifts = _changes(timezone, first, last)
    before, after = moments + shifts[:-1], moments + shifts[1:]
    segment = np.searchsorted(np.maximum(before, after), wall_s, side="right")
    skipped, repeated = nobody.copy(), nobody.copy()
    for b, a in zip(before, after, strict=True):
        skipped |= (wall_s >= b) & (wall_s < a)
        repeated |= (wall_s >= a) & (wall_s < b)
    if second_pass is not None:
        segment = segment + (second_pass & repeated)
    return wall_s - shifts[segment], skipped, repeated


def localise(when: datetime, timezone: str) -> datetime:
    """Return one naive wall time as an aware time; an aware time comes back in the same zone."""
    there = zone(timezone)
    if when.tzinfo is not None:
        return when.astimezone(there)
    # by way of UTC, which moves a time that the clocks skip to one that exists
    return when.replace(tzinfo=there).astimezone(UTC).astimezone(there)
