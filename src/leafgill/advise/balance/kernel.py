"""One nutrient in the water through time, many draws at once.

    dc/dt = comes - loss·c - need·c/(half + c)

between events; at an event part of the water is changed, then a dose falls in. Steps are exact for
coefficients frozen at what a half step ahead gives, in pieces of at most half a day (exponential
midpoint rule, second order).
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from leafgill.science.compiled import FloatArray, compiled
from leafgill.tank.model import relaxed

# places in the flows, each [mg/L] over the counted time, positive where it adds
PLANTS, LOST, COME, CHANGED, DOSED = range(5)
_FLOWS = 5
_LONGEST_D = 0.5


class Water(NamedTuple):
    """What acts on a nutrient, m draws over n steps."""

    start_mg_l: FloatArray  # [m]
    half_mg_l: FloatArray  # [m]
    loss_per_day: FloatArray  # [m]
    comes_mg_l_day: FloatArray  # [m]
    need_mg_l_day: FloatArray  # [m, n]
    tap_mg_l: FloatArray  # [m] in the tap water
    dose_mg_l: FloatArray  # [m, n] at the step's start
    dt_day: FloatArray  # [n]
    part: FloatArray  # [n] of the water changed at the step's start
    tap_share: FloatArray  # [n] of tap water in what comes; the rest is pure


@compiled
def _run(water, count_from, out, flows):  # type: ignore[no-untyped-def] # numba types it
    start, half, loss, comes, need, tap, dose, dt, part, tap_share = water
    steps = dt.size
    for i in range(start.size):
        c = start[i]
        out[i, 0] = c
        for j in range(steps):
            counted = j >= count_from
            changed = part[j] * (tap[i] * tap_share[j] - c)
            c += changed + dose[i, j]
            if counted:
                flows[i, 3] += changed
                flows[i, 4] += dose[i, j]
            pieces = max(math.ceil(dt[j] / _LONGEST_D - 1e-9), 1)
            h = dt[j] / pieces
            for _ in range(pieces):
                eats = need[i, j] / (half[i] + c)
                ahead, _ = relaxed(comes[i] - (eats + loss[i]) * c, eats + loss[i], 0.5 * h)
                eats = need[i, j] / (half[i] + max(c + ahead, 0.0))
                pull = eats + loss[i]
                moved, area = relaxed(comes[i] - pull * c, pull, h)
                stood = c * h + area
                c = max(c + moved, 0.0)
                if counted:
                    flows[i, 0] -= eats * stood
                    flows[i, 1] -= loss[i] * stood
                    flows[i, 2] += comes[i] * h
            out[i, j + 1] = c


def run(water: Water, count_from: int = -1) -> tuple[FloatArray, FloatArray]:
    """Return (concentrations at the edges [m, n+1], flows [m, 5] from step `count_from` on).

    A concentration at an edge is before the event there. -1 counts no flows.
    """
    m, n = water.need_mg_l_day.shape
    out, flows = np.empty((m, n + 1)), np.zeros((m, _FLOWS))
    parts = [np.ascontiguousarray(part, dtype=np.float64) for part in water]
    first = n + 1 if count_from < 0 else count_from
    _run(tuple(parts), first, out, flows)  # type: ignore[no-untyped-call]
    return out, flows
