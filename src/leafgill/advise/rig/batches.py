"""One filling of each source: what it gives, how long it lasts, how unevenly, what goes into it."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np

from leafgill.advise.drawn import exactly, figure, given, range_of
from leafgill.advise.figure import Figure, Input
from leafgill.advise.gas_need import GasNeed
from leafgill.advise.rig.cylinders import Choice
from leafgill.science.acid_generator import YIELD_SHARE, YIELD_SOURCE, held_g_per_bar
from leafgill.science.cited import Mark, Range, Source
from leafgill.science.compiled import FloatArray
from leafgill.science.gas_course import GasCourse
from leafgill.science.generators import (
    cartridge_course,
    co2_g_per_g,
    needed_g_per_g,
    yeast_course,
)
from leafgill.tank.spec import Tank

# What goes into one bottle of sugar and yeast, one vessel of acid (common practice, no source).
SUGAR_G, BOTTLE_L = 200.0, 1.5
ACID_G, VESSEL_L, VESSEL_WATER_L = 200.0, 2.0, 0.6
USUAL_CARTRIDGE_G = 95.0
PRACTICE = str(Source("", Mark.PRACTICE))
# In a vessel whose gas is spent this much stands still above the air [bar] (a choice of ours).
_LEFT_BAR = 0.2
_STEADY = Range(1.0, 1.0, 1.05)


class Pressures(NamedTuple):
    """What stands before and behind the needle valve [bar gauge], and the regulator before it."""

    before_bar: float
    behind_bar: float
    regulator: str
    end_ratio: Range


class Stuff(NamedTuple):
    """What one filling uses up: the price's key in the tank file, how much of its unit, and words.

    `amount` counts the price's own units: kilograms, or pieces.
    """

    price: str
    amount: float
    words: str


@dataclass(frozen=True)
class Batch:
    """One filling: `grams` of gas it gives, `lasts_days`, `swing` its most gas against usual.

    `what` names it, `at_once` how many run together, `stuff` is what goes into one.
    """

    what: str
    grams: Range
    lasts_days: FloatArray | Range
    lasts_formula: str
    swing: Range
    stuff: tuple[Stuff, ...]
    origin: str
    source: str
    at_once: int = 1
    figures: tuple[Figure, ...] = field(default=())


def batch_of(
    kind: str, need: GasNeed, grams: FloatArray, choice: Choice, pressures: Pressures
) -> Batch:
    """Return one filling of a source, for so many grams a day [m]."""
    makers = {"cylinder": _cylinder, "cartridge": _cartridge, "acid-bicarbonate": _acid,
              "yeast": _yeast}  # fmt: skip
    return makers[kind](need, np.maximum(grams, 1e-3), choice, pressures)


def _cylinder(need: GasNeed, grams: FloatArray, choice: Choice, pressures: Pressures) -> Batch:
    charge = choice.size.charge_kg * 1e3
    return Batch(
        "refill",
        exactly(charge),
        charge / grams,
        "charge / gas a day",
        pressures.end_ratio,
        (Stuff("refill", 1.0, choice.size.name),),
        "tank file" if choice.size.own else "the cylinder chosen above",
        "balance of mass",
    )


def cartridge_g(tank: Tank) -> tuple[float, str]:
    """Return the gas of the keeper's cartridge [g], or a usual one's, and where it comes from."""
    if tank.rig.source == "cartridge" and tank.rig.cylinder_kg is not None:
        return tank.rig.cylinder_kg * 1e3, "tank file"
    if tank.prices.cartridge_g is not None:
        return tank.prices.cartridge_g, "tank file"
    return USUAL_CARTRIDGE_G, PRACTICE


def _cartridge(need: GasNeed, grams: FloatArray, choice: Choice, pressures: Pressures) -> Batch:
    size, origin = cartridge_g(need.belief.tank)
    # regulators for cartridges have one stage
    course = cartridge_course(
        size,
        g_per_day=float(np.median(grams)),
        set_gauge_bar=pressures.before_bar,
        back_gauge_bar=pressures.behind_bar,
    )
    return Batch(
        "cartridge",
        course.grams,
        course.grams.value / grams,
        "gas of one / gas a day",
        _swing(course),
        (Stuff("cartridge", 1.0, f"{size:.3g} g"),),
        origin,
        "balance of mass; end of a small cylinder as of a large one",
    )


def _acid(need: GasNeed, grams: FloatArray, choice: Choice, pressures: Pressures) -> Batch:
    bicarbonate_g = ACID_G * needed_g_per_g("citric-sodium", "sodium bicarbonate", "citric acid")
    whole = ACID_G * co2_g_per_g("citric-sodium", "citric acid")
    held = held_g_per_bar(VESSEL_L - VESSEL_WATER_L, VESSEL_WATER_L, 25.0)
    kept = float(held) * (1.0 + _LEFT_BAR)
    got = Range(*(max(whole * share - kept, 1.0) for share in YIELD_SHARE))
    mix = figure(
        "acid_filling_g", "Gas of one filling of acid", got, "g",
        "0.687 g of CO2 a gram of citric acid · yield, less what stays in the vessel",
        (Input("citric acid", ACID_G, "g", PRACTICE),
         Input("sodium bicarbonate", bicarbonate_g, "g", "stoichiometry"),
         given("yield of practice", YIELD_SHARE, "", str(YIELD_SOURCE)),
         Input("stays in the vessel", kept, "g", "Weiss 1974, ideal gas")),
        "C6H8O7 + 3 NaHCO3 = Na3C6H5O7 + 3 H2O + 3 CO2",
    )  # fmt: skip
    return Batch(
        "filling",
        got,
        got.value / grams,
        "gas of one / gas a day",
        _STEADY,
        (Stuff("citric_acid_kg", ACID_G * 1e-3, f"{ACID_G:.0f} g of citric acid"),
         Stuff("bicarbonate_kg", bicarbonate_g * 1e-3, f"{bicarbonate_g:.0f} g of baking soda")),
        "computed",
        "stoichiometry",
        figures=(mix,),
    )  # fmt: skip


def _yeast(need: GasNeed, grams: FloatArray, choice: Choice, pressures: Pressures) -> Batch:
    temperature = need.belief.tank.temperature_c
    course = yeast_course(SUGAR_G, BOTTLE_L, min(max(temperature, 10.0), 35.0))
    bottles = max(round(float(np.median(grams)) * course.days.value / course.grams.value), 1)
    mix = figure(
        "yeast_bottle_g", "Gas of one bottle of sugar and yeast", course.grams, "g",
        "0.514 g of CO2 a gram of sugar · yield, at most what the alcohol allows, less what stays "
        "dissolved",
        (Input("sugar", SUGAR_G, "g", PRACTICE), Input("water", BOTTLE_L, "L", PRACTICE)),
        "C12H22O11 + H2O = 4 C2H5OH + 4 CO2; yield and course as common practice has them",
    )  # fmt: skip
    many = figure(
        "yeast_bottles_at_once", "Bottles that run together", float(bottles), "",
        "gas a day · days of one / gas of one, rounded",
        (given("gas a day", range_of(grams), "g/day", "computed above"),
         given("days of one", course.days, "days", "common practice, no source"),
         given("gas of one", course.grams, "g", "computed")),
        "balance of mass",
    )  # fmt: skip
    return Batch(
        "bottle",
        course.grams,
        course.days,
        "until 95 % of its gas has come: a Gompertz curve",
        _in_turn(course, bottles),
        (Stuff("sugar_kg", SUGAR_G * 1e-3, f"{SUGAR_G:.0f} g of sugar"),
         Stuff("yeast", 1.0, "yeast for one bottle")),
        "computed",
        "common practice, no source",
        at_once=bottles,
        figures=(mix, many),
    )  # fmt: skip


def _in_turn(course: GasCourse, bottles: int) -> Range:
    """Most gas against the mean of bottles begun one after another, each renewed when spent.

    What one bottle strays from the usual course is taken to average out as one over the root of
    their number.
    """
    one = _swing(course)
    life = course.days.value
    times = np.linspace(0.0, life, 200, endpoint=False)
    starts = np.arange(bottles) * life / bottles
    total = sum(
        np.interp((times + start) % life, course.times_d, course.rate_g_per_day.value)
        for start in starts
    )
    peak = float(np.max(total) / np.mean(total))
    stray = 1.0 + (one.high / one.value - 1.0) / bottles**0.5
    return Range(peak, 1.0, peak * stray)


def _swing(course: GasCourse) -> Range:
    """Most gas of a filling against its mean until it is spent."""
    mean = course.grams.value / course.days.value
    peak = float(np.max(course.rate_g_per_day.value)) / mean
    ends = (1.0, peak, float(np.max(course.rate_g_per_day.high)) / mean)
    return Range(max(peak, 1.0), min(ends), max(ends))
