"""A cylinder of carbon dioxide: what its gauge, its weight and its warmth say of each other.

While liquid remains the pressure is that of the temperature and says nothing about how much there
is; when the last liquid has gone it falls with the mass. Masses in kg, water capacities (the
stamped volume of the empty cylinder) in L, `pressure_bar` absolute, `gauge_bar` above the air.
Numbers or arrays, which broadcast: numbers in, a float out; NaN stays NaN.
"""

from typing import Any, NamedTuple

import numpy as np

from leafgill.science import co2_state
from leafgill.science.co2_fluid import (
    CRITICAL_DENSITY_KG_M3,
    CRITICAL_TEMPERATURE_C,
    STANDARD_BAR,
    THIN_GAS_BAR,
    TRIPLE_TEMPERATURE_C,
    thin_gas_density_kg_m3,
)
from leafgill.science.co2_fluid import liquid_density_kg_m3 as liquid_density_kg_m3
from leafgill.science.co2_fluid import saturation_pressure_bar as saturation_pressure_bar
from leafgill.science.co2_fluid import vapour_density_kg_m3 as vapour_density_kg_m3
from leafgill.science.compiled import Numeric, Same, everyday, flat, like
from leafgill.science.fills import FILLS as FILLS
from leafgill.science.fills import US_FILL_KG_L
from leafgill.science.fills import Fill as Fill
from leafgill.science.refuse import not_negative, positive

_HALVINGS = 60


class MassRange(NamedTuple):
    """The masses [kg] that a gauge reading allows, and whether there is liquid (or may be).

    `low` and `high` are the same where the pressure tells the mass.
    """

    low: Any
    high: Any
    liquid: Any


def water_capacity_l(charge_kg: Numeric, fill_kg_l: Numeric = US_FILL_KG_L) -> Same:
    """Water capacity [L] of a cylinder sold for this charge [kg] at this filling [kg/L].

    By default the 68 % of 49 CFR 173.304a; see FILLS. Raises ValueError for a filling of 0 or less
    and for a negative charge.
    """
    not_negative("a charge", "kg", charge_kg)
    positive("a filling", "kg/L", fill_kg_l)
    return _quotient(charge_kg, fill_kg_l)


@everyday
def _quotient(a: Numeric, b: Numeric) -> Same:
    return a / b


def last_liquid_kg(water_capacity_l: Numeric, temperature_c: Numeric) -> Same:
    """Mass [kg] in the cylinder at the moment its last liquid boils away: it is all vapour then.

    From there down the pressure falls. NaN above 30.978 °C, where there is no liquid. Vapour
    density by Span & Wagner 1996, eq. 3.15. Raises ValueError for a capacity of 0 or less.
    """
    positive("a water capacity", "L", water_capacity_l)
    return _product(water_capacity_l, vapour_density_kg_m3(temperature_c))


@everyday
def _product(litres: Numeric, kg_m3: Numeric) -> Same:
    return litres * kg_m3 * 1e-3


def liquid_volume_fraction(
    mass_kg: Numeric, water_capacity_l: Numeric, temperature_c: Numeric
) -> Same:
    """Part of the cylinder's volume that liquid fills [1]: 0 all vapour, 1 full to the top.

    From the densities of Span & Wagner 1996 and the balance of mass. NaN above 30.978 °C, where
    nothing separates. Raises ValueError for a negative mass or a capacity of 0 or less.
    """
    not_negative("a mass", "kg", mass_kg)
    positive("a water capacity", "L", water_capacity_l)
    return _level(mass_kg, water_capacity_l, temperature_c)


@everyday
def _level(mass_kg: Numeric, water_capacity_l: Numeric, temperature_c: Numeric) -> Same:
    vapour, liquid = vapour_density_kg_m3(temperature_c), liquid_density_kg_m3(temperature_c)
    with np.errstate(invalid="ignore"):
        return np.clip((mass_kg / water_capacity_l * 1e3 - vapour) / (liquid - vapour), 0.0, 1.0)


def cylinder_pressure_bar(
    mass_kg: Numeric, water_capacity_l: Numeric, temperature_c: Numeric
) -> Same:
    """Pressure [bar, absolute] in a cylinder of this water capacity [L] that holds `mass_kg`.

    The saturation pressure while liquid and vapour share it; steeply more once liquid fills it;
    less when all is gas. Span & Wagner 1996 (CoolProp where one phase fills the cylinder). Raises
    ValueError for a negative mass, a capacity of 0 or less, more than 1.18 kg/L, or a temperature
    outside -56.558 to 150 °C.
    """
    not_negative("a mass", "kg", mass_kg)
    positive("a water capacity", "L", water_capacity_l)
    density = np.asarray(mass_kg, dtype=np.float64) / np.asarray(water_capacity_l) * 1e3
    return co2_state.pressure_bar(density, temperature_c)


def mass_kg_from_gauge(
    gauge_bar: Numeric,
    water_capacity_l: Numeric,
    temperature_c: Numeric,
    *,
    charge_kg: Numeric | None = None,
    air_bar: float = STANDARD_BAR,
) -> MassRange:
    """Masses [kg] that may be in the cylinder when its gauge shows this [bar].

    At the saturation pressure of the temperature, or above it, liquid is present and everything
    from the last liquid to `charge_kg` (by default the highest of FILLS) is possible; below it,
    and above 30.978 °C, the pressure tells the mass. A pressure so far above saturation that even
    the charge would have to be liquid to the top tells it too. No more than the charge is ever
    given. The reading is taken as exact: who has its error asks for both ends of it and for both
    ends of the temperature, and keeps the outermost masses.

    Numbers give a MassRange of floats and a bool, arrays one of arrays. Span & Wagner 1996. Raises
    ValueError for a capacity of 0 or less, a gauge below a vacuum, or a temperature outside
    -56.558 to 150 °C.
    """
    positive("a water capacity", "L", water_capacity_l)
    if charge_kg is None:
        charge_kg = np.asarray(water_capacity_l, dtype=np.float64) * max(
            fill.kg_per_l for fill in FILLS.values()
        )
    not_negative("a charge", "kg", charge_kg)
    pressure = np.asarray(gauge_bar, dtype=np.float64) + air_bar
    shape, inputs = flat(pressure, water_capacity_l, temperature_c, charge_kg)
    size = int(np.prod(shape))
    p, capacity, t, charge = (np.broadcast_to(values, size) for values in inputs)
    single = np.asarray(co2_state.density_kg_m3(p, t)) * capacity * 1e-3
    # the full cylinder may itself be liquid to the top, and then stands above saturation
    liquid = p >= np.asarray(saturation_pressure_bar(t))
    unsure = liquid & (single > charge)
    last = np.asarray(vapour_density_kg_m3(t)) * capacity * 1e-3
    high = np.minimum(np.where(unsure, charge, single), charge)
    low = np.minimum(np.where(unsure, last, single), charge)
    return MassRange(
        like(low, shape), like(high, shape), liquid.reshape(shape) if shape else bool(liquid[0])
    )


def liquid_full_temperature_c(fill_kg_l: Numeric) -> Same:
    """Temperature [°C] at which liquid just fills a cylinder charged with this many kg per L.

    Above it the pressure climbs steeply. The inverse of Span & Wagner 1996, eq. 3.14, by bisection
    to 1e-9 K. NaN for fillings below the critical density 0.4676 kg/L (never full of liquid) or
    above 1.178 kg/L (full already at the triple point).
    """
    shape, (fill,) = flat(fill_kg_l)
    rho = fill * 1e3
    low = np.full(rho.shape, TRIPLE_TEMPERATURE_C)
    high = np.full(rho.shape, CRITICAL_TEMPERATURE_C)
    possible = (rho >= CRITICAL_DENSITY_KG_M3) & (rho <= liquid_density_kg_m3(low[0]))
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        not_yet = np.asarray(liquid_density_kg_m3(middle)) > rho
        low, high = np.where(not_yet, middle, low), np.where(not_yet, high, middle)
    return like(np.where(possible, 0.5 * (low + high), np.nan), shape)


def gas_volume_l(
    mass_kg: Numeric, temperature_c: Numeric, pressure_bar: Numeric = STANDARD_BAR
) -> Same:
    """Volume [L] of `mass_kg` of gas set free at this temperature and absolute pressure [bar].

    543.7 L a kg at 20 °C and 1.01325 bar. Span & Wagner 1996: by its virial coefficients up to
    15 bar, in full (CoolProp) above. Raises ValueError for a pressure of 0 or less, or one at which
    CO2 would be liquid.
    """
    positive("a pressure", "bar", pressure_bar)
    p, t = np.asarray(pressure_bar, dtype=np.float64), np.asarray(temperature_c, dtype=np.float64)
    if np.any(p >= np.asarray(saturation_pressure_bar(t))):
        raise ValueError(f"CO2 is liquid at {float(np.nanmax(p)):g} bar; accepted: lower pressures")
    thin = np.all(~(p > THIN_GAS_BAR))
    density = thin_gas_density_kg_m3(p, t) if thin else co2_state.density_kg_m3(p, t)
    return _volume(mass_kg, density)


@everyday
def _volume(mass_kg: Numeric, density_kg_m3: Numeric) -> Same:
    return mass_kg / density_kg_m3 * 1e3
