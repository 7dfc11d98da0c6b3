"""Bubble rates a keeper can set by counting, and how far one step may go."""

from __future__ import annotations

import numpy as np

FIRST_MOST = 1.0  # first setting on an unknown tank [1/s]
DOUBLING_BELOW = 2.0  # up to here a raise may double [1/s]
LARGEST_PART = 1.5  # above it a raise is at most +50 %
AGAIN_PART = 0.5  # of what ran before, after the valve was shut (a choice of ours)
MOST_LONGER_H = 2.0  # of gas a day, by which one step may lengthen its hours (a choice of ours)
FASTEST = 40.0  # nobody counts faster [1/s]
_TINY = 1e-9
# Size of the steps a keeper can tell apart by counting, up to each rate [1/s] (a choice of ours).
_STEPS = ((3.0, 0.1), (6.0, 0.25), (FASTEST, 0.5))


def countable(most: float = FASTEST) -> list[float]:
    """Return the rates a keeper can set [1/s], rising, 0 first, none above `most`."""
    rates, start = [0.0], 0.0
    for end, step in _STEPS:
        count = int((end - start) / step + 0.5)
        rates += [round(start + step * k, 4) for k in range(1, count + 1)]
        start = end
    return [rate for rate in rates if rate <= most + _TINY]


def nearest_countable(rate: float) -> float:
    """Return the countable rate nearest to a rate [1/s]."""
    return float(min(countable(), key=lambda other: abs(other - rate)))


def most_after(rate: float | None, last_running: float | None = None) -> float:
    """Return the highest rate one step may set [1/s] from a rate that runs; None is unknown.

    From below 2 bubbles a second a step at most doubles but goes no further than 2, or half as
    much again where that is more. On an unknown tank it ends at 1. After the valve was shut (rate
    0) it ends at 1 or at half of what ran before (`last_running`), whichever is more, but never
    beyond that.
    """
    if rate is None:
        return FIRST_MOST
    if rate <= 0.0:
        if not last_running:
            return FIRST_MOST
        return min(max(FIRST_MOST, AGAIN_PART * last_running), last_running)
    if rate < DOUBLING_BELOW:
        return min(2.0 * rate, max(DOUBLING_BELOW, LARGEST_PART * rate))
    return LARGEST_PART * rate


def between(low: float, high: float) -> list[float]:
    """Return the countable rates above `low` and up to `high` [1/s]."""
    rates = np.array(countable())
    return [float(rate) for rate in rates[(rates > low + _TINY) & (rates <= high + _TINY)]]
