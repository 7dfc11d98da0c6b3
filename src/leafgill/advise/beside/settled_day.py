"""The tank's settled day under other gas hours, with the straying the belief drew."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from functools import cached_property

import numpy as np

from leafgill.advise.forecast import set_flow
from leafgill.advise.real_time import sooner
from leafgill.advise.situation import Situation
from leafgill.advise.steady_day import Cycle, SteadyDay
from leafgill.estimate.belief import Belief
from leafgill.science.compiled import FloatArray
from leafgill.tank.clock import DAY_S, seconds_of
from leafgill.tank.schedule import Window, next_off, next_on

# The level of the lit hours is to be kept until this long before the lights go off [h].
BEFORE_OFF_H = 1.0


@dataclass(frozen=True)
class SettledDay:
    """A running tank's day that repeats itself; `light` and `gas` are its hours now.

    `on_h` is when the lights go on, `late_h` an hour before they go off, both in hours since
    midnight.
    """

    situation: Situation
    light: Window
    gas: Window
    day: SteadyDay

    @classmethod
    def of(cls, situation: Situation) -> SettledDay | None:
        """Return the day, None where gas or light has no hours, or either is on all day."""
        light, gas = situation.light, situation.gas
        if light is None or gas is None or light.never or gas.never:
            return None
        if light.hours <= 2.0 * BEFORE_OFF_H or max(light.hours, gas.hours) >= 24.0:
            return None
        return cls(situation, light, gas, SteadyDay.of(situation.belief))

    @property
    def belief(self) -> Belief:
        """What is believed of the tank."""
        return self.situation.belief

    @cached_property
    def flow(self) -> FloatArray:
        """What dissolves by the present setting, as `Draws.flow` has it, [m]."""
        if self.situation.pending is not None:
            return set_flow(self.belief, self.situation.pending)
        flow: FloatArray = self.belief.draws.flow[:, -1]
        return flow

    @cached_property
    def as_it_is(self) -> Cycle:
        """The day as hours and valve are set now."""
        return self.day.settle(self.flow, self.gas)

    def under(self, gas: Window) -> Cycle:
        """Return the day with other hours of gas."""
        return self.as_it_is if gas == self.gas else self.day.settle(self.flow, gas, self.as_it_is)

    @property
    def on_h(self) -> float:
        """When the lights go on [h since midnight]."""
        return seconds_of(self.light.on) / 3600.0

    @property
    def late_h(self) -> float:
        """An hour before the lights go off [h since midnight]."""
        return (seconds_of(self.light.off) / 3600.0 - BEFORE_OFF_H) % 24.0

    @cached_property
    def _strays(self) -> tuple[FloatArray, FloatArray]:
        """Factors on CO2 at lights-on and late, by what the belief drew for the next of each."""
        zone, now = self.situation.tank.timezone, self.situation.now
        on, off = next_on(now, self.light, zone), next_off(now, self.light, zone)
        assert on is not None and off is not None, "light that is neither never nor always on"
        return self._factor(on, 0.0), self._factor(off, BEFORE_OFF_H)

    def _factor(self, at: datetime, before_h: float) -> FloatArray:
        end = datetime.fromtimestamp(float(self.belief.edges_s[-1]), at.tzinfo)
        at_s = max(sooner(at, end).timestamp() - 3600.0 * before_h, float(self.belief.edges_s[0]))
        factor: FloatArray = 10.0 ** -self.belief.through("straying", np.array([at_s]))[:, 0]
        return factor

    def at_on(self, cycle: Cycle) -> FloatArray:
        """Return CO2 when the lights go on [mg/L], [m]."""
        level: FloatArray = cycle.at("co2", self.on_h) * self._strays[0]
        return level

    def late(self, cycle: Cycle) -> FloatArray:
        """Return CO2 an hour before the lights go off [mg/L], [m]."""
        level: FloatArray = cycle.at("co2", self.late_h) * self._strays[1]
        return level

    @cached_property
    def gas_g_h(self) -> FloatArray:
        """Gas that leaves the cylinder in an hour of the gas hours [g/h], [m]."""
        problem, z = self.belief.problem, self.belief.z
        if self.situation.pending is not None:
            rate = self.situation.pending ** (1.0 + problem.value(z, "swell"))
        else:
            rate = problem.rates(z, bent=False)[:, -1]
        factor = problem.evidence.pressure_factor
        grams: FloatArray = 3.6 * problem.value(z, "bubble_mass") * rate
        return grams * (factor[-1] if factor.size else 1.0)

    def later(self, days: int) -> SteadyDay:
        """Return the same day so many days on, when trends have gone further."""
        midnight_s = self.day.midnight_s + days * DAY_S
        return SteadyDay(self.belief, midnight_s, self.light, self.day.timeline)
