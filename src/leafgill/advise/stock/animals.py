"""What a bottle's copper and ammonium mean to the animals: a dose, and doses over weeks."""

from __future__ import annotations

from dataclasses import dataclass

from leafgill.advise.drawn import figure, given
from leafgill.advise.figure import Figure, Input
from leafgill.advise.stock.brings import species_mg, volume_of
from leafgill.advise.water.animals import INVERTEBRATES, ammonia_limit
from leafgill.advise.water.series import step_by_step
from leafgill.advise.water.usual import usual_change
from leafgill.science import carbonate
from leafgill.science.ammonia import EMERSON, N_G_MOL, NH4_G_MOL, nh3_mg_l, unionised_share
from leafgill.science.cited import Range
from leafgill.science.constants import DKH_MEQ_L
from leafgill.science.copper import EPA_1996, SHRIMP_SOURCE, SHRIMP_UG_L, lasting_limit_ug_l
from leafgill.tank.bottle import Bottle
from leafgill.tank.spec import Tank

# CO2 of a tank whose gas is off and whose plants are at work: pH is highest then [mg/L].
LEAST_CO2_MG_L = 1.0
_USUAL_KH_DKH, _USUAL_GH_DGH = 4.0, 6.0
# Copper builds up over so long [weeks]; after it little more comes.
_WEEKS = 26


@dataclass(frozen=True, slots=True)
class Danger:
    """One substance against what the animals stand.

    `at_most` is what the water may come to, `limit` what it is held to in the same unit, `basis`
    who says so; `passed` whether even the high end is within.
    """

    name: str
    at_most: Figure
    limit: float
    basis: str
    passed: bool
    words: str


def dangers(
    tank: Tank, bottle: Bottle, dose_ml: float, per_week: float, ph: float | None = None
) -> tuple[Danger, ...]:
    """Return what of a bottle can harm: free ammonia of one dose, copper after many.

    `ph` is the highest the tank comes to; without it, that of the tank's KH with the gas off.
    Empty for a bottle with neither.
    """
    found = species_mg(bottle, dose_ml)
    told = []
    if found.get("ammonium", 0.0) or found.get("urea_nitrogen", 0.0) or found.get("urea", 0.0):
        told.append(_ammonia(tank, found, ph))
    if found.get("copper", 0.0):
        told.append(_copper(tank, found["copper"], per_week))
    return tuple(told)


def highest_ph(tank: Tank) -> float:
    """Return the pH of a tank's KH with next to no CO2 in the water."""
    kh = tank.water.kh_dkh or _USUAL_KH_DKH
    return float(
        carbonate.ph(LEAST_CO2_MG_L, kh * DKH_MEQ_L, tank.temperature_c,
                     gh_dgh=tank.water.gh_dgh or _USUAL_GH_DGH)
    )  # fmt: skip


def _ammonia(tank: Tank, found: dict[str, float], ph: float | None) -> Danger:
    # all of the urea's nitrogen may become ammonium before anything takes it up
    as_nh4 = found.get("ammonium", 0.0) + found.get("urea_nitrogen", 0.0) * NH4_G_MOL / N_G_MOL
    high = highest_ph(tank) if ph is None else ph
    limit, basis = ammonia_limit(tank.livestock.kinds)
    water = volume_of(tank)
    free = Range(*(float(nh3_mg_l(as_nh4 / float(litres), high, tank.temperature_c))
                   for litres in (water.value, water.high, water.low)))  # fmt: skip
    known = figure(
        "free_ammonia_of_a_dose_mg_l", "Free ammonia of one dose, if none is taken up", free,
        "mg/L", "ammonium and urea in the dose × un-ionised share / water",
        (Input("ammonium in all", as_nh4 / tank.volume_l, "mg/L", "the bottle"),
         Input("highest pH", high, "", "given" if ph is not None else
               "KH of the tank file with the gas off"),
         Input("warmth", tank.temperature_c, "°C", "tank file"),
         Input("un-ionised share", float(unionised_share(high, tank.temperature_c)), "",
               str(EMERSON)),
         given("water", water, "L", "tank file")),
        str(EMERSON),
    )  # fmt: skip
    passed = float(free.high) <= limit
    words = (
        "within what animals stand, as long as the pH stays there; dose when plants are in light"
        if passed
        else "give no such dose: take smaller ones, or nitrate in place of ammonium and urea"
    )
    return Danger("ammonia", known, limit, basis, passed, words)


def copper_limit(tank: Tank) -> tuple[float, str]:
    """Return the copper [µg/L] a tank's animals stand for good, and who says so."""
    gh = tank.water.gh_dgh
    limit = float(lasting_limit_ug_l(_USUAL_GH_DGH if gh is None else gh))
    if INVERTEBRATES.intersection(tank.livestock.kinds) and float(SHRIMP_UG_L.value) < limit:
        return float(SHRIMP_UG_L.value), str(SHRIMP_SOURCE)
    return limit, f"{EPA_1996}, at GH {_USUAL_GH_DGH if gh is None else gh:g} dGH"


def _copper(tank: Tank, copper_mg: float, per_week: float) -> Danger:
    limit, basis = copper_limit(tank)
    part, days, part_known, days_known = usual_change(tank)
    water = volume_of(tank)
    changes = round(_WEEKS * 7.0 / days)

    def built_up(litres: float) -> float:
        gain = copper_mg / litres * per_week * days / 7.0
        return float(step_by_step(0.0, 0.0, part, gain, max(changes, 1)).before[-1])

    reached = Range(*(1e3 * built_up(float(end)) for end in (water.value, water.high, water.low)))
    known = figure(
        "copper_ug_l", "Copper after half a year, if plants take none", reached, "µg/L",
        "doses of the days between two water changes, and what each change leaves of them",
        (Input("copper in a dose", 1e3 * copper_mg, "µg", "the bottle"),
         Input("doses a week", per_week, "", "given"),
         Input("water changed", 100.0 * part, "%", "tank file" if part_known else "assumed"),
         Input("every", days, "days", "tank file" if days_known else "assumed"),
         given("water", water, "L", "tank file")),
        "balance of mass",
    )  # fmt: skip
    passed = float(reached.high) <= limit
    words = (
        "within the limit even if nothing takes it up"
        if passed
        else "too much: take less of the copper salt, or none; tap water and pipes bring some too"
    )
    return Danger("copper", known, limit, basis, passed, words)
