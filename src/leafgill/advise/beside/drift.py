"""Where a settled tank drifts by its own trends, day by day, while nothing is touched."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from leafgill.advise.beside.gates import MET_WITHIN
from leafgill.advise.beside.settled_day import SettledDay
from leafgill.advise.case import Case
from leafgill.advise.rules import within_rule_1
from leafgill.estimate.belief import Interval, interval
from leafgill.science.compiled import FloatArray
from leafgill.tank.clock import DAY_S
from leafgill.tank.trends import grown

# Nothing is left alone for longer [d].
MOST_DAYS = 3
# A hardness that may have drifted by this much is tested again, nine draws in ten being under it.
_KH_PART = 0.10
_KH_DAYS = (7, 28)


@dataclass(frozen=True)
class DriftDay:
    """A day so many days on: CO2 of the lit hours, its peak and least oxygen, all [m].

    `ratio` is CO2 against that of the first day, by each draw.
    """

    days: int
    ratio: FloatArray = field(repr=False)
    lit: FloatArray = field(repr=False)
    peak: FloatArray = field(repr=False)
    least_o2: FloatArray = field(repr=False)


def drift(day: SettledDay, hold: Case, days: int = MOST_DAYS) -> list[DriftDay]:
    """Return the coming days, each draw's own day ahead moved by what its trends change.

    The day ahead of `hold` holds what the belief strays by; from the settled day comes only how
    each draw differs later from now.
    """
    found, cycle = [], day.as_it_is
    for k in range(1, days + 1):
        later = day.later(k)
        cycle = later.once(day.flow, day.gas, later.once(day.flow, day.gas, cycle))
        first = day.as_it_is
        ratio = cycle.lit_co2 / np.maximum(first.lit_co2, 1e-9)
        highest = cycle.co2_max.max(axis=1) / np.maximum(first.co2_max.max(axis=1), 1e-9)
        deeper = cycle.o2.min(axis=1) - first.o2.min(axis=1)
        found.append(
            DriftDay(k, ratio, hold.lit_draws * ratio, hold.peak * highest, hold.least_o2 + deeper)
        )
    return found


def safe_days(hold: Case, coming: list[DriftDay]) -> int:
    """Return for how many days the target stays met and rule 1 holds, 0 where not for one."""
    limits = hold.situation.limits
    for one in coming:
        near = abs(float(one.lit.mean()) / limits.target_mg_l - 1.0) <= MET_WITHIN
        safe = within_rule_1(
            float(np.mean(one.peak > limits.co2_mg_l)),
            float(np.mean(one.peak > limits.co2_danger_mg_l)),
            float(np.mean(one.least_o2 < limits.o2_min_mg_l)),
        )
        if not (near and safe):
            return one.days - 1
    return coming[-1].days if coming else 0


def percent_a_day(coming: list[DriftDay]) -> Interval:
    """Return by how much CO2 of the lit hours changes a day [%]."""
    last = coming[-1]
    return interval(100.0 * (last.ratio ** (1.0 / last.days) - 1.0))


def kh_days(hold: Case) -> int:
    """Return after how many days KH is worth a test: nine draws in ten drift by less than 10 %."""
    trend = np.abs(hold.situation.belief.draws.alkalinity_trend_per_day)
    pace = float(np.quantile(trend, 0.9))
    least, most = _KH_DAYS
    return int(np.clip(_KH_PART / max(pace, 1e-9), least, most))


def alkalinity_ratio(hold: Case, days: float) -> FloatArray:
    """Return alkalinity so many days on against now, by each draw's trend, [m]."""
    situation = hold.situation
    draws, start_s = situation.belief.draws, situation.belief.problem.evidence.start_s
    now_h = (situation.now_s - start_s) / 3600.0
    later_h = now_h + days * DAY_S / 3600.0
    trend = draws.alkalinity_trend_per_day
    ratio: FloatArray = grown(trend, later_h) / grown(trend, now_h)
    return ratio
