"""What a picture of a longer record holds, as plain numbers."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]


@dataclass(frozen=True)
class Read:
    """A reading: when [days], its value, what it was read with."""

    day: float
    value: float
    kind: str


@dataclass(frozen=True, eq=False)
class RecordPicture:
    """pH and gas over some days, from midnight to midnight by the tank's clock.

    Days are those that pass since the first midnight; `ticks` say what the calendar shows. The
    logged pH is `logged_low` to `logged_high` in each stretch from `logged_from` to `logged_to`,
    all [n]; `rates` are (from, to, bubbles/s); `changes` are (day, percent) of water changes.
    """

    title: str
    subtitle: str
    length_days: float
    ticks: tuple[tuple[float, str], ...]
    logged_from: FloatArray
    logged_to: FloatArray
    logged_low: FloatArray
    logged_high: FloatArray
    readings: tuple[Read, ...] = ()
    rates: tuple[tuple[float, float, float], ...] = ()
    changes: tuple[tuple[float, float], ...] = ()


def stretches(
    days: FloatArray, values: FloatArray, length_days: float, most: int = 360
) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
    """Return (from, to, low, high) of readings [n] in at most `most` equal stretches.

    A stretch without a reading is left out, so a gap stays a gap; every peak is inside its own.
    """
    inside = (days >= 0.0) & (days < length_days)
    days, values = days[inside], values[inside]
    width = length_days / most
    place = np.floor(days / width).astype(np.int64)
    found, starts = np.unique(place, return_index=True)
    if not found.size:
        empty = np.empty(0)
        return empty, empty, empty, empty
    low: FloatArray = np.minimum.reduceat(values, starts)
    high: FloatArray = np.maximum.reduceat(values, starts)
    begin: FloatArray = found.astype(np.float64) * width
    return begin, begin + width, low, high
