"""The surface: where more movement is needed at night, and where less would do.

Notes beside a step. Less movement with the same gas is more CO2, so a note never says to do it
now: it says what it would bring, and that the gas comes first.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from leafgill.advise.beside.settled_day import SettledDay
from leafgill.advise.case import Case, case_of
from leafgill.advise.gas_need import dissolved_share, flow_for
from leafgill.advise.rules import MOST_LOW_O2, judge, passes
from leafgill.advise.situation import Situation
from leafgill.advise.steady_day import Cycle, SteadyDay
from leafgill.advise.step import Beside, Weighed
from leafgill.advise.words import grams, mg_l, per_cent
from leafgill.estimate.belief import Belief, interval
from leafgill.science.compiled import FloatArray
from leafgill.tank.schedule import NEVER, window_in_force

# What less movement would leave of the exchange.
LESS = 2.0 / 3.0
# A surface is strong where CO2 above that of the room halves within the hour (a choice of ours).
STRONG_PER_H = float(np.log(2.0))
# Gas that has to be saved for a note to be worth reading.
_WORTH_GAS = 0.15


def more_at_night(hold: Case) -> Beside | None:
    """Return what air at night would do where oxygen may fall short, None where it does not.

    Or where air is part of the step already.
    """
    situation = hold.situation
    least = situation.limits.o2_min_mg_l
    now_chance = float(np.mean(hold.least_o2 < least))
    light = situation.light
    if now_chance <= MOST_LOW_O2 or situation.extra_air is not None:
        return None
    if light is None or light.rest.never:
        return None
    aired = case_of(replace(situation, extra_air=light.rest), None)
    then_chance = float(np.mean(aired.least_o2 < least))
    before, after = interval(hold.least_o2), interval(aired.least_o2)
    text = (
        f"More surface movement from {light.rest} would lift the night's lowest oxygen from "
        f"{mg_l(before)} to {mg_l(after)}, and the chance of less than {least:g} mg/L from "
        f"{per_cent(now_chance)} to {per_cent(then_chance)}."
    )
    figures = (
        Weighed("o2_min_now", before, "mg/L"),
        Weighed("o2_min_then", after, "mg/L"),
        Weighed("chance_low_o2_now", now_chance, ""),
        Weighed("chance_low_o2_then", then_chance, ""),
    )
    return Beside("surface", text, figures)


def less_at_night(hold: Case) -> Beside | None:
    """Return what the night's extra air could be spared for, None where it is needed or not run.

    It may rest where every rule holds without it, and no draw falls short of oxygen.
    """
    situation = hold.situation
    air = window_in_force(situation.belief.problem.evidence.timeline.air, situation.now)
    day = SettledDay.of(situation)
    if air is None or air.never or day is None or situation.extra_air is not None:
        return None
    still = case_of(replace(situation, extra_air=NEVER), None)
    short = bool((still.least_o2 < situation.limits.o2_min_mg_l).any())
    if short or not passes(judge(still)):
        return None
    calm = day.day.calm().settle(day.flow, day.gas)
    before, after = interval(hold.least_o2), interval(still.least_o2)
    at_on = interval(day.at_on(day.as_it_is)), interval(day.at_on(calm))
    text = (
        f"The extra air from {air} could rest: the night's lowest oxygen would be {mg_l(after)} "
        f"instead of {mg_l(before)}, and CO2 at lights-on {mg_l(at_on[1])} instead of "
        f"{mg_l(at_on[0])} with the same gas. Change it on a day on which the valve stays."
    )
    figures = (
        Weighed("o2_min_now", before, "mg/L"),
        Weighed("o2_min_then", after, "mg/L"),
        Weighed("co2_at_lights_on_now", at_on[0], "mg/L"),
        Weighed("co2_at_lights_on_then", at_on[1], "mg/L"),
    )
    return Beside("surface", text, figures)


def less_by_day(situation: Situation) -> Beside | None:
    """Return what a third less exchange would save, None where little is lost or oxygen needs it.

    The same CO2 in the lit hours, draw by draw, with two thirds of the surface's exchange. Only
    where the surface is strong, at least 15 % of the gas is saved and the chance of too little
    oxygen stays within rule 1.
    """
    day = SettledDay.of(situation)
    belief = situation.belief
    if day is None or not situation.rate:
        return None
    if float(np.median(belief.draws.exchange_per_h)) < STRONG_PER_H:
        return None
    calmer = _calmer(belief)
    flow, then = flow_for(SteadyDay.of(calmer), day.as_it_is.lit_co2, day.gas)
    least = situation.limits.o2_min_mg_l
    chance = float(np.mean(then.o2.min(axis=1) < least))
    used, needed = _gas_g(belief, day.as_it_is, day.flow), _gas_g(calmer, then, flow)
    saved_part = 1.0 - float(np.median(needed)) / max(float(np.median(used)), 1e-9)
    if saved_part < _WORTH_GAS or chance > MOST_LOW_O2:
        return None
    saved = interval(used - needed)
    before, after = interval(day.as_it_is.o2.min(axis=1)), interval(then.o2.min(axis=1))
    as_open = interval(SteadyDay.of(calmer).settle(day.flow, day.gas).lit_co2)
    text = (
        f"The surface takes much of the gas: a third less movement would save {grams(saved)} of "
        f"gas a day ({per_cent(saved_part)}) for the same CO2, and the day's lowest oxygen would "
        f"be {mg_l(after)} instead of {mg_l(before)}. With the valve as it is CO2 would rise to "
        f"{mg_l(as_open)}: if you do it, close the valve first, on a day of its own, and ask "
        "again before anything else is turned."
    )
    figures = (
        Weighed("gas_saved_a_day", saved, "g"),
        Weighed("o2_min_now", before, "mg/L"),
        Weighed("o2_min_then", after, "mg/L"),
        Weighed("chance_low_o2_then", chance, ""),
        Weighed("co2_with_the_valve_as_it_is", as_open, "mg/L"),
    )
    return Beside("surface", text, figures)


def _calmer(belief: Belief) -> Belief:
    """Return the belief of the same tank with less surface movement."""
    draws = belief.draws
    return replace(belief, draws=draws._replace(exchange_per_h=LESS * draws.exchange_per_h))


def _gas_g(belief: Belief, cycle: Cycle, flow: FloatArray) -> FloatArray:
    """Return the gas that leaves the cylinder in a day [g], [m]."""
    volume_l = belief.problem.value(belief.z, "volume")
    gas: FloatArray = cycle.given * volume_l * 1e-3 / dissolved_share(belief, flow)
    return gas
