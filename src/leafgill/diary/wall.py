"""From the tank's wall clock to real time, through the nights the clocks change."""

from __future__ import annotations

from datetime import UTC, datetime
from functools import lru_cache
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from leafgill.errors import InputError

_SCAN_S = 6 * 3600
_DAY_S = 86_400
EPOCH = datetime(1970, 1, 1)


def zone(timezone: str) -> ZoneInfo:
    """Return the zone named `timezone`. Raises InputError when there is none."""
    try:
        return ZoneInfo(timezone)
    except (KeyError, ValueError, OSError):
        raise InputError(
            f'timezone "{timezone}" is not known; write it as Europe/Vienna or UTC'
        ) from None


def wall_seconds(when: datetime) -> float:
    """Return the seconds a naive time's clock shows since 1970-01-01T00:00 [s]."""
    return (when - EPOCH).total_seconds()


@lru_cache(maxsize=64)
def _changes(timezone: str, first_day: int, last_day: int) -> tuple[NDArray[np.int64], ...]:
    """Return when [epoch s] the offset changes within the days, and the offsets around it [s]."""
    there = zone(timezone)

    def offset(epoch_s: int) -> int:
        shift = datetime.fromtimestamp(epoch_s, there).utcoffset()
        return int(shift.total_seconds()) if shift is not None else 0

    start, stop = first_day * _DAY_S, last_day * _DAY_S
    moments: list[int] = []
    offsets = [offset(start)]
    at = start
    while at < stop:
        upto = min(at + _SCAN_S, stop)
        if offset(upto) != offsets[-1]:
            low, high = at, upto
            while high - low > 1:
                middle = (low + high) // 2
                low, high = (middle, high) if offset(middle) == offsets[-1] else (low, middle)
            moments.append(high)
            offsets.append(offset(upto))
        at = upto
    return np.array(moments, dtype=np.int64), np.array(offsets, dtype=np.int64)


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
    moments, offsets = _changes(timezone, first, last)
    before, after = moments + offsets[:-1], moments + offsets[1:]
    segment = np.searchsorted(np.maximum(before, after), wall_s, side="right")
    skipped, repeated = nobody.copy(), nobody.copy()
    for b, a in zip(before, after, strict=True):
        skipped |= (wall_s >= b) & (wall_s < a)
        repeated |= (wall_s >= a) & (wall_s < b)
    if second_pass is not None:
        segment = segment + (second_pass & repeated)
    return wall_s - offsets[segment], skipped, repeated


def localise(when: datetime, timezone: str) -> datetime:
    """Return one naive wall time as an aware time; an aware time comes back in the same zone."""
    there = zone(timezone)
    if when.tzinfo is not None:
        return when.astimezone(there)
    # by way of UTC, which moves a time that the clocks skip to one that exists
    return when.replace(tzinfo=there).astimezone(UTC).astimezone(there)
