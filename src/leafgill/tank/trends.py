"""How a quantity drifts by a trend of so much a day, in the kernel and for draws at once."""

from __future__ import annotations

import math

import numpy as np

from leafgill.science.compiled import FloatArray, compiled

# A trend takes a quantity at most this far either way over a course [log].
TREND_BOUND = 1.0


@compiled
def growth(relative_per_day: float, hours: float) -> float:
    """Return exp(trend·time), held within a factor e either way."""
    exponent = relative_per_day * hours / 24.0
    return math.exp(min(max(exponent, -TREND_BOUND), TREND_BOUND))


def grown(relative_per_day: FloatArray, hours: float | FloatArray) -> FloatArray:
    """Return the same of many draws [m], or of draws and hours that broadcast."""
    factor: FloatArray = np.exp(np.clip(relative_per_day * hours / 24.0, -TREND_BOUND, TREND_BOUND))
    return factor
