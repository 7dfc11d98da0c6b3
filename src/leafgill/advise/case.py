"""One candidate: a rate, what it brings, and what a rule needs to judge it."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from functools import cached_property

import numpy as np

from leafgill.advise.aim import horizon, lit_co2, lit_hours
from leafgill.advise.forecast import Outlook, Plan, look_ahead
from leafgill.advise.real_time import after, later
from leafgill.advise.response import Response, between
from leafgill.advise.situation import Situation
from leafgill.estimate.belief import Interval, interval
from leafgill.science.compiled import FloatArray
from leafgill.tank.schedule import Window, is_on, next_on

# Least time between a change and the next look [h], and the part of the response to wait for.
LEAST_WAIT_H = 1.0
RESPONSE_PART = 0.9
# A look is planned a little later than that, so that a belief that has learnt agrees then.
PLANNED_PART = 0.94
# Part of the gas period after which nothing is raised any more.
LAST_THIRD = 2.0 / 3.0
_MINUTE_H = 1.0 / 60.0


@dataclass(frozen=True)
class Case:
    """A rate [1/s] set at `act`, or everything left as it is where it `sets` nothing.

    `ahead` are the draws from now to the end of the day ahead; `judged_s` from when on they are
    held against the limits: from now, but for a lowering from when its effect is there.
    """

    situation: Situation
    rate: float
    plan: Plan
    act: datetime
    lit: tuple[datetime, datetime]
    ahead: Outlook = field(repr=False)
    judged_s: float
    sets: bool = True

    @property
    def rises(self) -> bool:
        """Whether it gives more gas than runs now, by the valve or by its hours."""
        return self.situation.is_raise(self.rate) or self.longer

    @cached_property
    def longer(self) -> bool:
        """Whether its gas hours take in some that are without gas now."""
        new, old = self.plan.gas, self.situation.gas
        return new is not None and old is not None and new.hours > new.overlap_h(old) + _MINUTE_H

    @cached_property
    def begins(self) -> datetime:
        """First moment from `act` on at which its own gas hours begin to give gas."""
        zone = self.situation.tank.timezone
        if is_on(self.act, self.plan.gas, zone) and not is_on(self.act, self.situation.gas, zone):
            return self.act
        return next_on(self.act, self.plan.gas or self.situation.gas, zone) or self.act

    @cached_property
    def judged(self) -> np.ndarray:
        """Which of the times ahead count [n]."""
        return np.asarray(self.ahead.times_s >= self.judged_s - 1.0)

    @cached_property
    def peak(self) -> FloatArray:
        """Highest CO2 anywhere in the tank [mg/L], [m]."""
        highest: FloatArray = self.ahead.co2_max[:, self.judged].max(axis=1)
        return highest

    @cached_property
    def least_o2(self) -> FloatArray:
        """Lowest oxygen [mg/L], [m]."""
        least: FloatArray = self.ahead.o2.min(axis=1)
        return least

    @cached_property
    def lit_draws(self) -> FloatArray:
        """Each draw's median CO2 in the lit hours that count [mg/L], [m]."""
        return lit_co2(self.ahead, self.lit)

    @property
    def lit_co2(self) -> Interval:
        """CO2 in the lit hours that count [mg/L]."""
        return interval(self.lit_draws)

    @cached_property
    def response(self) -> Response:
        """What setting this rate makes of CO2 in the day after.

        Of a first little gas, what it makes until the gas goes off: where plants take all of it by
        day, the most is there in the dark before the next morning's light, and who waited for
        that would never begin.
        """
        period = self.situation.period(self.act) if self.situation.first else None
        until_s = None if period is None else period[1].timestamp()
        return between(self.situation.as_it_is, self.ahead, self.act.timestamp(), until_s)

    @cached_property
    def look(self) -> datetime:
        """First moment somebody can look and 90 % of the response (at least 1 h) is in."""
        reached = datetime.fromtimestamp(self.response.reached_s(PLANNED_PART), self.act.tzinfo)
        earliest = later(reached, after(self.act, LEAST_WAIT_H))
        return self.situation.awake_from(rounded_up(earliest))


def rounded_up(at: datetime, minutes: int = 5) -> datetime:
    """Return the next whole five minutes, so that a look has a plain time."""
    over = (at.minute % minutes) * 60 + at.second + at.microsecond * 1e-6
    return at if over == 0 else after(at, (minutes * 60 - over) / 3600.0)


def case_of(
    situation: Situation,
    rate: float | None,
    *,
    gas: Window | None = None,
    act: datetime | None = None,
    judged_s: float | None = None,
) -> Case:
    """Return a candidate: the valve set to `rate` at `act` (now unless given), None to leave it.

    `gas` are hours to set along with it. `judged_s` as in Case.
    """
    belief = situation.belief
    act = act or situation.now
    hours = gas or situation.gas
    lit = lit_hours(situation, act, hours)
    end = horizon(datetime.fromtimestamp(belief.edges_s[-1], act.tzinfo), act, lit)
    plan = Plan(bubble_rate=rate, gas=gas, air=situation.extra_air)
    if rate is None:
        plan = situation.nothing_changed._replace(gas=gas)
    ahead = look_ahead(belief, plan, situation.now_s, end.timestamp(), act_s=act.timestamp())
    return Case(
        situation=situation,
        rate=(situation.rate or 0.0) if rate is None else rate,
        plan=plan,
        act=act,
        lit=lit,
        ahead=ahead,
        judged_s=situation.now_s if judged_s is None else judged_s,
        sets=rate is not None,
    )
