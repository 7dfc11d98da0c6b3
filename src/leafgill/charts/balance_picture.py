"""What a picture of a tank's nutrients through the weeks holds, as plain numbers."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]


@dataclass(frozen=True)
class TestMark:
    """A test: days from now, what it showed and what it allows [mg/L], in words, does it fit."""

    __test__ = False

    days: float
    mg_l: float
    low: float
    high: float
    shown: str
    fits: bool


@dataclass(frozen=True, eq=False)
class NutrientPanel:
    """One nutrient [mg/L] at the picture's days: as things go on, and with the doses advised.

    `dosed_*` are the same as the others until now. Bands hold the truth nine times in ten.
    """

    name: str
    mean: FloatArray
    low: FloatArray
    high: FloatArray
    dosed_mean: FloatArray
    dosed_low: FloatArray
    dosed_high: FloatArray
    floor_mg_l: float
    ceiling_mg_l: float
    marks: tuple[TestMark, ...] = ()

    @property
    def top_mg_l(self) -> float:
        """Where the scale ends: above ceiling, bands and what tests showed."""
        highest = [1.15 * self.ceiling_mg_l, *(1.05 * mark.mg_l for mark in self.marks)]
        for band in (self.high, self.dosed_high):
            if band.size:
                highest.append(1.02 * float(band.max()))
        return max(highest)


@dataclass(frozen=True)
class Deed:
    """A dose or a water change: days from now, which of the two, in words, done or to come."""

    days: float
    kind: str
    words: str
    done: bool


@dataclass(frozen=True, eq=False)
class BalancePicture:
    """Nutrients of a tank against days from now; the days before now are negative.

    `days` [n] are those of every panel; `ticks` are (days from now, date).
    """

    title: str
    subtitle: str
    days: FloatArray
    panels: tuple[NutrientPanel, ...]
    deeds: tuple[Deed, ...]
    ticks: tuple[tuple[float, str], ...]
