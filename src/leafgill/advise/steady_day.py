"""A tank's day that repeats itself: how CO2 runs when the same gas is given every day.

For choosing a rig the coming hours do not matter, only what they settle to. The draws of a belief
are run through one day, begun each time in the state the day before ended in, until it returns.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime, time, timedelta

import numpy as np

from leafgill.advise.forecast import Risks, risks
from leafgill.estimate.belief import Belief, along
from leafgill.science.compiled import FloatArray
from leafgill.science.constants import CO2_G_MOL
from leafgill.tank.clock import DAY_S, seconds_of, zone
from leafgill.tank.forcing import Course, Draws
from leafgill.tank.limits import Limits
from leafgill.tank.model import simulate
from leafgill.tank.schedule import Window, window_in_force
from leafgill.tank.timeline import Timeline

ALWAYS_ON = Window(time(0), time.max)
# The plants' day counts from here after lights and gas are on: before, CO2 still rises [h].
RISEN_H = 2.0
_GRID_S = 1800.0
# A window as long as this is on around the clock [h].
_ROUND_H = 24.0
# Days until the slowest of tanks, of which a tenth leaves in an hour, repeats itself to 0.1 %.
_DAYS = 4


@dataclass(frozen=True)
class Cycle:
    """One day of every draw, midnight to midnight, at edges [n + 1] (hours since midnight).

    `co2` of the whole water, `co2_max` where it is highest, `o2` where it is lowest, all
    [m, n + 1] in mg/L. `given`, `lost` and `fixed` are the CO2 of the day [mg/L], [m]: dissolved
    from the gas, gone through the surface, taken by the plants. `gas` is when it flows, `lit_h`
    when the plants' day counts, in hours since midnight.
    """

    gas: Window
    hours: FloatArray
    co2: FloatArray
    co2_max: FloatArray
    o2: FloatArray
    given: FloatArray
    lost: FloatArray
    fixed: FloatArray
    lit_h: FloatArray
    course: Course

    def at(self, what: str, hour: float) -> FloatArray:
        """Return the draws [m] of "co2", "co2_max" or "o2" at an hour since midnight."""
        return along(self.hours, getattr(self, what), np.array([hour]))[:, 0]

    @property
    def lit_co2(self) -> FloatArray:
        """Each draw's median CO2 over the plants' day [mg/L], [m]."""
        median: FloatArray = np.median(along(self.hours, self.co2, self.lit_h), axis=1)
        return median

    def risks(self, limits: Limits) -> Risks:
        """Return the day's highest CO2 and lowest oxygen against the animals' limits."""
        return risks(self, limits)


@dataclass(frozen=True)
class SteadyDay:
    """The day after a belief's now, with its hours of light and air, and hours of gas to try."""

    belief: Belief
    midnight_s: float
    light: Window
    timeline: Timeline

    @classmethod
    def of(cls, belief: Belief) -> SteadyDay:
        """Return the day as the belief's tank has it now: same hours, same warmth, no change."""
        known = belief.problem.evidence.timeline
        now = belief.now.astimezone(zone(known.timezone))
        start = datetime.combine(now.date() + timedelta(days=1), time(0), now.tzinfo).timestamp()
        light = window_in_force(known.light, belief.now) or Window(time(0), time(0))
        air = window_in_force(known.air, belief.now)
        timeline = replace(
            known,
            gas=((start, None),),
            light=((start - DAY_S, light),),
            air=((start - DAY_S, air),),
            setting_s=(start - DAY_S,),
            temperature=((start, known.temperature[-1][1]),),
            changes=(),
        )
        return cls(belief, start, light, timeline)

    def calm(self) -> SteadyDay:
        """Return the same day without the extra air."""
        return replace(self, timeline=replace(self.timeline, air=()))

    def settle(self, flow: FloatArray, gas: Window, like: Cycle | None = None) -> Cycle:
        """Return the day that repeats itself with a flow [m] in the hours `gas`.

        `flow` is what dissolves, in bubbles of 1/s as `Draws.flow` has it. `like` is a day to
        start from.
        """
        cycle = self.once(flow, gas, like)
        for _ in range(_DAYS - 1):
            cycle = self.once(flow, gas, cycle)
        return cycle

    def once(self, flow: FloatArray, gas: Window, before: Cycle | None) -> Cycle:
        """Return one day that follows on another, or on the belief's first state."""
        timeline = replace(self.timeline, gas=((self.midnight_s - DAY_S, gas),))
        edges = timeline.edges(self.midnight_s, self.midnight_s + DAY_S)
        draws = self.belief.draws._replace(flow=np.ascontiguousarray(flow[:, None]))
        if before is not None:
            draws = _after(draws, before.course)
        start_h = float(self.midnight_s - self.belief.problem.evidence.start_s) / 3600.0
        course = simulate(timeline.forcing(edges), draws, start_h)
        same = before is not None and before.gas == gas
        lit_h = before.lit_h if before is not None and same else self.lit_hours(gas)
        return _cycle(course, gas, (edges - self.midnight_s) / 3600.0, lit_h)

    def lit_hours(self, gas: Window) -> FloatArray:
        """Return the hours since midnight, each half hour, at which the plants' day counts.

        From two hours after lights and gas are on until lights-off; all hours of light where that
        leaves none, noon where there is no light.
        """
        grid = np.arange(0.0, DAY_S, _GRID_S)
        since = np.array([self._lit_for_h(self.midnight_s + s) for s in grid])
        # gas that begins with the lights already on is waited for as they are
        late = (seconds_of(gas.on) - seconds_of(self.light.on)) % DAY_S / 3600.0
        begins = RISEN_H + (late if gas.hours < _ROUND_H and late < self.light.hours else 0.0)
        lit = since >= begins
        if not lit.any():
            lit = since >= 0.0
        hours: FloatArray = grid[lit] / 3600.0 if lit.any() else np.array([12.0])
        return hours

    def _lit_for_h(self, at_s: float) -> float:
        """Return how long the lights have been on by the clock [h], -1 while they are off."""
        clock = datetime.fromtimestamp(at_s, zone(self.timeline.timezone)).time()
        if not self.light.covers(clock):
            return -1.0
        if self.light.hours >= _ROUND_H:
            return RISEN_H + _ROUND_H  # they have always been on
        return (seconds_of(clock) - seconds_of(self.light.on)) % DAY_S / 3600.0


def _after(draws: Draws, course: Course) -> Draws:
    """Return draws that begin where a course ended."""
    far = course.share_far
    o2 = (1.0 - far) * course.o2_mg_l[:, -1] + far * course.o2_far_mg_l[:, -1]
    return draws._replace(
        co2_start_mg_l=np.ascontiguousarray(course.co2_mg_l[:, -1]),
        co2_far_start_mg_l=np.ascontiguousarray(course.co2_far_mg_l[:, -1]),
        o2_start_mg_l=np.ascontiguousarray(o2),
    )


def _cycle(course: Course, gas: Window, hours: FloatArray, lit_h: FloatArray) -> Cycle:
    flux = course.fluxes_mmol_l * CO2_G_MOL
    return Cycle(
        gas=gas,
        hours=hours,
        co2=course.co2_mean_mg_l(),
        co2_max=np.maximum(course.co2_mg_l, course.co2_far_mg_l),
        o2=course.o2_min_mg_l(),
        given=flux[:, 0],
        lost=-flux[:, 1],
        fixed=-flux[:, 3],
        lit_h=lit_h,
        course=course,
    )
