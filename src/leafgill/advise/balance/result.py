"""What balance answers: plain data, every number a figure that opens or a band through time."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from leafgill.advise.figure import Figure
from leafgill.estimate.belief import Band, Belief, Interval
from leafgill.science.compiled import FloatArray
from leafgill.tank.schedule import Window
from leafgill.tank.spec import Tank


@dataclass(frozen=True, slots=True)
class LimitShare:
    """One of the things growth may stand or fall by: light, carbon, or a nutrient.

    `key` is "light", "carbon" or a nutrient's key; `fullness` how far it lets growth go, of what
    growth would be with it in plenty, in per cent; `chance` how likely it is the least of all, in
    per cent; `gain` how much growth rises with this one alone in plenty, in per cent. `known`
    says whether anything of this tank speaks of it: where False, the figures are what is usual.
    """

    key: str
    name: str
    fullness: Figure
    chance: Figure
    gain: Figure
    known: bool
    reason: str


class SeenTest(NamedTuple):
    """A test in the diary: what it showed, what it allows, and whether it fits the rest.

    `low` and `high` are the true concentrations the reading allows by the kit's steps [mg/L].
    """

    time_s: float
    shown: str
    value_mg_l: float
    low_mg_l: float
    high_mg_l: float
    fits: bool


@dataclass(frozen=True, slots=True)
class Target:
    """Where a nutrient is to stay [mg/L], and on what grounds."""

    floor_mg_l: float
    ceiling_mg_l: float
    basis: str


@dataclass(frozen=True)
class NutrientOutlook:
    """One nutrient in the water, past and ahead.

    `times_s` [n] are epoch seconds, a point a day, from the first thing known of it until the
    last week ahead; `as_now` is its concentration if doses and water changes go on as lately,
    `dosed` with the doses advised (the same until now). `week` are the flows of one week at
    present, each in mg/L a week and positive where they add: "plants", "food", "tap" (with a
    water change, against what it takes away), "dose", "other". `demand` is what the plants take
    [mg/L a week]. `p_short` and `p_over` are the chances, in per cent, that it passes below the
    floor or above the ceiling at any time in the weeks ahead as things go on; `short_from_s` the
    first moment at which it is more likely short than not (None for never).
    """

    key: str
    name: str
    symbol: str
    trace: bool
    now: Figure
    target: Target
    demand: Figure
    week: tuple[Figure, ...]
    times_s: FloatArray
    as_now: Band
    dosed: Band
    p_short: Figure
    p_over: Figure
    short_from_s: float | None
    tests: tuple[SeenTest, ...]
    known: bool
    now_s: float

    @property
    def past(self) -> int:
        """Number of points up to now."""
        return int((self.times_s <= self.now_s).sum())


@dataclass(frozen=True, slots=True)
class Dose:
    """What to give: a salt by weight or a bottle by volume, so often a week.

    `each` is the amount of one dose in `unit` ("g" or "mL"), `a_week` how many doses; `gives`
    what one dose adds, mg/L by nutrient's key.
    """

    what: str
    is_bottle: bool
    each: Figure
    a_week: int
    gives: tuple[tuple[str, float], ...]

    @property
    def unit(self) -> str:
        """The unit of one dose."""
        return self.each.unit


@dataclass(frozen=True, slots=True)
class DosePlan:
    """A week's doses: from what the keeper has, or, where nothing is named, from usual salts.

    `lacking` are nutrients that nothing at hand gives, by name; `reasons` plain words.
    """

    doses: tuple[Dose, ...]
    assumed: bool
    lacking: tuple[str, ...]
    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LightNow:
    """The light: at the plants [µmol/m²/s], a day's sum [mol/m²], and on what grounds.

    `measured` is True for a PPFD of the tank file, False for one worked out from the lamp, None
    where nothing is known of the light.
    """

    ppfd: Figure | None
    daily: Figure | None
    measured: bool | None
    hours: float | None


@dataclass(frozen=True, slots=True)
class LightStep:
    """What more light would ask: `factor` times the light of now.

    `uptake` what the plants would fix in a day [mg/L], `gas` how much more gas it takes to hold
    the CO2 of now [%], `co2_if_unchanged` the median CO2 of the lit hours with the gas as it is
    [mg/L], `peak` the day's highest CO2 anywhere with that gas, `p_over_limit` its chance of
    passing the animals' limit [%], `o2_min` the lowest oxygen [mg/L], `p_low_o2` [%].
    `possible`: all of that within what advice allows. `nutrients` by how much demand rises [%].
    """

    factor: float
    growth: Figure
    uptake: Figure
    gas: Figure
    co2_if_unchanged: Figure
    peak: Figure
    p_over_limit: Figure
    o2_min: Figure
    p_low_o2: Figure
    possible: bool
    reason: str


@dataclass(frozen=True, slots=True)
class DayTrial:
    """Other hours of light tried in the tank's model, gas an hour ahead of them.

    `light` are the lit hours, two where a dark pause parts them. Figures as in `LightStep`;
    `fixed` is carbon dioxide taken by the plants in a day [mg/L].
    """

    key: str
    words: str
    light: tuple[Window, ...]
    gas: tuple[Window, ...]
    fixed: Figure
    against_now: Figure
    lit_co2: Figure
    peak: Figure
    p_over_limit: Figure
    o2_min: Figure
    p_low_o2: Figure
    gas_used: Figure
    possible: bool
    reason: str


@dataclass(frozen=True)
class Balance:
    """Light, carbon and nutrients of a tank at `now`, and the weeks ahead.

    `rows` [m] are the belief's draws as the water tests weigh them: index i of every joint draw.
    `carbon` is the carbon plants fix in a day [g], `growth` new dry plant in a week [g].
    `limits` stand in order, the likeliest first.
    """

    tank: Tank
    belief: Belief
    now: datetime
    weeks: int
    rows: NDArray[np.int64]
    carbon: Figure
    growth: Figure
    limits: tuple[LimitShare, ...]
    nutrients: tuple[NutrientOutlook, ...]
    plan: DosePlan
    light: LightNow
    light_up: tuple[LightStep, ...]
    days: tuple[DayTrial, ...]
    water_change_percent_week: Figure
    cautions: tuple[str, ...]
    assumed: tuple[str, ...]

    def nutrient(self, key: str) -> NutrientOutlook:
        """Return the outlook of a nutrient. Raises KeyError for one that is not followed."""
        return {outlook.key: outlook for outlook in self.nutrients}[key]

    @property
    def limiting(self) -> LimitShare:
        """The likeliest limit."""
        return self.limits[0]

    def at(self, key: str, times_s: FloatArray) -> list[Interval]:
        """Return a nutrient's intervals at epoch seconds [k], as things go on [mg/L]."""
        one = self.nutrient(key)
        parts = [np.interp(times_s, one.times_s, part) for part in one.as_now]
        return [Interval(*map(float, row)) for row in zip(*parts, strict=True)]
