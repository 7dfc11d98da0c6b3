"""Nutrients drawn jointly with the belief: each draw of carbon with its own water.

Given the carbon of a draw, what is not known of one nutrient has nothing to do with another's. So
the tests of one nutrient after the other are brought in by annealing (`supply.anneal`), each on
the draws that the ones before left: one coordinate says which of these, in the order of the carbon
they keep, the others are the nutrient's own. What is left at the end are draws of everything
together, every one with its row of the belief: a draw of the belief whose carbon the tests
contradict stands there seldom or not at all.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import log_ndtr, ndtr

from leafgill.advise.balance.carbon import CarbonDays
from leafgill.advise.balance.grid import Grid
from leafgill.advise.balance.kernel import Water, run
from leafgill.advise.balance.read_tests import KitReading
from leafgill.advise.balance.unknowns import Quantities, Shared, Unknowns
from leafgill.advise.supply.anneal import anneal
from leafgill.science.compiled import FloatArray

# Reading a colour beside its steps, on the logarithm; the light, the eye, the hour (a choice of
# ours).
READING_SD = 0.15
# A test in so many is simply wrong: the wrong bottle shaken, the wrong column read. It then shows
# a step or two off, spread on the logarithm by so much, and one in ten of them anything at all
# (choices of ours).
MISREAD_PART, MISREAD_SD, ANYTHING_PART = 0.06, 1.0, 0.1
# Anything lies anywhere over this factor, on the logarithm.
_ANYWHERE = np.log(300.0)
_LEAST_MG_L = 1e-7


@dataclass
class Joint:
    """The draws: what nutrients share and, by nutrient, what its coordinates stand for."""

    shared: Shared
    carbon: CarbonDays
    parts: dict[str, Quantities]

    @property
    def net_mg_l(self) -> FloatArray:
        """Carbon kept by the plants on the day ahead [mg/L/day], [m]."""
        kept: FloatArray = self.shared.net_share * self.carbon.now_mg_l[self.shared.row]
        return kept


def draw(
    shared: Shared,
    carbon: CarbonDays,
    unknowns: Sequence[Unknowns],
    tests: Sequence[KitReading],
    grid: Grid,
    rng: np.random.Generator,
) -> Joint:
    """Return the joint draws: nutrients with tests first, the others by their priors."""
    joint = Joint(shared, carbon, {})
    count = shared.count
    told = {u.nutrient.key: [t for t in tests if t.key == u.nutrient.key] for u in unknowns}
    for one in sorted(unknowns, key=lambda u: -len(told[u.nutrient.key])):
        seen = told[one.nutrient.key]
        if seen:
            _bring_in(joint, one, seen, grid, rng)
        else:
            joint.parts[one.nutrient.key] = one.quantities(rng.standard_normal((count, one.size)))
    return joint


def _bring_in(
    joint: Joint, one: Unknowns, seen: Sequence[KitReading], grid: Grid, rng: np.random.Generator
) -> None:
    order = np.argsort(joint.net_mg_l, kind="stable")
    count = order.size

    def chosen(z: FloatArray) -> NDArray[np.int64]:
        place = np.minimum((ndtr(z[:, 0]) * count).astype(np.int64), count - 1)
        rows: NDArray[np.int64] = order[place]
        return rows

    def loss(z: FloatArray) -> FloatArray:
        picked = joint.shared.take(chosen(z))
        return lost(one.quantities(z), picked, joint.carbon, one, seen, grid)

    z = anneal(loss, one.size, rng, count).z
    rows = chosen(z)
    joint.shared = joint.shared.take(rows)
    joint.parts = {key: part.take(rows) for key, part in joint.parts.items()}
    joint.parts[one.nutrient.key] = one.quantities(z)


def lost(
    q: Quantities,
    shared: Shared,
    carbon: CarbonDays,
    one: Unknowns,
    seen: Sequence[KitReading],
    grid: Grid,
) -> FloatArray:
    """Return minus the logarithm of how likely the tests are, [m]."""
    course, _ = run(water_of(q, shared, carbon, one.nutrient.key, grid))
    total = np.zeros(shared.count)
    for test in seen:
        total -= log_chance(grid.at(course, test.time_s) * q.kit, test)
    return total


def log_chance(shown_mg_l: FloatArray, test: KitReading) -> FloatArray:
    """Return the logarithm of the chance that a kit would be read as it was, [m].

    `shown_mg_l` is what the kit sees: the truth with the kit's bias.
    """
    at = np.log(np.maximum(shown_mg_l, _LEAST_MG_L))
    right, wrong = _inside(at, test, READING_SD), _inside(at, test, MISREAD_SD)
    width = 0.2 * _ANYWHERE if test.low_mg_l <= 0.0 else np.log(test.high_mg_l / test.low_mg_l)
    anything = np.log(ANYTHING_PART * width / _ANYWHERE)
    wrong = np.logaddexp(np.log1p(-ANYTHING_PART) + wrong, anything)
    chance: FloatArray = np.logaddexp(np.log1p(-MISREAD_PART) + right, np.log(MISREAD_PART) + wrong)
    return chance


def _inside(at: FloatArray, test: KitReading, sd: float) -> FloatArray:
    """Return the logarithm of the chance that `at`, blurred by `sd`, lies within a step, [m]."""
    above = (np.log(test.high_mg_l) - at) / sd
    if test.low_mg_l <= 0.0:
        nothing_below: FloatArray = log_ndtr(above)
        return nothing_below
    below = (np.log(test.low_mg_l) - at) / sd
    # by the nearer tail, where the difference keeps its digits
    flip = below > 0.0
    high = log_ndtr(np.where(flip, -below, above))
    low = log_ndtr(np.where(flip, -above, below))
    inside: FloatArray = high + np.log1p(-np.exp(np.minimum(low - high, -1e-12)))
    return inside


def water_of(
    q: Quantities,
    shared: Shared,
    carbon: CarbonDays,
    key: str,
    grid: Grid,
    dose_mg_l: FloatArray | None = None,
    stray: FloatArray | None = None,
) -> Water:
    """Return what acts on a nutrient on a grid's steps.

    `dose_mg_l` [m, n] are the doses unless the grid's own hold; `stray` [m, weeks] is uptake's
    straying from now on, unless that of the weeks until now.
    """
    strays = q.stray if stray is None else stray
    first = strays.shape[1] if stray is None else 0
    week = np.clip(grid.week + first, 0, strays.shape[1] - 1).astype(np.int64)
    need = carbon.of_days(grid.day)[shared.row] * (shared.net_share * q.ratio)[:, None]
    need = need * np.exp(strays)[:, week]
    dose = grid.adds(key)[None, :] * q.dose[:, None] if dose_mg_l is None else dose_mg_l
    return Water(
        start_mg_l=q.start_mg_l,
        half_mg_l=q.half_mg_l,
        loss_per_day=q.loss_per_day,
        comes_mg_l_day=q.other_mg_l_day + q.food_share * shared.food_mg_l_day,
        need_mg_l_day=need,
        tap_mg_l=q.tap_mg_l,
        dose_mg_l=dose,
        dt_day=grid.dt_day,
        part=grid.part,
        tap_share=grid.tap_share,
    )
