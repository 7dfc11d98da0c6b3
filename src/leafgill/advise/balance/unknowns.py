"""What is not known of a nutrient before a test is looked at: one coordinate a thing.

Each coordinate is standard normal; `quantities` turns draws of them into what they stand for. What
all nutrients share (the plants' own breath, how much is fed) is drawn once, in `shared`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri

from leafgill.advise.balance.nutrients import CARBON_PERCENT, NET_SHARE, Nutrient
from leafgill.estimate.belief import LEVEL, Belief
from leafgill.science.cited import Range
from leafgill.science.compiled import FloatArray
from leafgill.tank.spec import Tank

_FARTHEST = 6.0
# How far the ends of what is heavy-tailed are stretched (a choice of ours).
_HEAVY = 0.12
_REACH = float(ndtri(0.5 + 0.5 * LEVEL))
# Uptake strays from the mean of its tissue ratio from week to week, and remembers for some: new
# shoots, luxury uptake, a pruning, a dose forgotten (a choice of ours, set on simulated seasons).
STRAY_SD, STRAY_KEPT = 0.35, 0.8
# A kit's own error beside its steps, the same in each of its tests (a choice of ours).
KIT_BIAS_SD = 0.15
# Weighing, and what a salt really holds.
DOSE_SD = 0.08
# A tap known from a test or a report moves with the season.
TAP_KNOWN_SD = 0.15
# Dry food a day where nothing is said, in g per litre of tank (common practice, no source).
_FOOD_G_L = Range(0.003, 0.0008, 0.011)
_FOOD_KNOWN_SD = 0.15
FOOD_NITROGEN = Range(7.0, 5.5, 8.5)  # protein of 34 to 53 %, divided by 6.25
FOOD_PHOSPHORUS = Range(1.2, 0.7, 2.0)
# What of the food's element ends dissolved, and not in growing animals or in the mulm.
_RELEASED = {"nitrate": Range(0.7, 0.45, 0.92), "phosphate": Range(0.55, 0.25, 0.85)}

NAMES = ("which", "ratio", "start", "tap", "loss", "other", "half", "kit", "dose", "released")


def log_normal(known: Range, z: FloatArray) -> FloatArray:
    """Return draws of a range for coordinates: nine in ten lie in it, on the logarithm."""
    low, middle, high = np.log([known.low, known.value, known.high])
    slope = np.where(z < 0.0, middle - low, high - middle) / _REACH
    values: FloatArray = np.exp(middle + slope * np.clip(z, -_FARTHEST, _FARTHEST))
    return values


def heavy(z: FloatArray) -> FloatArray:
    """Return coordinates stretched at both ends: nine in ten stay where they were.

    For what a soil or a filter may do now and then far beyond the usual: tests that agree on it
    are then believed, and not taken for so many misreadings.
    """
    stretched: FloatArray = z * (1.0 + _HEAVY * z * z) / (1.0 + _HEAVY * _REACH * _REACH)
    return stretched


@dataclass(frozen=True)
class Shared:
    """What all nutrients share, m draws: which row of the belief, net carbon, food.

    `net_share` of the carbon fixed stays in the plants; `food_mg_l_day` is dry food.
    """

    row: NDArray[np.int64]
    net_share: FloatArray
    food_mg_l_day: FloatArray

    def take(self, rows: NDArray[np.int64]) -> Shared:
        """Return some of the draws."""
        return Shared(self.row[rows], self.net_share[rows], self.food_mg_l_day[rows])

    @property
    def count(self) -> int:
        """Number of draws."""
        return int(self.row.size)


def shared(tank: Tank, belief: Belief, count: int, rng: np.random.Generator) -> Shared:
    """Return draws of what nutrients share; every row of the belief as often as another."""
    rows = np.arange(count, dtype=np.int64) % belief.count
    food = tank.feeding.food_g_day
    if food is not None:
        grams = food / tank.volume_l * np.exp(_FOOD_KNOWN_SD * rng.standard_normal(count))
    elif tank.livestock.kinds == ("none",):
        grams = np.zeros(count)
    else:
        grams = log_normal(_FOOD_G_L, rng.standard_normal(count))
    return Shared(
        row=rows,
        net_share=log_normal(NET_SHARE, rng.standard_normal(count)),
        food_mg_l_day=1e3 * grams,
    )


@dataclass(frozen=True)
class Quantities:
    """What coordinates of one nutrient stand for, each [m]; `stray` [m, weeks], the last now's.

    `ratio` is the ion taken from the water per carbon kept [mg/mg].
    """

    ratio: FloatArray
    start_mg_l: FloatArray
    tap_mg_l: FloatArray
    loss_per_day: FloatArray
    other_mg_l_day: FloatArray
    half_mg_l: FloatArray
    kit: FloatArray
    dose: FloatArray
    food_share: FloatArray
    stray: FloatArray

    def take(self, rows: NDArray[np.int64]) -> Quantities:
        """Return some of the draws."""
        return Quantities(*(getattr(self, name)[rows] for name in Quantities.__annotations__))


@dataclass(frozen=True)
class Unknowns:
    """The coordinates of one nutrient in one tank: the named ones, then one a week back."""

    nutrient: Nutrient
    start: Range
    tap: Range
    food_percent: Range | None
    weeks: int

    @property
    def size(self) -> int:
        """Number of coordinates."""
        return len(NAMES) + self.weeks

    def quantities(self, z: FloatArray) -> Quantities:
        """Return what coordinates [m, size] stand for."""
        c = {name: z[:, k] for k, name in enumerate(NAMES)}
        one = self.nutrient
        released = np.zeros(z.shape[0])
        if self.food_percent is not None:
            released = log_normal(_RELEASED[one.key], c["released"])
            released = np.minimum(released, 1.0) * 1e-2 * self.food_percent.value
            released *= one.ion_per_element
        return Quantities(
            ratio=log_normal(_ratio(one), c["ratio"]),
            start_mg_l=log_normal(self.start, c["start"]),
            tap_mg_l=log_normal(self.tap, c["tap"]),
            loss_per_day=log_normal(one.loss_per_day, heavy(c["loss"])),
            other_mg_l_day=log_normal(one.other_mg_l_day, heavy(c["other"])),
            half_mg_l=log_normal(one.half_mg_l, c["half"]),
            kit=np.exp(KIT_BIAS_SD * c["kit"]),
            dose=np.exp(DOSE_SD * c["dose"]),
            food_share=released,
            stray=strayed(z[:, len(NAMES) :]),
        )


def strayed(z: FloatArray) -> FloatArray:
    """Return the logarithm of uptake against its mean, week by week, [m, weeks]."""
    stray = np.empty_like(z)
    fresh = np.sqrt(1.0 - STRAY_KEPT**2)
    for k in range(z.shape[1]):
        before = stray[:, k - 1] if k else STRAY_SD * z[:, 0]
        stray[:, k] = STRAY_KEPT * before + fresh * STRAY_SD * z[:, k] if k else before
    return stray


def _ratio(one: Nutrient) -> Range:
    """Return the ion taken from the water per carbon: tissue, carbon and the leaves' share."""
    t, w, c = one.tissue_percent, one.water_share, CARBON_PERCENT
    middle = t.value / c.value * w.value * one.ion_per_element
    down = np.hypot(np.hypot(np.log(t.value / t.low), np.log(w.value / w.low)),
                    np.log(c.high / c.value))  # fmt: skip
    up = np.hypot(np.hypot(np.log(t.high / t.value), np.log(w.high / w.value)),
                  np.log(c.value / c.low))  # fmt: skip
    return Range(middle, float(middle * np.exp(-down)), float(middle * np.exp(up)))


def unknowns_of(tank: Tank, belief: Belief, nutrient: Nutrient, weeks: int) -> Unknowns:
    """Return the coordinates of a nutrient in a tank, with what the tank file tells of it."""
    return Unknowns(
        nutrient=nutrient,
        start=_start(belief, nutrient),
        tap=_tap(tank, nutrient),
        food_percent=_food(tank, nutrient),
        weeks=weeks,
    )


def _food(tank: Tank, nutrient: Nutrient) -> Range | None:
    told = {
        "nitrate": (tank.feeding.nitrogen_percent, FOOD_NITROGEN),
        "phosphate": (tank.feeding.phosphorus_percent, FOOD_PHOSPHORUS),
    }
    if nutrient.key not in told:
        return None
    percent, usual = told[nutrient.key]
    return usual if percent is None else Range(percent, percent, percent)


# Hardness is calcium and magnesium; in tap water about seven parts in ten of it are calcium.
_MG_L_PER_DGH = {"calcium": (7.147, 0.72), "magnesium": (4.334, 0.28)}


def of_hardness(key: str, gh_dgh: float) -> Range:
    """Return the calcium or magnesium [mg/L] that a total hardness allows."""
    per, share = _MG_L_PER_DGH[key]
    wide = 1.35 if key == "calcium" else 2.0
    middle = max(gh_dgh, 0.05) * per * share
    return Range(middle, middle / wide, middle * wide)


def _start(belief: Belief, nutrient: Nutrient) -> Range:
    if nutrient.key in _MG_L_PER_DGH and belief.tank.water.gh_dgh is not None:
        return of_hardness(nutrient.key, belief.tank.water.gh_dgh)
    return nutrient.start_mg_l


def _tap(tank: Tank, nutrient: Nutrient) -> Range:
    told = getattr(tank.tap, f"{nutrient.key}_mg_l", None)
    if told is not None:
        middle = max(told, 1e-3 * nutrient.tap_mg_l.value)
        factor = float(np.exp(_REACH * TAP_KNOWN_SD))
        return Range(middle, middle / factor, middle * factor)
    if nutrient.key in _MG_L_PER_DGH and tank.tap.gh_dgh is not None:
        return of_hardness(nutrient.key, tank.tap.gh_dgh)
    return nutrient.tap_mg_l
