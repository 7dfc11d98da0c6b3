"""Every draw of a nutrient run on from now, under doses to try."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from leafgill.advise.balance.grid import Grid
from leafgill.advise.balance.joint import Joint, water_of
from leafgill.advise.balance.kernel import run
from leafgill.advise.balance.unknowns import STRAY_KEPT, STRAY_SD
from leafgill.science.compiled import FloatArray

# Ahead, a dose in so many is forgotten, and each is measured a little differently.
FORGOTTEN_PART = 0.05
MEASURING_SD = 0.07


@dataclass(frozen=True)
class Ahead:
    """What is drawn of the weeks ahead, once for all nutrients and all doses to try.

    `taken` [m, n] is the part of each step's doses that really goes in.
    """

    grid: Grid
    taken: FloatArray
    seed: int

    @classmethod
    def of(cls, grid: Grid, count: int, seed: int) -> Ahead:
        """Return the weeks of a grid for so many draws."""
        rng = np.random.default_rng(seed)
        shape = (count, grid.edges_s.size - 1)
        taken = np.exp(MEASURING_SD * rng.standard_normal(shape))
        taken[rng.random(shape) < FORGOTTEN_PART] = 0.0
        return cls(grid, taken, seed)

    def stray(self, key: str, before: FloatArray, weeks: int) -> FloatArray:
        """Return uptake's straying in the weeks ahead, [m, weeks], going on from now's [m]."""
        own = np.frombuffer(key.encode(), dtype=np.uint8)
        rng = np.random.default_rng([self.seed, *own])
        stray = np.empty((before.size, weeks))
        fresh = STRAY_SD * np.sqrt(1.0 - STRAY_KEPT**2)
        for k in range(weeks):
            before = STRAY_KEPT * before + fresh * rng.standard_normal(before.size)
            stray[:, k] = before
        return stray

    def course(
        self, joint: Joint, key: str, now_mg_l: FloatArray, doses_mg_l: FloatArray | None = None
    ) -> tuple[FloatArray, FloatArray]:
        """Return (concentrations at the grid's edges [m, n + 1], flows [m, 5] over all of it).

        `doses_mg_l` [n] are those at the steps' starts, unless the grid's own hold.
        """
        q = joint.parts[key]
        planned = self.grid.adds(key) if doses_mg_l is None else doses_mg_l
        doses = planned[None, :] * self.taken * q.dose[:, None]
        weeks = int(self.grid.week.max()) + 1
        water = water_of(
            q, joint.shared, joint.carbon, key, self.grid, doses,
            self.stray(key, q.stray[:, -1], weeks),
        )  # fmt: skip
        return run(water._replace(start_mg_l=now_mg_l), 0)


def weekly(grid: Grid, a_week: int) -> FloatArray:
    """Return which steps of a grid begin a dose given so often a week, [n] of 0 and 1.

    Evenly spaced from half a day after now, on the days' edges nearest to that.
    """
    first = grid.edges_s[0]
    every = 7.0 * 86400.0 / a_week
    wanted = np.arange(first + 0.5 * 86400.0, grid.edges_s[-1] - 1.0, every)
    at = np.clip(np.searchsorted(grid.edges_s, wanted - 1.0), 0, grid.edges_s.size - 2)
    given = np.zeros(grid.edges_s.size - 1)
    np.add.at(given, at, 1.0)
    return given


def added(adds_mg_l: Mapping[str, float], key: str, given: FloatArray) -> FloatArray:
    """Return the doses [mg/L] of a nutrient at steps [n], for one dose that adds so much."""
    doses: FloatArray = adds_mg_l.get(key, 0.0) * given
    return doses
