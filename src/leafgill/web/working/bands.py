"""The belief through the hours on a grid of plain numbers, and read off it at any moment."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

from leafgill.answer.counsel import Counsel
from leafgill.estimate import Interval
from leafgill.science.compiled import FloatArray

STEP_S = 600
BACK_S, AHEAD_S = 24 * 3600, 34 * 3600
QUANTITIES = ("co2", "co2_max", "o2", "ph")
_LEVELS = {"low": 0.05, "high": 0.95}
_INNER = {"inner_low": 0.25, "inner_high": 0.75}

Through = Callable[[str, FloatArray], FloatArray]


def bands_of(counsel: Counsel) -> dict[str, Any]:
    """Return what is believed from a day before now to 34 hours on, as things are set.

    `times_s` are epoch seconds every ten minutes, and the moment asked about itself; each of
    `QUANTITIES` has mean, low and high (90 %), CO2 its inner half as well; mg/L and pH.
    """
    belief, now_s = counsel.belief, counsel.now.timestamp()
    times = _grid(now_s - BACK_S, now_s + AHEAD_S, now_s)
    times = times[(times >= belief.edges_s[0]) & (times <= belief.edges_s[-1])]
    return _bands(times, belief.through)


def stepped_bands_of(counsel: Counsel) -> dict[str, Any] | None:
    """Return the same for the day ahead when the step is followed; None where none changes it."""
    if counsel.stepped is None:
        return None
    outlook = counsel.stepped.outlook
    first, last = float(outlook.times_s[0]), float(outlook.times_s[-1])
    return _bands(_grid(first, last, first), outlook.through)


def at(bands: dict[str, Any], what: str, moment_s: float) -> Interval | None:
    """Return a quantity at an epoch second, straight between the grid's; None outside of it."""
    times = bands["times_s"]
    if not times or not times[0] <= moment_s <= times[-1]:
        return None
    band = bands[what]
    return Interval(*(float(np.interp(moment_s, times, band[end])) for end in Interval._fields))


def _grid(first_s: float, last_s: float, now_s: float) -> FloatArray:
    """Return the round ten minutes from first to last, with `now_s` among them [epoch s]."""
    start = np.ceil(first_s / STEP_S) * STEP_S
    return np.union1d(np.arange(start, last_s + 1.0, STEP_S), [np.floor(now_s)])


def _bands(times: FloatArray, through: Through) -> dict[str, Any]:
    found: dict[str, Any] = {"times_s": [int(t) for t in times]}
    for what in QUANTITIES:
        levels = {**_LEVELS, **(_INNER if what == "co2" else {})}
        values = through(what, times)
        rows = np.quantile(values, list(levels.values()), axis=0)
        named = {"mean": values.mean(axis=0), **dict(zip(levels, rows, strict=True))}
        found[what] = {name: row.tolist() for name, row in named.items()}
    return found
