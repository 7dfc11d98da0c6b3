"""Thin CO2 through a valve, and the size of the end-of-cylinder surge, against other sources."""

import numpy as np
import pytest
from CoolProp import AbstractState, CoolProp

from leafgill.science import regulator


def test_ratio_of_heats():
    """cp/cv of thin CO2 by Span & Wagner 1996 (CoolProp), 1.29 at 25 °C."""
    state = AbstractState("HEOS", "CarbonDioxide")
    state.update(CoolProp.PT_INPUTS, 1e4, 298.15)
    assert state.cpmass() / state.cvmass() == pytest.approx(regulator.CO2_HEAT_RATIO, abs=0.003)


def test_choked_ratio_against_a_real_gas_nozzle():
    """The most mass flux along an isentrope from 3 bar by the full equation of state.

    Flux is density times the speed that the fall of enthalpy gives; its most is where it chokes.
    """
    state = AbstractState("HEOS", "CarbonDioxide")
    state.update(CoolProp.PT_INPUTS, 3e5, 298.15)
    enthalpy, entropy = state.hmass(), state.smass()
    pressures = np.linspace(1.2e5, 2.99e5, 2000)
    flux = []
    for p in pressures:
        state.update(CoolProp.PSmass_INPUTS, p, entropy)
        flux.append(state.rhomass() * np.sqrt(2.0 * (enthalpy - state.hmass())))
    choked = 3e5 / pressures[int(np.argmax(flux))]
    assert regulator.critical_pressure_ratio() == pytest.approx(choked, rel=0.01)


@pytest.mark.parametrize(("percent", "gain"), [(1.0, 0.5), (2.0, 1.0)])
def test_gain_over_a_cylinder(percent, gain):
    """From 57 to 5 bar a regulator of 1 % gains about half a bar, one of 2 % a bar: arithmetic.

    1 % as makers state it: 1 psi more for every 100 psi less at the inlet.
    """
    outlet = regulator.outlet_gauge_bar(1.5, 5.0, 57.0, percent / 100.0)
    assert outlet - 1.5 == pytest.approx(gain, abs=0.05)


def test_the_effect_quoted_for_single_stages():
    """0.5 to 2 %; from memory, unverified."""
    size = regulator.EFFECTS["single-stage"].size
    assert (size.low, size.high) == (0.005, 0.02)
