"""What one counted bubble is: how large it leaves the counter's tip, and how much CO2 it carries.

A bubble count is a setting, not a dose: tip, liquid and pressure move the mass of a bubble
several-fold. Slow bubbling is meant, up to a few bubbles a second; faster ones come off larger.
"""

import math

import numpy as np

from leafgill.science.bubble_kernel import GRAVITY_M_S2
from leafgill.science.cited import Range
from leafgill.science.co2_fluid import second_virial_cm3_mol
from leafgill.science.compiled import FloatArray, Numeric, Same, everyday
from leafgill.science.constants import (
    CO2_G_MOL,
    GAS_CONSTANT_J_MOL_K,
    KELVIN,
    STANDARD_HPA,
)
from leafgill.science.gases import water_density_kg_l
from leafgill.science.refuse import positive
from leafgill.science.water_properties import surface_tension_n_m

LIQUIDS = ("water", "glycerol")
# Glycerol at 20 °C (CRC Handbook, cited from memory, not checked against the book); both fall by
# about a thousandth a kelvin, far less than the range of a detached volume.
GLYCEROL_TENSION_N_M = 0.0634
GLYCEROL_DENSITY_KG_M3 = 1261.0
# Part of Tate's volume that really leaves (after Harkins & Brown 1919, J. Am. Chem. Soc. 41,
# 499-524; cited from memory, not checked against the paper).
LEAST_OF_TATE, MOST_OF_TATE = 0.6, 0.95
# Fit of Lando & Oakley 1967, J. Colloid Interface Sci. 25, 526-530, to the correction of Harkins &
# Brown (cited from memory, not checked against the paper): 1/(2π·f) against x = r/V^⅓.
_LANDO_OAKLEY = (0.14782, 0.27896, -0.166)
# They fitted x from 0.3 to 1.2; narrow tips lie below, where the fit runs on to f = 1.
_WIDEST = 1.2
_ROUNDS = 60


@everyday
def bubble_diameter_mm(volume_ul: Numeric) -> Same:
    """Diameter [mm] of the sphere of this volume [µL]."""
    return np.cbrt(6.0 / math.pi * volume_ul)


@everyday
def bubble_volume_ul(diameter_mm: Numeric) -> Same:
    """Volume [µL] of a sphere of this diameter [mm]."""
    return math.pi / 6.0 * diameter_mm**3


@everyday
def bubble_co2_mg(
    volume_ul: Numeric,
    gauge_bar: Numeric,
    temperature_c: Numeric,
    pressure_hpa: Numeric = STANDARD_HPA,
) -> Same:
    """CO2 [mg] in a counted bubble of this volume [µL].

    `gauge_bar` is the pressure in the counter over that of the room (`pressure_hpa`): a bubble at
    2 bar carries three times what it does at 0. V/(RT/p + B), the virial equation cut after B:
    within 0.13 % of the equation of state of Span & Wagner 1996 up to 6 bar. The gas counts as
    dry; vapour from the counter's water takes the place of 2 % of it at most.
    """
    pressure_pa = 1e5 * gauge_bar + 1e2 * pressure_hpa
    molar = GAS_CONSTANT_J_MOL_K * (temperature_c + KELVIN) / pressure_pa
    moles = 1e-9 * volume_ul / (molar + 1e-6 * second_virial_cm3_mol(temperature_c))
    return 1e3 * CO2_G_MOL * moles


def tate_volume_ul(orifice_mm: Numeric, temperature_c: Numeric, *, liquid: str = "water") -> Same:
    """Volume [µL] by Tate's law, π·d·σ/(ρ·g): the whole rim pulls on the whole bubble.

    `orifice_mm` is the diameter of the edge the bubble hangs on. The gas's own weight is left out
    (0.2 %). Raises ValueError for an unknown liquid and an orifice of 0 or less.
    """
    if liquid not in LIQUIDS:
        raise ValueError(f'liquid is "water" or "glycerol", not "{liquid}"')
    positive("orifice", "mm", orifice_mm)
    d = np.asarray(orifice_mm, dtype=np.float64) * 1e-3
    t = np.asarray(temperature_c, dtype=np.float64)
    if liquid == "water":
        tension, density = surface_tension_n_m(t), 1e3 * water_density_kg_l(t)
    else:
        tension, density = GLYCEROL_TENSION_N_M + 0.0 * t, GLYCEROL_DENSITY_KG_M3
    volume = 1e9 * math.pi * d * tension / (density * GRAVITY_M_S2)
    return volume if np.ndim(volume) else float(volume)


def harkins_brown(orifice_mm: Numeric, tate_ul: Numeric) -> Same:
    """Part of Tate's volume that leaves a tip of this diameter [mm], the rest staying behind.

    Harkins & Brown 1919 by the fit of Lando & Oakley 1967, as a function of the radius over the
    cube root of the volume that leaves, found by repeating. Held to what was fitted at wide tips.
    """
    radius = 0.5 * np.asarray(orifice_mm, dtype=np.float64)
    tate = np.asarray(tate_ul, dtype=np.float64)
    part: FloatArray = np.full(np.broadcast_shapes(radius.shape, tate.shape), 0.7)
    a, b, c = _LANDO_OAKLEY
    for _ in range(_ROUNDS):
        x = np.minimum(radius / np.cbrt(part * tate), _WIDEST)
        part = np.minimum(1.0 / (2.0 * math.pi * (a + x * (b + c * x))), 1.0)
    part = np.where(np.isnan(radius * tate), math.nan, part)
    return part if np.ndim(part) else float(part)


def detached_volume_ul(
    orifice_mm: Numeric, temperature_c: Numeric, *, liquid: str = "water"
) -> Range:
    """Volume [µL] of a bubble that leaves a tip slowly: the likely figure and its range.

    Tate's volume (`tate_volume_ul`) times Harkins and Brown's part (`harkins_brown`); low and
    high are 0.6 and 0.95 of Tate's, which covers tips that are worn, wetted to the outer edge or
    tilted. "glycerol" for counters filled with it. Raises ValueError for an unknown liquid and an
    orifice of 0 or less.
    """
    whole = tate_volume_ul(orifice_mm, temperature_c, liquid=liquid)
    likely = whole * harkins_brown(orifice_mm, whole)
    # the very narrowest tips leave next to nothing behind
    high = np.maximum(MOST_OF_TATE * whole, likely)
    return Range(likely, LEAST_OF_TATE * whole, high if np.ndim(high) else float(high))
