"""What a picture of a cylinder's gas through time holds, as plain numbers."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]


@dataclass(frozen=True)
class MassMark:
    """One reading turned into gas left: days from now, kg with its ends, and what was read."""

    days: float
    kg: float
    low_kg: float
    high_kg: float
    kind: str
    shown: str


@dataclass(frozen=True, eq=False)
class SupplyPicture:
    """Gas left in a cylinder [kg] against days from now; the days before now are negative.

    The band holds the truth nine times in ten. `last_liquid_kg` is where the gauge begins to fall,
    `change_kg` where the cylinder is better changed (None at the end). `change_days` are the early
    and the late end of the change, `change_dates` the days they fall on. `ticks` are (days from
    now, date).
    """

    title: str
    subtitle: str
    days: FloatArray
    middle_kg: FloatArray
    low_kg: FloatArray
    high_kg: FloatArray
    last_liquid_kg: float
    change_kg: float | None
    change_days: tuple[float, float]
    change_dates: tuple[str, str]
    ticks: tuple[tuple[float, str], ...]
    marks: tuple[MassMark, ...] = ()

    @property
    def top_kg(self) -> float:
        """Where the scale ends: a little above the band and the marks."""
        highest = [float(self.high_kg.max()), self.last_liquid_kg]
        highest += [mark.kg for mark in self.marks]
        return 1.12 * max(highest)
