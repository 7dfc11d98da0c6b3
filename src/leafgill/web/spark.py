"""A day's readings as a small line: points of an SVG, thinned without losing a peak."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

WIDTH, HEIGHT = 240.0, 48.0
# One pair of lowest and highest a column of the drawing is all an eye can see.
_COLUMNS = 80
# A line that moves less than this part of its sensor's jump is drawn flat, not as mountains.
_EDGE = 3.0


@dataclass(frozen=True, slots=True)
class Spark:
    """The points of a line in a box WIDTH by HEIGHT, and the values at its top and bottom."""

    points: str
    low: float
    high: float


def spark(
    times_s: NDArray[np.int64],
    values: NDArray[np.float64],
    first_s: float,
    last_s: float,
    least_span: float,
) -> Spark | None:
    """Return the line of readings [n] between two epoch seconds, None for fewer than two.

    `least_span` is the difference of values that fills the box at the least.
    """
    inside = (times_s >= first_s) & (times_s <= last_s)
    times_s, values = times_s[inside], values[inside]
    if len(times_s) < 2:
        return None
    keep = _thinned(times_s, values, first_s, last_s)
    low, high = float(values.min()), float(values.max())
    middle, half = (low + high) / 2.0, max(high - low, least_span) / 2.0
    x = (times_s[keep] - first_s) / (last_s - first_s) * WIDTH
    y = _EDGE + (1.0 - (values[keep] - (middle - half)) / (2.0 * half)) * (HEIGHT - 2.0 * _EDGE)
    points = " ".join(f"{a:.1f},{b:.1f}" for a, b in zip(x, y, strict=True))
    return Spark(points, low, high)


def _thinned(
    times_s: NDArray[np.int64], values: NDArray[np.float64], first_s: float, last_s: float
) -> NDArray[np.intp]:
    """Return the indices of the lowest and the highest reading of each column, in order."""
    if len(times_s) <= 2 * _COLUMNS:
        return np.arange(len(times_s))
    column = ((times_s - first_s) / (last_s - first_s) * (_COLUMNS - 1e-9)).astype(np.int64)
    starts = np.flatnonzero(np.diff(column, prepend=-1))
    kept: set[int] = set()
    for start, stop in zip(starts, [*starts[1:], len(column)], strict=True):
        part = values[start:stop]
        kept |= {int(start + part.argmin()), int(start + part.argmax())}
    return np.array(sorted(kept), dtype=np.intp)
