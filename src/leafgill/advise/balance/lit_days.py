"""Days of this tank that repeat themselves under other light: hours, a dark pause, more of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import time, timedelta
from typing import Any

import numpy as np
from numpy.typing import NDArray

from leafgill.advise.forecast import Risks
from leafgill.advise.gas_need import dissolved_share, flow_for, hours_of_gas, usual_hours
from leafgill.advise.rules import within_rule_1
from leafgill.advise.steady_day import Cycle, SteadyDay
from leafgill.estimate.belief import Belief
from leafgill.science.compiled import FloatArray
from leafgill.tank.clock import DAY_S, seconds_of
from leafgill.tank.limits import Limits
from leafgill.tank.schedule import Window

# Draws that a day to try is run with: enough for a chance of a hundredth.
TRIED = 200


@dataclass(frozen=True)
class LitDay:
    """One day that repeats itself: the hours, the gas [m] that holds the target, what results."""

    light: tuple[Window, ...]
    gas: Window
    flow: FloatArray
    cycle: Cycle
    gas_g: FloatArray

    def risks(self, limits: Limits) -> Risks:
        """Return the day's highest CO2 and lowest oxygen against the limits."""
        return self.cycle.risks(limits)


def allowed(risks: Risks) -> bool:
    """Return whether a day keeps to what advice allows (docs/safety.md, rule 1)."""
    return bool(within_rule_1(risks.p_over_limit, risks.p_over_danger, risks.p_low_o2))


def brighter(belief: Belief, factor: FloatArray) -> Belief:
    """Return the belief of the same tank whose plants fix `factor` [m] times as much."""
    draws = belief.draws._replace(uptake_mg_l_h=belief.draws.uptake_mg_l_h * factor)
    return replace(belief, draws=draws)


def day_of(belief: Belief) -> SteadyDay:
    """Return the tank's own day."""
    return SteadyDay.of(belief)


def with_light(day: SteadyDay, light: Sequence[Window]) -> SteadyDay:
    """Return a day with other hours of light: one window, or two that a pause parts.

    Two must stand in the order of the clock and not pass midnight.
    """
    whole = Window(light[0].on, light[-1].off)
    changes: list[tuple[float, Window | None]] = [(day.midnight_s - DAY_S, light[0])]
    if len(light) == 2:
        # the second is put in force while it is dark between them
        pause = 0.5 * (seconds_of(light[0].off) + seconds_of(light[1].on))
        changes.append((day.midnight_s + pause, light[1]))
    return replace(day, light=whole, timeline=replace(day.timeline, light=tuple(changes)))


def hold(day: SteadyDay, light: Sequence[Window], gas: Window, target_mg_l: float) -> LitDay:
    """Return the day in which the gas of each draw holds the target while it is lit."""
    flow, cycle = flow_for(day, target_mg_l, gas)
    return _lit(day, light, gas, flow, cycle)


def keep(day: SteadyDay, light: Sequence[Window], gas: Window, flow: FloatArray) -> LitDay:
    """Return the day that results from gas that is given already, [m]."""
    return _lit(day, light, gas, flow, day.settle(flow, gas))


def _lit(
    day: SteadyDay, light: Sequence[Window], gas: Window, flow: FloatArray, cycle: Cycle
) -> LitDay:
    belief = day.belief
    volume = belief.problem.value(belief.z, "volume")
    used = cycle.given * volume * 1e-3 / dissolved_share(belief, flow)
    return LitDay(tuple(light), gas, flow, cycle, used)


def gas_hours(belief: Belief, day: SteadyDay) -> Window:
    """Return the hours of gas in force, else an hour ahead of the light."""
    return hours_of_gas(belief, day)[0]


def gas_for(light: Sequence[Window]) -> Window:
    """Return gas from an hour before the first light until an hour before the last ends."""
    return usual_hours(Window(light[0].on, light[-1].off))


def shifted(moment: time, hours: float) -> time:
    """Return a time of day so many hours later, within the day."""
    seconds = (seconds_of(moment) + timedelta(hours=hours).total_seconds()) % DAY_S
    return time(int(seconds // 3600), int(seconds % 3600 // 60))


def some_rows(rows: NDArray[Any], count: int) -> NDArray[Any]:
    """Return `count` of the joint draws' rows, evenly picked."""
    places = np.linspace(0, rows.size - 1, min(count, rows.size)).astype(np.int64)
    picked: NDArray[Any] = rows[places]
    return picked
