"""What a picture of the oxygen through a night holds, as plain numbers."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from leafgill.charts.picture import FloatArray


@dataclass(frozen=True, eq=False)
class NightPicture:
    """Oxygen [mg/L] from a moment through the night that follows, where it is lowest in the tank.

    Hours are those that pass since the moment; `low` and `high` hold the truth nine times in ten;
    `dark` are the (from, to) without light; `ticks` say what the clock shows; `least_mg_l` is the
    animals' minimum. All of a series are [n].
    """

    title: str
    subtitle: str
    length_h: float
    hours: FloatArray
    mean: FloatArray
    low: FloatArray
    high: FloatArray
    least_mg_l: float
    dark: tuple[tuple[float, float], ...]
    ticks: tuple[tuple[float, str], ...]

    @property
    def lowest(self) -> tuple[float, float, float, float]:
        """Hour, mean, low and high where the mean is lowest."""
        at = int(np.argmin(self.mean))
        series = (self.hours, self.mean, self.low, self.high)
        hour, mean, low, high = (float(part[at]) for part in series)
        return hour, mean, low, high

    @property
    def top_mg_l(self) -> float:
        """Where the scale ends: a round figure above the band."""
        return 2.0 * float(np.ceil(1.04 * max(float(self.high.max()), self.least_mg_l) / 2.0))
