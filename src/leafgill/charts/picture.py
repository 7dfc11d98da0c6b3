"""What a picture of one day holds, as plain numbers: every way of drawing it starts from this."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]


@dataclass(frozen=True)
class Mark:
    """A reading turned into CO2: when [h], the CO2 it speaks for and what it may mean [mg/L].

    `kind` is what it was read with, `shown` the reading itself ("pH 6.66").
    """

    hour: float
    co2_mg_l: float
    low: float
    high: float
    kind: str
    shown: str


@dataclass(frozen=True)
class Bar:
    """When something is on: its name and (from, to) in hours since midnight."""

    name: str
    spans: tuple[tuple[float, float], ...]


@dataclass(frozen=True, eq=False)
class DayPicture:
    """CO2 of one day from midnight to midnight by the tank's clock.

    Hours are those that pass since midnight, so a day on which the clocks change is 23 or 25 long;
    `ticks` say what the clock shows. The outer band holds the truth nine times in ten, the inner
    one every other time. All levels in mg/L.
    """

    title: str
    subtitle: str
    length_h: float
    now_h: float | None
    hours: FloatArray
    mean: FloatArray
    outer_low: FloatArray
    outer_high: FloatArray
    inner_low: FloatArray
    inner_high: FloatArray
    limit_mg_l: float
    target_mg_l: float
    ticks: tuple[tuple[float, str], ...]
    marks: tuple[Mark, ...] = ()
    bars: tuple[Bar, ...] = ()

    @property
    def top_mg_l(self) -> float:
        """Where the scale ends: above the limit, the band and the marks, on a round figure."""
        highest = [1.2 * self.limit_mg_l, *(1.05 * mark.co2_mg_l for mark in self.marks)]
        if self.outer_high.size:
            highest.append(1.05 * float(self.outer_high.max()))
        return round_up(max(highest))


def round_up(value: float) -> float:
    """Return the next multiple of 5, of 10 from 50 and of 20 from 100."""
    step = 5.0 if value < 50.0 else 10.0 if value < 100.0 else 20.0
    return step * float(np.ceil(value / step - 1e-9))
