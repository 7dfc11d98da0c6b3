"""The gauge of a cylinder, quickly: a table of pressures below the saturation line."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from leafgill.science.co2_fluid import STANDARD_BAR, saturation_pressure_bar, vapour_density_kg_m3
from leafgill.science.co2_state import pressure_bar
from leafgill.science.compiled import FloatArray

# Rooms with a tank in them; above 30 °C nothing separates any more.
COLDEST_C, WARMEST_C = 5.0, 30.0
_DENSITIES, _WARMTHS = 41, 26


@lru_cache(maxsize=1)
def _table() -> FloatArray:
    """Return pressures over saturation [parts of the vapour's density, temperatures]."""
    parts = np.linspace(0.0, 1.0, _DENSITIES)
    warmths = np.linspace(COLDEST_C, WARMEST_C, _WARMTHS)
    vapour = np.asarray(vapour_density_kg_m3(warmths))
    # just below saturation, where gas is asked for and not two phases
    rho = (np.minimum(parts, 1.0 - 1e-6)[:, None] * vapour).ravel()
    p = np.asarray(pressure_bar(rho, np.tile(warmths, _DENSITIES))).reshape(_DENSITIES, _WARMTHS)
    ratio: FloatArray = p / np.asarray(saturation_pressure_bar(warmths))
    return ratio


def gauge_bar(density_kg_m3: FloatArray, temperature_c: FloatArray) -> FloatArray:
    """Return what the gauge of a cylinder shows [bar] for CO2 of a mean density, any shape.

    The saturation pressure while there is liquid, less than that below. Temperatures are held
    within 5 to 30 °C. Span & Wagner 1996, between the points of a table straight: within 0.1 bar.
    """
    t = np.clip(temperature_c, COLDEST_C, WARMEST_C)
    rho = np.maximum(density_kg_m3, 0.0)
    table = _table()
    part = np.minimum(rho / np.asarray(vapour_density_kg_m3(t)), 1.0)
    at = part * (_DENSITIES - 1)
    to = (t - COLDEST_C) / (WARMEST_C - COLDEST_C) * (_WARMTHS - 1)
    i = np.minimum(at.astype(np.int64), _DENSITIES - 2)
    j = np.minimum(to.astype(np.int64), _WARMTHS - 2)
    a, b = at - i, to - j
    low = table[i, j] * (1.0 - b) + table[i, j + 1] * b
    high = table[i + 1, j] * (1.0 - b) + table[i + 1, j + 1] * b
    shown: FloatArray = (low * (1.0 - a) + high * a) * np.asarray(saturation_pressure_bar(t))
    return shown - STANDARD_BAR
