"""The belief through the hours on a grid of plain numbers, and read off it at any moment."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

from leafgill.answer.counsel import Counsel
from leafgill.estimate import Interval
from leafgill.science.compiled import FloatArray
from leafgill.tank.schedule import open_spans

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


def risk_of(counsel: Counsel) -> dict[str, Any]:
    """Return the chances, moment by moment as things are set, that a limit is passed.

    On the grid of `bands_of` from the counsel's moment on: CO2 anywhere over the animals' limit
    and over what is dangerous, and oxygen under their minimum.
    """
    belief, limits, now_s = counsel.belief, counsel.limits, counsel.now.timestamp()
    times = _grid(now_s, now_s + AHEAD_S, now_s)
    times = times[(times >= belief.edges_s[0]) & (times <= belief.edges_s[-1])]
    co2, o2 = belief.through("co2_max", times), belief.through("o2", times)
    chances = {
        "p_over_limit": co2 > limits.co2_mg_l,
        "p_over_danger": co2 > limits.co2_danger_mg_l,
        "p_low_o2": o2 < limits.o2_min_mg_l,
    }
    told = {name: over.mean(axis=0).tolist() for name, over in chances.items()}
    return {"times_s": [int(t) for t in times], **told}


def chance_between(risk: dict[str, Any], what: str, first_s: float, last_s: float) -> float | None:
    """Return the highest chance from one epoch second to another; None outside of the grid."""
    times = risk["times_s"]
    if not times or first_s < times[0] or last_s > times[-1]:
        return None
    ends = np.interp([first_s, last_s], times, risk[what])
    within = [p for t, p in zip(times, risk[what], strict=True) if first_s <= t <= last_s]
    return float(max([*ends, *within]))


def hours_of(counsel: Counsel) -> dict[str, list[list[int]]]:
    """Return when gas and light are on by their timers, from a day before to 34 hours on.

    Each a list of [on, off] in epoch seconds.
    """
    timeline, now_s = counsel.belief.problem.evidence.timeline, counsel.now.timestamp()
    first, last = now_s - BACK_S, now_s + AHEAD_S
    return {
        what: [
            [int(on), int(off)]
            for _, _, on, off in open_spans(first, last, changes, timeline.timezone)
        ]
        for what, changes in (("gas", timeline.gas), ("light", timeline.light))
    }


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
