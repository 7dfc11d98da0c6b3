"""What the errors of readings do to a carbonate answer.

A reading stands for all the values it may mean. Here each is a row of equally likely ones (the
middles of strata of equal probability), and a law is evaluated over every pair of them, so the
spread needs no linear approximation and no random numbers.
"""

from __future__ import annotations

from collections.abc import Callable
from statistics import NormalDist
from typing import NamedTuple

import numpy as np

from leafgill.science.compiled import FloatArray

# Half of the central 90 % of a normal distribution, in standard deviations.
HALF_90 = NormalDist().inv_cdf(0.95)
_STRATA = 200


class Spread(NamedTuple):
    """A mean with the interval that holds the truth nine times in ten."""

    mean: float
    low: float
    high: float


def exactly(value: float) -> FloatArray:
    """Return the one value a reading without error means, shape [1]."""
    return np.array([value])


def within(value: float, half_width: float, count: int = _STRATA) -> FloatArray:
    """Return equally likely values of a reading that is off by at most `half_width` 9 in 10 times.

    The error is normal with standard deviation half_width / 1.645. Shape [count], rising; [1] for
    a half-width of 0. Raises ValueError for a negative one.
    """
    if half_width < 0.0:
        raise ValueError(f"half_width is {half_width}; it cannot be negative")
    if half_width == 0.0:
        return exactly(value)
    law = NormalDist(value, half_width / HALF_90)
    return np.array([law.inv_cdf(part) for part in _middles(count)])


def between(low: float, high: float, count: int = _STRATA) -> FloatArray:
    """Return equally likely values of a reading that says only "from low to high", shape [count].

    Raises ValueError when low is not below high.
    """
    if not low < high:
        raise ValueError(f"low {low} is not below high {high}")
    values: FloatArray = low + (high - low) * _middles(count)
    return values


def spread(
    law: Callable[[FloatArray, FloatArray], FloatArray], first: FloatArray, second: FloatArray
) -> Spread:
    """Return mean and 90 % interval of law(first, second) over two independent readings.

    `first` [n] and `second` [m] are rows of equally likely values; `law` is given arrays [n, 1]
    and [1, m] and broadcasts. NaN when any pair has no answer.
    """
    values = np.asarray(law(first[:, None], second[None, :]), dtype=np.float64)
    low, high = np.quantile(values, [0.05, 0.95], method="hazen")
    return Spread(float(values.mean()), float(low), float(high))


def _middles(count: int) -> FloatArray:
    middles: FloatArray = (np.arange(count) + 0.5) / count
    return middles
