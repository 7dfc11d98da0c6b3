"""A bubble at one moment: what is in it, what is about it, and how that changes. Compiled.

With `p` the pressure inside (air, the water above, and 4σ/d of the curved face) and `vapour` the
water vapour that saturates it at once,

    (p - vapour)·π d³/6 = (n_CO2 + n_N2 + n_O2)·R·T
    dn/dt = kL·π d²·(C - H·(p - vapour)·n/Σn)          for each gas;  dz/dt = rise

so CO2 leaves, and nitrogen and oxygen of the water go in. Gases are ideal (0.5 % off at 1 atm).
SI units.
"""

import math
from typing import NamedTuple

from leafgill.science.bubble_kernel import GRAVITY_M_S2, rise, transfer
from leafgill.science.bubble_motion import GAS_VISCOSITY_PA_S
from leafgill.science.compiled import compiled
from leafgill.science.constants import CO2_G_MOL, GAS_CONSTANT_J_MOL_K, KELVIN, N2_G_MOL
from leafgill.science.gases import (
    co2_henry_mol_l_atm,
    n2_saturation_mg_l,
    o2_saturation_mg_l,
    water_density_kg_l,
    water_vapour_pressure_atm,
)
from leafgill.science.water_properties import (
    co2_diffusivity_m2_s,
    n2_diffusivity_m2_s,
    o2_diffusivity_m2_s,
    surface_tension_n_m,
    water_viscosity_pa_s,
)

O2_G_MOL = 31.998
# Dry air, parts by volume (U.S. Standard Atmosphere 1976, cited from memory). Argon is left out.
N2_OF_AIR, O2_OF_AIR = 0.78084, 0.20946
ATM_PA = 101325.0
_NEWTON_STEPS = 40


class Surroundings(NamedTuple):
    """Water about a bubble, SI: solubilities [mol/(m³·Pa)], dissolved gases [mol/m³]."""

    kelvin: float
    density: float
    viscosity: float
    tension: float
    vapour_pa: float
    air_pa: float
    co2_diffusivity: float
    n2_diffusivity: float
    o2_diffusivity: float
    co2_solubility: float
    n2_solubility: float
    o2_solubility: float
    co2: float
    n2: float
    o2: float


class Bubble(NamedTuple):
    """Moles of its gases, and how far it is under the surface [m]."""

    co2: float
    n2: float
    o2: float
    under: float


class Rates(NamedTuple):
    """How a bubble changes: each gas n' = -loss·n + gain [1/s, mol/s], and what it moves at."""

    diameter: float
    rise: float
    co2_loss: float
    n2_loss: float
    o2_loss: float
    co2_gain: float
    n2_gain: float
    o2_gain: float


@compiled
def surroundings(temperature_c: float, co2_mg_l: float, pressure_hpa: float) -> Surroundings:
    """Fresh water with this CO2, its nitrogen and oxygen at rest with the air above."""
    vapour_pa = water_vapour_pressure_atm(temperature_c) * ATM_PA
    dry_pa = ATM_PA - vapour_pa
    # mg/L over g/mol is mol/m³
    n2_per_pa = n2_saturation_mg_l(temperature_c) / N2_G_MOL / (N2_OF_AIR * dry_pa)
    o2_per_pa = o2_saturation_mg_l(temperature_c) / O2_G_MOL / (O2_OF_AIR * dry_pa)
    return Surroundings(
        temperature_c + KELVIN,
        1e3 * water_density_kg_l(temperature_c),
        water_viscosity_pa_s(temperature_c),
        surface_tension_n_m(temperature_c),
        vapour_pa,
        1e2 * pressure_hpa,
        co2_diffusivity_m2_s(temperature_c),
        n2_diffusivity_m2_s(temperature_c),
        o2_diffusivity_m2_s(temperature_c),
        1e3 * co2_henry_mol_l_atm(temperature_c) / ATM_PA,
        n2_per_pa,
        o2_per_pa,
        co2_mg_l / CO2_G_MOL,
        n2_saturation_mg_l(temperature_c, pressure_hpa) / N2_G_MOL,
        o2_saturation_mg_l(temperature_c, pressure_hpa) / O2_G_MOL,
    )


@compiled
def dry_pressure_pa(diameter: float, under_m: float, water: Surroundings) -> float:
    """Pressure [Pa] of the gases but water vapour in a bubble this far under the surface."""
    outside = water.air_pa + water.density * GRAVITY_M_S2 * under_m
    return outside + 4.0 * water.tension / diameter - water.vapour_pa


@compiled
def moles_of(diameter: float, under_m: float, water: Surroundings) -> float:
    """Moles of dry gas in a bubble of this diameter."""
    volume = math.pi / 6.0 * diameter * diameter * diameter
    dry = dry_pressure_pa(diameter, under_m, water)
    return dry * volume / (GAS_CONSTANT_J_MOL_K * water.kelvin)


@compiled
def diameter_of(moles: float, under_m: float, water: Surroundings) -> float:
    """Diameter [m] of a bubble of so many moles: the positive root of P d³ + 4σ d² = 6nRT/π.

    Newton's method from above, where the curve is convex and rising: it cannot miss.
    """
    flat = water.air_pa + water.density * GRAVITY_M_S2 * under_m - water.vapour_pa
    film = 4.0 * water.tension
    wanted = 6.0 / math.pi * moles * GAS_CONSTANT_J_MOL_K * water.kelvin
    d = math.pow(wanted / flat, 1.0 / 3.0)
    for _ in range(_NEWTON_STEPS):
        step = (d * d * (flat * d + film) - wanted) / (d * (3.0 * flat * d + 2.0 * film))
        d -= step
        if not step > 1e-10 * d:
            break
    return d


@compiled
def rates(bubble: Bubble, water: Surroundings, clean: bool) -> Rates:
    """How a bubble changes where it is."""
    co2, n2, o2, under_m = bubble
    moles = co2 + n2 + o2
    d = diameter_of(moles, under_m, water)
    area = math.pi * d * d
    grams = CO2_G_MOL * co2 + N2_G_MOL * n2 + O2_G_MOL * o2
    gas_density = 6e-3 * grams / (area * d)
    speed = rise(
        d, water.density, water.viscosity, water.tension, gas_density, GAS_VISCOSITY_PA_S, clean
    )
    density, viscosity = water.density, water.viscosity
    co2_k = area * transfer(d, speed, density, viscosity, water.co2_diffusivity, clean)
    n2_k = area * transfer(d, speed, density, viscosity, water.n2_diffusivity, clean)
    o2_k = area * transfer(d, speed, density, viscosity, water.o2_diffusivity, clean)
    per_mole = dry_pressure_pa(d, under_m, water) / moles
    return Rates(
        d,
        speed,
        co2_k * water.co2_solubility * per_mole,
        n2_k * water.n2_solubility * per_mole,
        o2_k * water.o2_solubility * per_mole,
        co2_k * water.co2,
        n2_k * water.n2,
        o2_k * water.o2,
    )
