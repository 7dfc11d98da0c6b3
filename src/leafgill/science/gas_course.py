"""What a source of gas gives over its life."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from leafgill.science.cited import Range
from leafgill.science.compiled import FloatArray

# A source counts as spent once this part of its gas has come.
SPENT_SHARE = 0.95


@dataclass(frozen=True, slots=True)
class GasCourse:
    """CO2 that one filling of a source gives, and when.

    `grams` all that leaves it; `days` until 95 % of that has come; `times_d` [n] and
    `rate_g_per_day`, a Range of arrays [n]. `shuts_at_night`: whether its gas can be stopped for
    the night and kept; where not, it flows day and night.
    """

    source: str
    grams: Range
    days: Range
    times_d: FloatArray
    rate_g_per_day: Range
    shuts_at_night: bool

    def rate_at(self, days: float) -> Range:
        """Rate [g/day] after so many days; the first or last one outside the course."""
        return Range(*(float(np.interp(days, self.times_d, r)) for r in self.rate_g_per_day))


def given_g(times_d: FloatArray, rate_g_per_day: FloatArray) -> FloatArray:
    """CO2 given since the start [g] at each time [n]; the trapezium rule."""
    steps = 0.5 * (rate_g_per_day[1:] + rate_g_per_day[:-1]) * np.diff(times_d)
    given: FloatArray = np.concatenate([[0.0], np.cumsum(steps)])
    return given


def spent_days(times_d: FloatArray, given: FloatArray, grams: float) -> float:
    """Days until 95 % of `grams` have come; the last time where the course ends before."""
    share = SPENT_SHARE * grams
    at = int(np.searchsorted(given, share))
    if at >= given.size:
        return float(times_d[-1])
    if at == 0:
        return float(times_d[0])
    part = (share - given[at - 1]) / (given[at] - given[at - 1])
    return float(times_d[at - 1] + part * (times_d[at] - times_d[at - 1]))


def spread(values: Sequence[float] | Sequence[FloatArray]) -> Range:
    """Return the first of `values` with the least and the most of all of them."""
    low, high = np.min(values, axis=0), np.max(values, axis=0)
    if np.ndim(low):
        return Range(values[0], low, high)
    return Range(float(np.asarray(values[0])), float(low), float(high))
