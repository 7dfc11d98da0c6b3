"""What is in the store already at the seconds of readings that come in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from django.db import connection
from numpy.typing import NDArray

from leafgill.web.ingest.parcel import Parcel
from leafgill.web.store.readings import TABLE

Old = dict[int, float]
# Parcels up to this size are looked up by their seconds, many parcels at once; larger ones by
# their span.
_SMALL = 50
_AT_ONCE = 2_000


@dataclass(frozen=True, slots=True)
class Compared:
    """Which readings [n] of a parcel are new, the same, or another value than the one there.

    `off` [n] is by how much, 0 where they are new.
    """

    new: NDArray[np.bool_]
    same: NDArray[np.bool_]
    changed: NDArray[np.bool_]
    off: NDArray[np.float64]


def old(parcels: Sequence[Parcel]) -> list[Old]:
    """Return what is there for each parcel: values by second. No sensor is in two parcels."""
    pairs = [
        (parcel.sender.sensor_id, time_s)
        for parcel in parcels
        if parcel.times_s.size <= _SMALL
        for time_s in parcel.times_s.tolist()
    ]
    by_sensor = _by_pairs(pairs)
    return [
        by_sensor.get(parcel.sender.sensor_id, {})
        if parcel.times_s.size <= _SMALL
        else _span(parcel)
        for parcel in parcels
    ]


def _by_pairs(pairs: list[tuple[int, int]]) -> dict[int, Old]:
    found: dict[int, Old] = {}
    for start in range(0, len(pairs), _AT_ONCE):
        part = pairs[start : start + _AT_ONCE]
        rows = ",".join(["(%s,%s)"] * len(part))
        with connection.cursor() as cursor:
            cursor.execute(
                f"WITH q(s, t) AS (VALUES {rows}) SELECT r.sensor_id, r.time_s, r.value "
                f"FROM q JOIN {TABLE} r ON r.sensor_id = q.s AND r.time_s = q.t",
                [number for pair in part for number in pair],
            )
            for sensor_id, time_s, value in cursor.fetchall():
                found.setdefault(int(sensor_id), {})[int(time_s)] = float(value)
    return found


def _span(parcel: Parcel) -> Old:
    with connection.cursor() as cursor:
        cursor.execute(
            f"SELECT time_s, value FROM {TABLE} WHERE sensor_id = %s AND time_s BETWEEN %s AND %s",
            [parcel.sender.sensor_id, int(parcel.times_s[0]), int(parcel.times_s[-1])],
        )
        return dict(cursor.fetchall())


def compared(parcel: Parcel, there: Old) -> Compared:
    """Return how a parcel's readings compare with what is there."""
    if not there:
        nothing = np.zeros(parcel.times_s.size, np.bool_)
        return Compared(~nothing, nothing, nothing, np.zeros(parcel.times_s.size))
    was = np.array([there.get(time_s, np.nan) for time_s in parcel.times_s.tolist()])
    new = np.isnan(was)
    same = was == parcel.values
    return Compared(new, same, ~new & ~same, np.abs(np.where(new, 0.0, parcel.values - was)))
