"""How long before the lights the gas has to go on: from each draw's own rise."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from leafgill.advise.drawn import figure, given, range_of
from leafgill.advise.figure import Figure, Input
from leafgill.advise.gas_need import GasNeed
from leafgill.advise.steady_day import ALWAYS_ON, Cycle
from leafgill.science.compiled import FloatArray
from leafgill.tank.clock import DAY_S, seconds_of
from leafgill.tank.model import simulate
from leafgill.tank.window import Window

# When the lights go on the plants shall fix this part of what they fix at the target.
WELL_FED = 0.9
# And this is as good as the target itself.
NEARLY_THERE = 0.9
_LOOK_H = 14.0
_STEP_S = 300.0
_STEP_H = 0.25


@dataclass(frozen=True)
class Lead:
    """When to switch the gas on: hours before the lights, each [m] draws in its figure.

    `fed` until the plants have nine tenths of their full supply, `full` until CO2 is at nine
    tenths of the target. `advised_h` is the first, rounded to a quarter of an hour.
    """

    fed: Figure
    full: Figure
    advised_h: float


def lead_of(need: GasNeed) -> Lead:
    """Return how long before the lights the gas must start.

    In the dark, from the CO2 each draw has when its gas begins, with the gas the need asks for.
    """
    problem, z = need.belief.problem, need.belief.z
    half = problem.value(z, "half_saturation")
    target = need.target_mg_l
    part = WELL_FED * target / (half + target)
    fed_mg_l = half * part / (1.0 - part)
    hours, rise = _rise(need)
    fed = _reached(hours, rise, fed_mg_l)
    full = _reached(hours, rise, np.full(fed.size, NEARLY_THERE * target))
    exchange = need.belief.draws.exchange_per_h
    inputs = (
        Input("target", target, "mg/L", "target"),
        given("CO2 at which plants take half", range_of(half), "mg/L", "belief"),
        given("CO2 when the gas goes on", range_of(rise[:, 0]), "mg/L", "the day, run on"),
        given("surface exchange", range_of(exchange), "1/h", "belief"),
        given("dead time of the hose", range_of(need.belief.draws.line_lag_h), "h", "belief"),
    )
    source = "the tank's day, draw by draw; uptake after Michaelis-Menten"
    middle = range_of(fed).value
    return Lead(
        fed=figure("lead_h", "Gas on before the lights", fed, "h",
                   "time in the dark until CO2 is where plants take "
                   f"{WELL_FED:.0%} of what they take at the target", inputs, source),
        full=figure("lead_full_h", f"Until CO2 is at {NEARLY_THERE:.0%} of the target", full, "h",
                    "time in the dark until CO2 is there", inputs, source),
        advised_h=max(round(middle / _STEP_H) * _STEP_H, _STEP_H),
    )  # fmt: skip


def _rise(need: GasNeed) -> tuple[FloatArray, FloatArray]:
    """Return hours from gas-on and CO2 [m, n] in the dark, gas on throughout."""
    day, cycle = need.day, need.cycle
    on_h = seconds_of(need.gas.on) / 3600.0
    start_s = day.midnight_s + on_h * 3600.0
    timeline = replace(
        day.timeline,
        gas=((start_s, ALWAYS_ON),),
        light=((start_s - DAY_S, Window(ALWAYS_ON.on, ALWAYS_ON.on)),),
    )
    edges = start_s + np.arange(0.0, _LOOK_H * 3600.0 + 1.0, _STEP_S)
    draws = need.belief.draws._replace(
        flow=np.ascontiguousarray(need.flow[:, None]),
        co2_start_mg_l=_at(cycle, cycle.course.co2_mg_l, on_h),
        co2_far_start_mg_l=_at(cycle, cycle.course.co2_far_mg_l, on_h),
        o2_start_mg_l=_at(cycle, cycle.course.o2_mg_l, on_h),
    )
    start_h = (start_s - need.belief.problem.evidence.start_s) / 3600.0
    course = simulate(timeline.forcing(edges), draws, start_h)
    return (edges - start_s) / 3600.0, course.co2_mean_mg_l()


def _at(cycle: Cycle, values: FloatArray, hour: float) -> FloatArray:
    rows = [np.interp(hour, cycle.hours, row) for row in values]
    return np.ascontiguousarray(np.array(rows))


def _reached(hours: FloatArray, rise: FloatArray, level: FloatArray) -> FloatArray:
    """Return when each draw first stands at its level [h]; the end of the look where it never."""
    over = rise >= level[:, None]
    first = np.argmax(over, axis=1)
    when: FloatArray = np.where(over.any(axis=1), hours[first], hours[-1])
    return when
