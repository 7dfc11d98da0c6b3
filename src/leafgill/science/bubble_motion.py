"""How fast a CO2 bubble rises in fresh water, and how fast gas crosses its face.

Two faces bound what happens in a tank. "dirty" is stiff with organic matter, which a planted
tank's water always carries: the default. "clean" is mobile, as in pure water or in the first
moments of a bubble. The laws and their sources are in `bubble_kernel`.
"""

import numpy as np

from leafgill.science.bubble_kernel import rise, transfer
from leafgill.science.compiled import FloatArray, Numeric, Same, compiled, flat, like
from leafgill.science.constants import CO2_G_MOL, GAS_CONSTANT_J_MOL_K, KELVIN
from leafgill.science.gases import water_density_kg_l
from leafgill.science.refuse import positive
from leafgill.science.water_properties import (
    co2_diffusivity_m2_s,
    n2_diffusivity_m2_s,
    o2_diffusivity_m2_s,
    surface_tension_n_m,
    water_viscosity_pa_s,
)

SURFACES = ("dirty", "clean")
GASES = ("co2", "n2", "o2")
# Viscosity of CO2 near 25 °C and 1 atm, the gas's only part in the rise of a clean bubble (cited
# from memory; tests hold it to CoolProp within 7 % over 5-35 °C, which moves the rise by 0.1 %).
GAS_VISCOSITY_PA_S = 1.49e-5
_ATM_PA = 101325.0


def is_clean(surface: str) -> bool:
    """Whether the face is mobile; raises ValueError for a word that is neither."""
    if surface not in SURFACES:
        raise ValueError(f'surface is "dirty" or "clean", not "{surface}"')
    return surface == "clean"


@compiled
def gas_density_kg_m3(temperature_c: float, pressure_pa: float) -> float:
    """Density of CO2 as an ideal gas [kg/m³]; 0.5 % low at 1 atm, which moves no rise visibly."""
    kelvin = temperature_c + KELVIN
    return pressure_pa * CO2_G_MOL * 1e-3 / (GAS_CONSTANT_J_MOL_K * kelvin)


@compiled
def _rise_at(diameter_m: float, temperature_c: float, clean: bool) -> float:
    """Rise [m/s] of a CO2 bubble near the surface."""
    return rise(
        diameter_m,
        1e3 * water_density_kg_l(temperature_c),
        water_viscosity_pa_s(temperature_c),
        surface_tension_n_m(temperature_c),
        gas_density_kg_m3(temperature_c, _ATM_PA),
        GAS_VISCOSITY_PA_S,
        clean,
    )


@compiled
def _rises(
    out: FloatArray, clean: bool, diameter_mm: FloatArray, temperature_c: FloatArray
) -> None:
    d_step, t_step = int(diameter_mm.size > 1), int(temperature_c.size > 1)
    for i in range(out.size):
        out[i] = _rise_at(1e-3 * diameter_mm[i * d_step], temperature_c[i * t_step], clean)


@compiled
def _transfers(
    out: FloatArray, clean: bool, gas: int, diameter_mm: FloatArray, temperature_c: FloatArray
) -> None:
    d_step, t_step = int(diameter_mm.size > 1), int(temperature_c.size > 1)
    for i in range(out.size):
        d, t = 1e-3 * diameter_mm[i * d_step], temperature_c[i * t_step]
        if gas == 0:
            diffusivity = co2_diffusivity_m2_s(t)
        elif gas == 1:
            diffusivity = n2_diffusivity_m2_s(t)
        else:
            diffusivity = o2_diffusivity_m2_s(t)
        speed = _rise_at(d, t, clean)
        density, viscosity = 1e3 * water_density_kg_l(t), water_viscosity_pa_s(t)
        out[i] = transfer(d, speed, density, viscosity, diffusivity, clean)


def rise_velocity_m_s(
    diameter_mm: Numeric, temperature_c: Numeric, *, surface: str = "dirty"
) -> Same:
    """Terminal rise velocity [m/s] of a CO2 bubble of this diameter [mm] in fresh water [°C].

    By shape after Clift, Grace & Weber 1978 (`bubble_kernel`); a clean ellipsoid is held to
    0.36 m/s, because the correlation overshoots near 1.5 mm. Raises ValueError for an unknown
    surface and a diameter of 0 or less.
    """
    clean = is_clean(surface)
    positive("diameter", "mm", diameter_mm)
    shape, arrays = flat(diameter_mm, temperature_c)
    out = np.empty(int(np.prod(shape)))
    _rises(out, clean, *arrays)
    return like(out, shape)


def transfer_velocity_m_s(
    diameter_mm: Numeric, temperature_c: Numeric, *, gas: str = "co2", surface: str = "dirty"
) -> Same:
    """Transfer velocity kL [m/s] of "co2", "n2" or "o2" across the face of a rising bubble.

    Dirty: rigid sphere (Clift, Grace & Weber 1978); clean: the larger of that and Johnson et al.
    1969. Flux [mol/(m²·s)] is kL times the difference of concentration. Raises ValueError for an
    unknown gas or surface and a diameter of 0 or less.
    """
    clean = is_clean(surface)
    if gas not in GASES:
        raise ValueError(f'gas is "co2", "n2" or "o2", not "{gas}"')
    positive("diameter", "mm", diameter_mm)
    shape, arrays = flat(diameter_mm, temperature_c)
    out = np.empty(int(np.prod(shape)))
    _transfers(out, clean, GASES.index(gas), *arrays)
    return like(out, shape)
