"""Gases between air and fresh water: how much dissolves, and how fast each crosses.

Every function takes numbers or arrays (°C, hPa), which broadcast: a number in, a float out; NaN
stays NaN. Each can also be called, under the same name, inside a numba kernel.
"""

import numpy as np

from leafgill.science.compiled import Numeric, Same, everyday
from leafgill.science.constants import CO2_G_MOL, KELVIN, N2_G_MOL, STANDARD_HPA


@everyday
def water_vapour_pressure_atm(temperature_c: Numeric) -> Same:
    """Vapour pressure of fresh water [atm].

    ln p = 11.8571 - 3840.70/T - 216961/T², as Benson & Krause 1984, Limnol. Oceanogr. 29,
    620-632, use it for the pressure correction of oxygen.
    """
    t = temperature_c + KELVIN
    return np.exp(11.8571 - (3840.70 + 216961.0 / t) / t)


@everyday
def co2_henry_mol_l_atm(temperature_c: Numeric) -> Same:
    """Solubility K0 of CO2 in fresh water [mol/(L·atm)], CO2 mol/L per atm of its pressure.

    Weiss 1974, Mar. Chem. 2, 203-215, volumetric form at zero salinity.
    """
    x = (temperature_c + KELVIN) * 0.01
    return np.exp(-58.0931 + 90.5069 / x + 22.2940 * np.log(x))


@everyday
def co2_equilibrium_mg_l(
    room_co2_ppm: Numeric, temperature_c: Numeric, pressure_hpa: Numeric = STANDARD_HPA
) -> Same:
    """CO2 [mg/L] of water in equilibrium with room air saturated with water vapour at its face.

    `room_co2_ppm` is in dry air, `pressure_hpa` the total at the tank (not reduced to sea
    level). x·(P - pH2O)·K0 with K0 by Weiss 1974.
    """
    dry_atm = pressure_hpa / STANDARD_HPA - water_vapour_pressure_atm(temperature_c)
    return room_co2_ppm * 1e-3 * dry_atm * co2_henry_mol_l_atm(temperature_c) * CO2_G_MOL


@everyday
def o2_saturation_mg_l(temperature_c: Numeric, pressure_hpa: Numeric = STANDARD_HPA) -> Same:
    """Oxygen [mg/L] of fresh water in equilibrium with moist air at the total pressure.

    Benson & Krause 1984, Limnol. Oceanogr. 29, 620-632, as carried by APHA Standard Methods
    (1985): ln C = -139.34411 + 1.575701e5/T - 6.642308e7/T² + 1.243800e10/T³ - 8.621949e11/T⁴,
    times P (1 - pw/P)(1 - θP) / ((1 - pw)(1 - θ)), θ = 0.000975 - 1.426e-5 t + 6.436e-8 t².
    """
    t = temperature_c
    x = 1.0 / (t + KELVIN)
    at_1_atm = np.exp(
        -139.34411 + x * (1.575701e5 + x * (-6.642308e7 + x * (1.243800e10 - x * 8.621949e11)))
    )
    p = pressure_hpa / STANDARD_HPA
    vapour = water_vapour_pressure_atm(t)
    theta = 0.000975 + t * (-1.426e-5 + t * 6.436e-8)
    return at_1_atm * (p - vapour) * (1.0 - theta * p) / ((1.0 - vapour) * (1.0 - theta))


@everyday
def water_density_kg_l(temperature_c: Numeric) -> Same:
    """Density of air-free water at 1 atm [kg/L], 0-40 °C.

    Kell 1975, J. Chem. Eng. Data 20, 97-105 (cited from memory, not checked against the
    paper; tests hold it to a reference table within 2e-5).
    """
    t = temperature_c
    top = 999.83952 + t * (
        16.945176
        + t * (-7.9870401e-3 + t * (-46.170461e-6 + t * (105.56302e-9 - t * 280.54253e-12)))
    )
    return top / (1.0 + 16.879850e-3 * t) * 1e-3


@everyday
def n2_saturation_mg_l(temperature_c: Numeric, pressure_hpa: Numeric = STANDARD_HPA) -> Same:
    """Nitrogen [mg/L] of fresh water in equilibrium with moist air at the total pressure.

    Hamme & Emerson 2004, Deep-Sea Res. I 51, 1517-1528 (µmol/kg at 1 atm), made mg/L with the
    density of water, and scaled with the pressure of dry air (Henry's law).
    """
    x = np.log((298.15 - temperature_c) / (KELVIN + temperature_c))
    umol_kg = np.exp(6.42931 + x * (2.92704 + x * (4.32531 + x * 4.69149)))
    vapour = water_vapour_pressure_atm(temperature_c)
    dry_share = (pressure_hpa / STANDARD_HPA - vapour) / (1.0 - vapour)
    return umol_kg * 1e-3 * N2_G_MOL * water_density_kg_l(temperature_c) * dry_share


@everyday
def schmidt_co2(temperature_c: Numeric) -> Same:
    """Schmidt number of CO2 in fresh water, -2 to 40 °C.

    Wanninkhof 2014, Limnol. Oceanogr. Methods 12, 351-362, Table 1.
    """
    t = temperature_c
    return 1923.6 + t * (-125.06 + t * (4.3773 + t * (-0.085681 + t * 0.00070284)))


@everyday
def schmidt_o2(temperature_c: Numeric) -> Same:
    """Schmidt number of O2 in fresh water, -2 to 40 °C.

    Wanninkhof 2014, Limnol. Oceanogr. Methods 12, 351-362, Table 1.
    """
    t = temperature_c
    return 1745.1 + t * (-124.34 + t * (4.8055 + t * (-0.10115 + t * 0.00086842)))


@everyday
def o2_to_co2_exchange_ratio(temperature_c: Numeric, n: Numeric = 0.5) -> Same:
    """How much faster O2 crosses the surface than CO2: (Sc_O2 / Sc_CO2)^-n.

    n = 1/2 for a rippled surface, 2/3 for a still one (Wanninkhof 1992, J. Geophys. Res. 97,
    7373-7382; 2014).
    """
    return (schmidt_o2(temperature_c) / schmidt_co2(temperature_c)) ** (-n)
