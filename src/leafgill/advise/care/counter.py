"""Refilling the bubble counter: by the water that the gas carries off."""

from __future__ import annotations

import numpy as np

from leafgill.advise.care.job import Job
from leafgill.advise.care.known import PRACTICE, Known, made, seen_of, usual
from leafgill.advise.care.lifetime import learn
from leafgill.advise.drawn import drawn, figure, given, range_of
from leafgill.advise.figure import Figure, Input
from leafgill.advise.situation import counted_rate
from leafgill.diary import Kind
from leafgill.science.air import ROOM_TEMPERATURE_C
from leafgill.science.cited import Mark, Range, Source
from leafgill.science.co2_fluid import STANDARD_BAR
from leafgill.science.compiled import FloatArray
from leafgill.science.constants import GAS_CONSTANT_J_MOL_K, KELVIN
from leafgill.science.cylinder import gas_volume_l
from leafgill.science.gases import water_vapour_pressure_atm
from leafgill.tank.schedule import window_in_force

_WHAT = "Fill the bubble counter up"
_WHY = "Dry gas carries its water off; in an empty one nothing is counted."
_HOW = (
    "gas shut and hose at the air's pressure first. Water, or a thick liquid that does not dry "
    "out; two thirds full. Bubbles of another liquid are of another size: count again and write "
    "it down"
)
# A counter as it is built, the part that may go, and how far a bubble takes up vapour on its way.
HOLDS_ML = Range(4.0, 2.0, 8.0)
MAY_GO = 0.4
SATURATED = Range(0.8, 0.5, 1.0)
BUILT = str(Source("bubble counters as they are built", Mark.CHOICE))
_WATER_KG_MOL = 0.018015
_PA_PER_ATM = 101325.0
_USUAL_DAYS = 90.0
_LONGEST = 730.0
# Liquids that dry out.
_DRIES = (None, "water")


def counter_job(known: Known) -> Job:
    """Return the filling of the bubble counter."""
    liquid = known.tank.rig.counter_liquid
    grams = gas_g_per_day(known)
    law: tuple[Figure, ...] = ()
    if liquid not in _DRIES:
        prior, source = usual(365.0), PRACTICE
        reason = f"{liquid} does not dry out; it is looked at once a year"
    elif grams is None:
        prior, source = usual(_USUAL_DAYS), PRACTICE
        reason = "without a bubble rate nobody can say what the gas carries off"
    else:
        loss = _loss_ml_per_day(known, grams)
        prior, source = range_of(_days(loss, known.belief.count)), "vapour in the gas"
        law = (_figure(loss, grams, known),)
        reason = "the gas leaves it as moist as warm air over water: that much water goes with it"
    learnt = learn(prior, seen_of(known, "counter"))
    return made(
        known, "counter", _WHAT, _WHY, learnt, reason, _HOW,
        source=source, by_law=bool(law), told=law,
        inputs=(given("a counter holds", HOLDS_ML, "mL", BUILT),
                Input("part that may go", MAY_GO, "", "a choice of ours, no source")),
    )  # fmt: skip


def gas_g_per_day(known: Known) -> FloatArray | None:
    """Return the gas a day as the valve is set now [g], [m]; None while none is set."""
    belief = known.belief
    timeline = belief.problem.evidence.timeline
    window = window_in_force(timeline.gas, known.now.timestamp())
    rate = counted_rate(belief)
    if window is None or window.never or not np.any(rate > 0.0):
        return None
    mass = belief.problem.value(belief.z, "bubble_mass")
    grams: FloatArray = rate * mass * 1e-3 * window.hours * 3600.0
    return grams


def _pressure_bar(known: Known) -> tuple[float, str]:
    read = known.diary.of(Kind.WORKING_PRESSURE)
    if read:
        return read[-1].number, "diary"
    told = known.tank.rig.working_pressure_bar
    return (1.5, "assumed") if told is None else (told, "tank file")


def _loss_ml_per_day(known: Known, grams: FloatArray) -> FloatArray:
    """Water that goes with the gas [mL/day]: its volume in the counter times vapour's density."""
    gauge, _ = _pressure_bar(known)
    litres = np.asarray(gas_volume_l(grams * 1e-3, ROOM_TEMPERATURE_C, gauge + STANDARD_BAR))
    pressure_pa = float(water_vapour_pressure_atm(ROOM_TEMPERATURE_C)) * _PA_PER_ATM
    kelvin = ROOM_TEMPERATURE_C + KELVIN
    vapour_g_l = pressure_pa * _WATER_KG_MOL / (GAS_CONSTANT_J_MOL_K * kelvin)
    share = drawn(SATURATED, grams.size, "vapour a bubble takes up")
    loss: FloatArray = litres * vapour_g_l * share
    return loss


def _days(loss_ml_day: FloatArray, count: int) -> FloatArray:
    holds = drawn(HOLDS_ML, count, "what a counter holds")
    days: FloatArray = np.clip(MAY_GO * holds / loss_ml_day, 7.0, _LONGEST)
    return days


def _figure(loss: FloatArray, grams: FloatArray, known: Known) -> Figure:
    gauge, origin = _pressure_bar(known)
    return figure(
        "counter_ml_per_day",
        "Water the gas carries off",
        loss,
        "mL/day",
        "volume of the gas at the counter's pressure · density of water vapour · how moist it "
        "becomes",
        (
            given("gas a day", range_of(grams), "g/day", "belief of the diary"),
            Input("pressure in the counter", gauge, "bar", origin),
            given("how moist it becomes", SATURATED, "", "a choice of ours, no source"),
            Input("room", ROOM_TEMPERATURE_C, "°C", "assumed"),
        ),
        "vapour pressure as in Benson & Krause 1984; Span & Wagner 1996",
    )
