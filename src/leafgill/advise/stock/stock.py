"""A bottle, whole: what to weigh, whether it keeps, what a dose brings, how long it lasts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from leafgill.advise.drawn import figure
from leafgill.advise.figure import Figure, Input
from leafgill.advise.stock.animals import Danger, dangers
from leafgill.advise.stock.brings import brings, hardness
from leafgill.advise.stock.dissolving import Dissolving, dissolving, thinner_by
from leafgill.advise.stock.recipe import bottle_for
from leafgill.advise.stock.settling import Settling, settling_in
from leafgill.advise.stock.wants import Want
from leafgill.errors import InputError
from leafgill.tank.bottle import Bottle
from leafgill.tank.spec import Tank

# The coldest a room with a tank gets; common practice, no source.
USUAL_COLDEST_C = 15.0
USUAL_BOTTLE_ML, USUAL_DOSE_ML, USUAL_PER_WEEK = 500.0, 10.0, 7.0
# What is accepted of a keeper.
BOTTLE_ML, DOSE_ML, PER_WEEK = (10.0, 100_000.0), (0.05, 10_000.0), (0.1, 70.0)
COLDEST_C, PH = (0.0, 40.0), (5.0, 9.5)
# Bound up or eaten by moulds before that; common practice, no source.
KEEPS_MONTHS = 6
_WEEKS_A_MONTH = 365.25 / 12.0 / 7.0
CAUTIONS = (
    "Weigh with a scale that shows a hundredth of a gram; below half a gram weigh ten times as "
    "much into a bottle of its own and dose a tenth.",
    "Fill the bottle to two thirds with pure water, dissolve one salt after the other, then fill "
    "up to its mark.",
    "Label the bottle with what is in it and the day; keep it dark, cool and away from children. "
    "These are salts, not food; copper, zinc and boron salts are poisonous.",
    "Wear gloves and goggles with powders; never give a bottle and a powder the same day.",
    "Give the dose where the water moves, and another bottle's dose some hours apart.",
)


@dataclass(frozen=True)
class Stock:
    """A bottle for a tank.

    `grams` are what to weigh into it; `brings` what one dose raises the tank by; `dissolves`,
    `settles` and `dangers` what was checked; `least_dose_ml` the smallest dose whose bottle
    surely stays dissolved; `lasts` how many weeks a bottle lasts.
    """

    tank: Tank
    bottle: Bottle
    dose_ml: float
    per_week: float
    coldest_c: float
    wants: tuple[Want, ...]
    grams: tuple[Figure, ...]
    brings: tuple[Figure, ...]
    hardness: tuple[Figure, ...]
    dissolves: tuple[Dissolving, ...]
    settles: tuple[Settling, ...]
    dangers: tuple[Danger, ...]
    doses: Figure | None
    lasts: Figure | None
    least_dose: Figure | None
    cautions: tuple[str, ...] = CAUTIONS

    @cached_property
    def figures(self) -> tuple[Figure, ...]:
        """Every figure."""
        found = [*self.grams, *self.brings, *self.hardness]
        found += [one.share for one in self.dissolves]
        found += [one.index for one in self.settles if one.index is not None]
        found += [one.at_most for one in self.dangers]
        found += [one for one in (self.doses, self.lasts, self.least_dose) if one is not None]
        return tuple(found)

    @property
    def keeps(self) -> bool:
        """Return whether all surely dissolves and nothing falls out."""
        return (
            all(one.verdict == "dissolves" for one in self.dissolves)
            and not any(one.falls for one in self.settles)
        )  # fmt: skip

    @property
    def harmless(self) -> bool:
        """Return whether nothing in it passes what the animals stand."""
        return all(danger.passed for danger in self.dangers)


def stock_for(
    tank: Tank,
    wants: Sequence[Want],
    *,
    bottle_ml: float = USUAL_BOTTLE_ML,
    dose_ml: float = USUAL_DOSE_ML,
    per_week: float = USUAL_PER_WEEK,
    coldest_c: float = USUAL_COLDEST_C,
    ph: float | None = None,
    name: str = "stock",
) -> Stock:
    """Return the bottle of which one dose brings what is wanted. Raises as `bottle_for`."""
    bottle = bottle_for(wants, tank.volume_l, bottle_ml, dose_ml, name)
    return stock_of(tank, bottle, dose_ml=dose_ml, per_week=per_week, coldest_c=coldest_c,
                    ph=ph, wants=tuple(wants))  # fmt: skip


def stock_of(
    tank: Tank,
    bottle: Bottle,
    *,
    dose_ml: float = USUAL_DOSE_ML,
    per_week: float = USUAL_PER_WEEK,
    coldest_c: float = USUAL_COLDEST_C,
    ph: float | None = None,
    wants: tuple[Want, ...] = (),
) -> Stock:
    """Return what a bottle that is there, or would be, does for a tank.

    `ph` is the highest the tank comes to; without it that of its KH with the gas off. Raises
    InputError for a dose of more than the bottle.
    """
    if bottle.volume_ml is not None and dose_ml > bottle.volume_ml:
        raise InputError(
            f"a dose of {dose_ml:g} mL is more than the bottle's {bottle.volume_ml:g} mL"
        )
    dissolves = dissolving(bottle, coldest_c)
    return Stock(
        tank=tank,
        bottle=bottle,
        dose_ml=dose_ml,
        per_week=per_week,
        coldest_c=coldest_c,
        wants=wants,
        grams=_grams(tank, bottle, dose_ml, wants),
        brings=brings(tank, bottle, dose_ml),
        hardness=hardness(tank, bottle, dose_ml),
        dissolves=dissolves,
        settles=settling_in(bottle),
        dangers=dangers(tank, bottle, dose_ml, per_week, ph),
        doses=_doses(bottle, dose_ml),
        lasts=_lasts(bottle, dose_ml, per_week),
        least_dose=_least_dose(bottle, dose_ml, dissolves),
    )


def _grams(
    tank: Tank, bottle: Bottle, dose_ml: float, wants: tuple[Want, ...]
) -> tuple[Figure, ...]:
    inputs = (
        *(Input(f"{want.nutrient} a dose", want.raise_mg_l, "mg/L", "wished for")
          for want in wants),
        Input("dose", dose_ml, "mL", "given"),
        Input("bottle", bottle.volume_ml or 0.0, "mL", "given"),
        Input("water", tank.volume_l, "L",
              "tank file" if tank.volume_known else "the glass less 10 %"),
    )  # fmt: skip
    formula = (
        "mg/L wished for × water / part of the salt that is it × doses in the bottle, all "
        "wishes together" if wants else "as the bottle was made"
    )  # fmt: skip
    return tuple(
        figure(f"grams_{key}", key, grams, "g", formula, inputs,
               "molar masses, standard atomic weights")
        for key, grams in bottle.salts_g
    )  # fmt: skip


def _doses(bottle: Bottle, dose_ml: float) -> Figure | None:
    if bottle.volume_ml is None:
        return None
    return figure("doses", "Doses in the bottle", bottle.volume_ml / dose_ml, "", "bottle / dose",
                  (Input("bottle", bottle.volume_ml, "mL", "given"),
                   Input("dose", dose_ml, "mL", "given")), "arithmetic")  # fmt: skip


def _lasts(bottle: Bottle, dose_ml: float, per_week: float) -> Figure | None:
    if bottle.volume_ml is None:
        return None
    return figure("lasts_weeks", "The bottle lasts", bottle.volume_ml / dose_ml / per_week,
                  "weeks", "doses in the bottle / doses a week",
                  (Input("doses", bottle.volume_ml / dose_ml, "", "bottle / dose"),
                   Input("doses a week", per_week, "", "given")), "arithmetic")  # fmt: skip


def _least_dose(bottle: Bottle, dose_ml: float, dissolves: tuple[Dissolving, ...]) -> Figure | None:
    thinner = thinner_by(dissolves)
    if thinner == 1.0 or bottle.volume_ml is None:
        return None
    return figure("least_dose_ml", "Smallest dose that surely stays dissolved",
                  thinner * dose_ml, "mL",
                  "dose × highest share of saturation: half the strength, half the share",
                  (Input("dose", dose_ml, "mL", "given"),
                   Input("highest share of saturation", thinner, "", "solubility")),
                  "solubility of the salts")  # fmt: skip


def keeps_too_long(stock: Stock) -> bool:
    """Return whether a bottle lasts longer than it should be kept."""
    return stock.lasts is not None and stock.lasts.value > KEEPS_MONTHS * _WEEKS_A_MONTH
