"""The carbon the plants fix, day by day and draw by draw, out of the belief."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from leafgill.estimate.belief import Belief
from leafgill.science.compiled import FloatArray
from leafgill.science.constants import CO2_G_MOL
from leafgill.tank.clock import DAY_S
from leafgill.tank.forcing import Forcing
from leafgill.tank.trends import grown

C_PER_CO2 = 12.011 / CO2_G_MOL
# Growth runs into shade, scissors and want of room: its trend is trusted for about so long [d]
# (a choice of ours).
TREND_LASTS_D = 14.0
# A day of which the belief covers less is worked out from its neighbours [1].
_LEAST_COVER = 0.8


@dataclass(frozen=True)
class CarbonDays:
    """Carbon fixed [mg C/L/day] in days of 24 h counted from now, each [m, days].

    `first` is the number of the first day: -3 begins 72 h before now.
    """

    first: int
    fixed_mg_l: FloatArray

    def of_days(self, numbers: FloatArray) -> FloatArray:
        """Return the days of these numbers [k]: [m, k]."""
        columns = np.clip(numbers.astype(np.int64) - self.first, 0, self.fixed_mg_l.shape[1] - 1)
        days: FloatArray = self.fixed_mg_l[:, columns]
        return days

    @property
    def now_mg_l(self) -> FloatArray:
        """The 24 h ahead, as things are set, [m]."""
        today: FloatArray = self.fixed_mg_l[:, -self.first]
        return today


def carbon_days(belief: Belief, back_days: int, ahead_days: int) -> CarbonDays:
    """Return the carbon of so many days back and ahead.

    The belief's own days are integrated; before and after, the uptake of the nearest of them goes
    on by its trend, which wears off.
    """
    now_s = belief.now.timestamp()
    edges = belief.edges_s
    fixed = _fixed_mg_l(belief)
    total = np.concatenate([np.zeros((belief.count, 1)), np.cumsum(fixed, axis=1)], axis=1)
    first = -back_days
    marks = now_s + DAY_S * np.arange(first, ahead_days + 1)
    inside = np.clip(marks, edges[0], edges[-1])
    right = np.clip(np.searchsorted(edges, inside), 1, edges.size - 1)
    part = (inside - edges[right - 1]) / (edges[right] - edges[right - 1])
    at = total[:, right - 1] * (1.0 - part) + total[:, right] * part
    days = np.diff(at, axis=1)
    cover = np.diff(inside) / DAY_S
    known = np.flatnonzero(cover >= _LEAST_COVER)
    trend = belief.draws.uptake_trend_per_day
    if known.size == 0:
        # a diary of hours: the day ahead is always whole
        known = np.array([back_days])
    for k in range(days.shape[1]):
        if cover[k] >= _LEAST_COVER:
            continue
        nearest = int(known[np.argmin(np.abs(known - k))])
        days[:, k] = days[:, nearest] * trended(trend, float(k - nearest))
    return CarbonDays(first, days * C_PER_CO2)


def trended(trend_per_day: FloatArray, days: float) -> FloatArray:
    """Return by which factor uptake has grown after so many days of a trend that wears off."""
    worn = np.sign(days) * TREND_LASTS_D * -np.expm1(-abs(days) / TREND_LASTS_D)
    return grown(trend_per_day, 24.0 * float(worn))


def _fixed_mg_l(belief: Belief) -> FloatArray:
    """Return the CO2 taken by plants in each step of the belief's days [mg/L], [m, n]."""
    evidence, draws = belief.problem.evidence, belief.draws
    forcing = evidence.timeline.forcing(belief.edges_s)
    hours = (belief.edges_s[:-1] - evidence.start_s) / 3600.0
    far = draws.shelter_share[:, None]
    taken = (1.0 - far) * _response(belief.days.model_co2, draws.half_saturation_mg_l)
    taken += far * _response(belief.days.model_co2_far, draws.half_saturation_mg_l)
    return taken * drive(belief, forcing, hours) * forcing.dt_h


def _response(co2: FloatArray, half: FloatArray) -> FloatArray:
    middle = 0.5 * (co2[:, 1:] + co2[:, :-1])
    part: FloatArray = middle / (half[:, None] + middle)
    return part


def drive(belief: Belief, forcing: Forcing, hours: FloatArray) -> FloatArray:
    """Return what the plants would fix in ample CO2 in each step [mg/L/h], [m, n].

    `hours` are the steps' starts on the clock of the draws' trends. As the tank model has it.
    """
    d = belief.draws
    trend = grown(d.uptake_trend_per_day[:, None], hours)
    tired = np.maximum(1.0 - d.uptake_decline[:, None] * forcing.light_phase, 0.0)
    rate: FloatArray = d.uptake_mg_l_h[:, None] * trend * tired * forcing.light
    return rate
