"""How much CO2 a tank wants a day: draw by draw, from what is believed of its surface and plants.

Where a diary is known the belief has learnt from it; of an empty diary it is the prior, and the
interval is as wide as tanks differ.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, time, timedelta

import numpy as np

from leafgill.advise.steady_day import ALWAYS_ON, Cycle, SteadyDay
from leafgill.estimate.belief import Belief
from leafgill.science.compiled import FloatArray
from leafgill.tank.limits import limits_of
from leafgill.tank.schedule import Window, window_in_force
from leafgill.tank.spec import Tank

# Gas from so long before the lights go on until so long before they go off, where no hours are
# given (common practice, no source).
USUAL_LEAD = timedelta(hours=1)
# Corrections of the flow; CO2 answers it nearly in a straight line, so most need a few.
_ROUNDS = 16
_SLOWER = 0.6
# One correction changes the flow by no more than this factor.
_LARGEST = 4.0
# How dissolution falls off was learnt from rates that can be counted [1/s]; it is not drawn on
# beyond.
_FASTEST = 10.0


@dataclass(frozen=True)
class GasNeed:
    """The gas that holds a target while the plants are lit, m equally likely draws.

    `flow` is what dissolves, as `Draws.flow` has it [m], and `given_g` the grams of it a day [m];
    `believed_share` is the part of the gas that dissolves, by the belief [m]. `assumed` says
    whether the hours of gas are ours, `learnt` whether readings or weighings were known. `cycle`
    is the day that results.
    """

    day: SteadyDay
    target_mg_l: float
    gas: Window
    assumed: bool
    learnt: bool
    flow: FloatArray
    given_g: FloatArray
    believed_share: FloatArray
    cycle: Cycle

    @property
    def belief(self) -> Belief:
        """What is believed of the tank."""
        return self.day.belief

    @property
    def volume_l(self) -> FloatArray:
        """Water of each draw [L]."""
        return self.belief.problem.value(self.belief.z, "volume")

    @property
    def gas_g(self) -> FloatArray:
        """Gas that leaves the cylinder a day [g], [m], by what the belief says dissolves of it.

        Without what the hose lets through.
        """
        grams: FloatArray = self.given_g / self.believed_share
        return grams


def gas_need(tank: Tank, belief: Belief, target_mg_l: float | None = None) -> GasNeed:
    """Return what it takes to hold a target [mg/L] in the hours the plants are lit.

    The median CO2 from two hours after lights and gas are on until lights-off is the target, in
    every draw, on a day that repeats itself. `target_mg_l` is the tank's own unless given.
    """
    target = limits_of(tank).target_mg_l if target_mg_l is None else target_mg_l
    day = SteadyDay.of(belief)
    return _need(day, target, *hours_of_gas(belief, day))


def in_hours(need: GasNeed, gas: Window) -> GasNeed:
    """Return the need of the same tank and target with other hours of gas, which are ours."""
    return _need(need.day, need.target_mg_l, gas, assumed=True)


def _need(day: SteadyDay, target: float, gas: Window, assumed: bool) -> GasNeed:
    belief = day.belief
    evidence = belief.problem.evidence
    flow, cycle = flow_for(day, target, gas)
    return GasNeed(
        day=day,
        target_mg_l=target,
        gas=gas,
        assumed=assumed,
        learnt=bool(evidence.readings) or evidence.weighings.mass_g.size > 1,
        flow=flow,
        given_g=_given_g(belief, cycle),
        believed_share=dissolved_share(belief, flow),
        cycle=cycle,
    )


def hours_of_gas(belief: Belief, day: SteadyDay) -> tuple[Window, bool]:
    """Return the hours of gas in force, and whether they had to be assumed."""
    known = belief.problem.evidence.timeline.gas
    window = window_in_force(known, belief.now)
    if window is None or window.never:
        return usual_hours(day.light), True
    return window, False


def usual_hours(light: Window) -> Window:
    """Return gas from an hour before the lights until an hour before they go off.

    With lights for two hours or less, or around the clock, the lights' own hours; 09:00 to 17:00
    where there is no light.
    """
    if light.never:
        return Window(time(9), time(17))
    lead_h = USUAL_LEAD.total_seconds() / 3600.0
    if light.hours <= 2.0 * lead_h or light.hours >= 24.0 - lead_h:
        return light
    return Window(_earlier(light.on), _earlier(light.off))


def _earlier(moment: time) -> time:
    if moment == time.max:
        moment = time(0)
    return (datetime.combine(datetime(2000, 1, 2), moment) - USUAL_LEAD).time()


def flow_for(
    day: SteadyDay, target_mg_l: float | FloatArray, gas: Window = ALWAYS_ON
) -> tuple[FloatArray, Cycle]:
    """Return the flow [m] in hours `gas` that holds a target while lit, and the day it makes.

    The target is one for all draws, or each draw's own [m]. Zero for draws that stand above it
    without gas.
    """
    idle = day.settle(np.zeros(day.belief.count), gas)
    base = idle.lit_co2
    missing = np.maximum(target_mg_l - base, 0.0)
    # the first guess: what surface and plants take at the target
    draws = day.belief.draws
    plants = draws.uptake_mg_l_h * target_mg_l / (draws.half_saturation_mg_l + target_mg_l)
    flow = (missing * draws.exchange_per_h + plants) / (3600.0 * draws.gain_mg_l)
    flow *= missing > 0.0
    cycle = idle
    # plants that could take all the gas make CO2 answer steeply: whoever overshoots steps less
    pace, last = np.ones(flow.size), np.ones(flow.size)
    for _ in range(_ROUNDS):
        cycle = day.once(flow, gas, cycle)
        risen = np.maximum(cycle.lit_co2 - base, 1e-9)
        factor = np.clip(missing / risen, 1.0 / _LARGEST, _LARGEST)
        pace *= np.where((factor - 1.0) * (last - 1.0) < 0.0, _SLOWER, 1.0)
        flow, last = flow * factor**pace, factor
    return flow, day.settle(flow, gas, cycle)


def _given_g(belief: Belief, cycle: Cycle) -> FloatArray:
    volume = belief.problem.value(belief.z, "volume")
    grams: FloatArray = cycle.given * volume * 1e-3
    return grams


def bubble_rate(belief: Belief, flow: FloatArray) -> FloatArray:
    """Return the counted rate [1/s], [m], whose gas dissolves as `flow` says.

    Bubbles grow with the rate and a smaller part of larger ones dissolves, both by the belief.
    """
    problem, z = belief.problem, belief.z
    exponent = 1.0 + problem.value(z, "swell") - problem.value(z, "bend")
    pressure = _pressure(belief)
    rate: FloatArray = np.where(flow > 0.0, np.maximum(flow / pressure, 1e-12), 0.0) ** (
        1.0 / exponent
    )
    return rate


def dissolved_share(belief: Belief, flow: FloatArray) -> FloatArray:
    """Return the part of the gas that dissolves at a flow, by each draw [m], at most 1."""
    problem, z = belief.problem, belief.z
    rate = np.clip(bubble_rate(belief, flow), 0.1, _FASTEST)
    share: FloatArray = np.minimum(
        problem.value(z, "dissolved") * rate ** -problem.value(z, "bend"), 1.0
    )
    return share


def surged(belief: Belief, flow: FloatArray, ratio: FloatArray | float) -> FloatArray:
    """Return what dissolves, [m], when `ratio` times as much gas passes the needle valve."""
    problem, z = belief.problem, belief.z
    swell, bend = problem.value(z, "swell"), problem.value(z, "bend")
    more: FloatArray = flow * np.asarray(ratio) ** ((1.0 + swell - bend) / (1.0 + swell))
    return more


def _pressure(belief: Belief) -> float:
    factor = belief.problem.evidence.pressure_factor
    return float(factor[-1]) if factor.size else 1.0
