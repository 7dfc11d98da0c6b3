"""Carbon dioxide as a fluid, in closed form: where liquid and vapour meet, and the thin gas.

Numbers or arrays, which broadcast: a number in, a float out; NaN stays NaN. Each can also be called
inside a numba kernel. The dense single phase is in `co2_state`, which is slower to start.
"""

import numpy as np

from leafgill.science.compiled import Numeric, Same, everyday
from leafgill.science.constants import CO2_G_MOL, GAS_CONSTANT_J_MOL_K, KELVIN

# Span & Wagner 1996, J. Phys. Chem. Ref. Data 25, 1509-1596: critical and triple point.
CRITICAL_TEMPERATURE_C = 30.9782
CRITICAL_PRESSURE_BAR = 73.773
CRITICAL_DENSITY_KG_M3 = 467.6
TRIPLE_TEMPERATURE_C = -56.558
STANDARD_BAR = 1.01325
_CRITICAL_K = CRITICAL_TEMPERATURE_C + KELVIN
# Where the virial density stops being good to 0.01 % at room temperature (0.05 % at -20 °C).
THIN_GAS_BAR = 15.0


@everyday
def saturation_pressure_bar(temperature_c: Numeric) -> Same:
    """Pressure [bar, absolute] at which liquid and gaseous CO2 stand side by side.

    NaN outside the triple (-56.558 °C) and the critical point (30.978 °C), where there are not
    two. Span & Wagner 1996, J. Phys. Chem. Ref. Data 25, 1509-1596, eq. 3.13 (coefficients cited
    from memory; tests hold them to the full equation of state within 0.005 %).
    """
    t = np.where(temperature_c >= -56.558, temperature_c, np.nan) + KELVIN
    theta = np.where(t <= _CRITICAL_K, 1.0 - t / _CRITICAL_K, np.nan)
    root = np.sqrt(theta)
    square = theta * theta
    series = -7.0602087 * theta + 1.9391218 * theta * root - 1.6463597 * square
    return 73.773 * np.exp((series - 3.2995634 * square * square) * _CRITICAL_K / t)


@everyday
def liquid_density_kg_m3(temperature_c: Numeric) -> Same:
    """Density of liquid CO2 beside its vapour [kg/m³]; NaN where there is no such liquid.

    Span & Wagner 1996, eq. 3.14 (coefficients cited from memory; tests hold them to the full
    equation of state within 0.02 % up to 30.5 °C, 0.3 % up to 30.9 °C).
    """
    t = np.where(temperature_c >= -56.558, temperature_c, np.nan) + KELVIN
    theta = np.where(t <= _CRITICAL_K, 1.0 - t / _CRITICAL_K, np.nan)
    series = 1.9245108 * theta**0.34 - 0.62385555 * np.sqrt(theta)
    series = series - 0.32731127 * theta ** (10.0 / 6.0) + 0.39245142 * theta ** (11.0 / 6.0)
    return 467.6 * np.exp(series)


@everyday
def vapour_density_kg_m3(temperature_c: Numeric) -> Same:
    """Density of CO2 vapour above its liquid [kg/m³]; NaN where there is no such vapour.

    Span & Wagner 1996, eq. 3.15 (coefficients cited from memory; tests hold them to the full
    equation of state within 0.07 % up to 30.9 °C).
    """
    t = np.where(temperature_c >= -56.558, temperature_c, np.nan) + KELVIN
    theta = np.where(t <= _CRITICAL_K, 1.0 - t / _CRITICAL_K, np.nan)
    series = -1.7074879 * theta**0.34 - 0.82274670 * np.sqrt(theta) - 4.6008549 * theta
    series = series - 10.111178 * theta ** (7.0 / 3.0) - 29.742252 * theta ** (14.0 / 3.0)
    return 467.6 * np.exp(series)


@everyday
def second_virial_cm3_mol(temperature_c: Numeric) -> Same:
    """Second virial coefficient B of CO2 [cm³/mol], -20 to 60 °C.

    A cubic of ours through the values of Span & Wagner 1996, within 0.003 cm³/mol.
    """
    x = 300.0 / (temperature_c + KELVIN)
    return 77.85329119 + x * (-196.50125988 + x * (74.73606493 - x * 77.3616021))


@everyday
def third_virial_cm6_mol2(temperature_c: Numeric) -> Same:
    """Third virial coefficient C of CO2 [cm⁶/mol²], -20 to 60 °C.

    A cubic of ours through the values of Span & Wagner 1996, within 2 cm⁶/mol².
    """
    x = 300.0 / (temperature_c + KELVIN)
    return 12313.175925 + x * (-37331.54934213 + x * (46386.05715969 - x * 16654.00046664))


@everyday
def thin_gas_density_kg_m3(pressure_bar: Numeric, temperature_c: Numeric) -> Same:
    """Density of CO2 gas [kg/m³] up to 15 bar (absolute), -20 to 60 °C.

    p = ρRT(1 + Bρ + Cρ²) solved for ρ by three steps of Newton's method from the ideal gas;
    within 0.01 % of Span & Wagner 1996 from 0 °C up, 0.05 % at -20 °C.
    """
    rt = GAS_CONSTANT_J_MOL_K * (temperature_c + KELVIN) * 10.0  # cm³·bar/mol
    b = second_virial_cm3_mol(temperature_c)
    c = third_virial_cm6_mol2(temperature_c)
    ideal = pressure_bar / rt
    rho = ideal / (1.0 + b * ideal)
    for _ in range(3):
        excess = rho * (1.0 + rho * (b + rho * c)) - ideal
        rho = rho - excess / (1.0 + rho * (2.0 * b + 3.0 * rho * c))
    return rho * CO2_G_MOL * 1e3
