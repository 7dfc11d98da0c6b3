"""What a picture of a pressure hold holds, as plain numbers."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]


@dataclass(frozen=True)
class GaugeMark:
    """One reading: hours from the first, the gauge with its ends [bar], and what was read."""

    hours: float
    bar: float
    low_bar: float
    high_bar: float
    shown: str


@dataclass(frozen=True, eq=False)
class HoldPicture:
    """The gauge [bar] over a hold [h]: the readings, and what it would do were it tight.

    `tight_bar` follows the temperature alone, `walls_bar` loses what goes through the hose's wall
    (None where no hose is in it), `limit_bar` the most that still passes as tight.
    """

    title: str
    subtitle: str
    hours: FloatArray
    tight_bar: FloatArray
    limit_bar: FloatArray
    limit_text: str
    walls_bar: FloatArray | None
    marks: tuple[GaugeMark, ...]
    wait_h: float | None

    @property
    def ends_bar(self) -> tuple[float, float]:
        """Where the scale begins and ends."""
        lines = [self.tight_bar, self.limit_bar]
        lines += [] if self.walls_bar is None else [self.walls_bar]
        low = min([float(line.min()) for line in lines] + [m.low_bar for m in self.marks])
        high = max([float(line.max()) for line in lines] + [m.high_bar for m in self.marks])
        room = max(0.12 * (high - low), 0.02)
        return max(low - room, 0.0), high + room
