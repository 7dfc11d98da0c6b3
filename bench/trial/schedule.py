"""Daily windows laid over minutes, and how bright the day is for plants."""

import numpy as np
from numpy.typing import NDArray

from .actions import Window
from .chemistry import FloatArray
from .diary import MINUTES_DAY

DAWN_MIN = 10.0
FRESH_SHARE = 0.4  # of the day, before plants begin to tire


def minutes_into(clock_min: NDArray[np.int64], window: Window | None) -> FloatArray:
    """Minutes since a daily window opened at each clock minute, -1 while it is shut."""
    if window is None:
        return np.full(clock_min.size, -1.0)
    into = (clock_min - window.on_min) % MINUTES_DAY
    return np.where(into < _length(window), into, -1).astype(np.float64)


def daylight(
    clock_min: NDArray[np.int64], window: Window | None, afternoon_loss: float
) -> FloatArray:
    """Share of full uptake: a short dawn, full for two fifths of the day, then slowing."""
    into = minutes_into(clock_min, window)
    if window is None:
        return np.zeros(into.size)
    tired = np.clip((into / max(_length(window), 1) - FRESH_SHARE) / (1.0 - FRESH_SHARE), 0.0, 1.0)
    dawn = np.clip((into + 1.0) / DAWN_MIN, 0.0, 1.0)
    return dawn * (1.0 - afternoon_loss * tired)


def _length(window: Window) -> int:
    return (window.off_min - window.on_min) % MINUTES_DAY
