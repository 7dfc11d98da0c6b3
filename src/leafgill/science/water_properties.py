"""Water as bubbles meet it: how it flows, how its surface pulls, how fast gases wander in it.

Each law takes numbers or arrays (°C): a number in, a float out; NaN stays NaN. Each can also be
called, under the same name, inside a numba kernel. Density and vapour pressure are in `gases`.
"""

import numpy as np

from leafgill.science.compiled import Numeric, Same, everyday
from leafgill.science.constants import GAS_CONSTANT_J_MOL_K, KELVIN


@everyday
def water_viscosity_pa_s(temperature_c: Numeric) -> Same:
    """Dynamic viscosity of liquid water at 0.1 MPa [Pa·s], -20 to 110 °C.

    µ/(µPa·s) = Σ a·(T/300 K)^b, the four-term equation of IAPWS SR6-08 (2011) after Pátek,
    Hrubý, Klomfar, Součková & Harvey 2009, J. Phys. Chem. Ref. Data 38, 21-29 (coefficients
    cited from memory, not checked against the paper; tests hold them to two programs that
    carry the full IAPWS 2008 formulation).
    """
    x = (temperature_c + KELVIN) / 300.0
    return 1e-6 * (280.68 * x**-1.9 + 511.45 * x**-7.7 + 61.131 * x**-19.6 + 0.45903 * x**-40.0)


@everyday
def surface_tension_n_m(temperature_c: Numeric) -> Same:
    """Surface tension of clean water against its vapour or air [N/m], 0.01 °C upward.

    σ = 0.2358·τ^1.256·(1 - 0.625·τ), τ = 1 - T/647.096 K: IAPWS R1-76 (2014). Films of organic
    matter lower it by some per cent.
    """
    tau = 1.0 - (temperature_c + KELVIN) / 647.096
    return 0.2358 * tau**1.256 * (1.0 - 0.625 * tau)


@everyday
def co2_diffusivity_m2_s(temperature_c: Numeric) -> Same:
    """Diffusion coefficient of CO2 in water [m²/s], 0-35 °C.

    5.019e-6·exp(-19510/RT): Jähne, Heinz & Dietrich 1987, J. Geophys. Res. 92, 10767-10776.
    """
    return 5.019e-6 * np.exp(-19510.0 / (GAS_CONSTANT_J_MOL_K * (temperature_c + KELVIN)))


@everyday
def o2_diffusivity_m2_s(temperature_c: Numeric) -> Same:
    """Diffusion coefficient of O2 in water [m²/s].

    4.286e-6·exp(-18700/RT), a fit to Ferrell & Himmelblau 1967, J. Chem. Eng. Data 12, 111-115.
    """
    return 4.286e-6 * np.exp(-18700.0 / (GAS_CONSTANT_J_MOL_K * (temperature_c + KELVIN)))


@everyday
def n2_diffusivity_m2_s(temperature_c: Numeric) -> Same:
    """Diffusion coefficient of N2 in water [m²/s].

    3.412e-6·exp(-18500/RT), a fit to Ferrell & Himmelblau 1967, J. Chem. Eng. Data 12, 111-115
    (cited from memory, not checked against the paper). It moves the CO2 a bubble loses by less
    than a tenth of a per cent per per cent.
    """
    return 3.412e-6 * np.exp(-18500.0 / (GAS_CONSTANT_J_MOL_K * (temperature_c + KELVIN)))
