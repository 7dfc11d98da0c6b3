"""Waves of one day: the shape of what a model gets wrong every day alike."""

import numpy as np

from leafgill.estimate.prior import DAILY_HARMONICS
from leafgill.science.compiled import FloatArray
from leafgill.tank.timeline import hour_of_day


def daily_waves(times_s: FloatArray, timezone: str) -> FloatArray:
    """Return cosine and sine of each harmonic of the wall-clock day, [n, 2·harmonics]."""
    times = np.asarray(times_s, dtype=np.float64)
    if not times.size:
        return np.zeros((0, 2 * DAILY_HARMONICS))
    angle = 2.0 * np.pi * hour_of_day(times, timezone) / 24.0
    waves = [wave((k + 1) * angle) for k in range(DAILY_HARMONICS) for wave in (np.cos, np.sin)]
    return np.ascontiguousarray(np.stack(waves, axis=1))
