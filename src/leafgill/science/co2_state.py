"""Carbon dioxide in one dense phase: the equation of state of Span & Wagner 1996 by CoolProp.

CoolProp takes a second to load, so it is loaded at the first question, and its state is kept for
the next one; each thread has its own, since asking changes it.
"""

from threading import local
from typing import Any

import numpy as np

from leafgill.science.co2_fluid import (
    CRITICAL_TEMPERATURE_C,
    TRIPLE_TEMPERATURE_C,
    liquid_density_kg_m3,
    saturation_pressure_bar,
    vapour_density_kg_m3,
)
from leafgill.science.compiled import Numeric, Same, flat, like
from leafgill.science.constants import KELVIN
from leafgill.science.refuse import inside

_PA_PER_BAR = 1e5
# Hotter than any cylinder that still holds, and denser than any liquid it can hold.
MOST_TEMPERATURE_C = 150.0
MOST_DENSITY_KG_M3 = 1180.0
MOST_PRESSURE_BAR = 1000.0
_kept = local()


def _state() -> Any:
    if not hasattr(_kept, "co2"):
        from CoolProp.CoolProp import AbstractState

        _kept.co2 = AbstractState("HEOS", "CarbonDioxide")
    return _kept.co2


def pressure_bar(density_kg_m3: Numeric, temperature_c: Numeric) -> Same:
    """Pressure [bar, absolute] of CO2 of this mean density in a closed vessel.

    Saturation pressure where the density lies between vapour and liquid, that of the one phase
    there is otherwise. Span & Wagner 1996, J. Phys. Chem. Ref. Data 25, 1509-1596, by CoolProp
    (Bell et al. 2014, Ind. Eng. Chem. Res. 53, 2498-2508). Raises ValueError for a temperature
    outside -56.558 to 150 °C or a density outside 0 to 1180 kg/m³.
    """
    shape, (rho, t) = flat(density_kg_m3, temperature_c)
    inside("a temperature", "°C", t, TRIPLE_TEMPERATURE_C, MOST_TEMPERATURE_C)
    inside("a density", "kg/m³", rho, 0.0, MOST_DENSITY_KG_M3)
    rho, t = (np.broadcast_to(values, max(rho.size, t.size)) for values in (rho, t))
    out = np.asarray(saturation_pressure_bar(t))
    two = (rho > np.asarray(vapour_density_kg_m3(t))) & (rho < np.asarray(liquid_density_kg_m3(t)))
    for i in np.flatnonzero(~two):
        out[i] = _single_pressure(float(rho[i]), float(t[i]))
    return like(out, shape)


def _single_pressure(rho: float, t: float) -> float:
    if np.isnan(rho) or np.isnan(t):
        return float("nan")
    if rho == 0.0:
        return 0.0
    from CoolProp.CoolProp import DmassT_INPUTS

    state = _state()
    state.update(DmassT_INPUTS, rho, t + KELVIN)
    return float(state.p()) / _PA_PER_BAR


def density_kg_m3(pressure_bar: Numeric, temperature_c: Numeric) -> Same:
    """Density [kg/m³] of CO2 that is all gas or all liquid at this absolute pressure [bar].

    Gas below the saturation pressure, liquid at or above it, the one fluid there is above
    30.978 °C. Span & Wagner 1996 by CoolProp. Raises ValueError for a temperature outside
    -56.558 to 150 °C or a pressure outside 0 to 1000 bar.
    """
    shape, (p, t) = flat(pressure_bar, temperature_c)
    inside("a temperature", "°C", t, TRIPLE_TEMPERATURE_C, MOST_TEMPERATURE_C)
    inside("an absolute pressure", "bar", p, 0.0, MOST_PRESSURE_BAR)
    p, t = (np.broadcast_to(values, max(p.size, t.size)) for values in (p, t))
    return like(
        np.array([_single_density(float(a), float(b)) for a, b in zip(p, t, strict=True)]), shape
    )


def _single_density(p: float, t: float) -> float:
    if np.isnan(p) or np.isnan(t):
        return float("nan")
    if p == 0.0:
        return 0.0
    from CoolProp import CoolProp

    state = _state()
    if t >= CRITICAL_TEMPERATURE_C:
        phase = CoolProp.iphase_not_imposed
    elif p < saturation_pressure_bar(t):
        phase = CoolProp.iphase_gas
    else:
        phase = CoolProp.iphase_liquid
    # Said beforehand, or a pressure on the saturation line would be refused as undecided.
    state.specify_phase(phase)
    try:
        state.update(CoolProp.PT_INPUTS, p * _PA_PER_BAR, t + KELVIN)
        return float(state.rhomass())
    finally:
        state.unspecify_phase()
