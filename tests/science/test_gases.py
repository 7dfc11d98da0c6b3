import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from leafgill.science import gases
from leafgill.science.compiled import compiled

OF_TEMPERATURE = (
    gases.water_vapour_pressure_atm,
    gases.co2_henry_mol_l_atm,
    gases.o2_saturation_mg_l,
    gases.n2_saturation_mg_l,
    gases.water_density_kg_l,
    gases.schmidt_co2,
    gases.schmidt_o2,
    gases.o2_to_co2_exchange_ratio,
)
FALLING = (
    gases.co2_henry_mol_l_atm,
    gases.o2_saturation_mg_l,
    gases.n2_saturation_mg_l,
    gases.schmidt_co2,
    gases.schmidt_o2,
)


@pytest.mark.parametrize("law", OF_TEMPERATURE)
def test_scalar_array_and_nan(law):
    assert type(law(25)) is float
    grid = np.array([[18.0, 25.0], [math.nan, 30.0]])
    answer = law(grid)
    assert answer.shape == (2, 2)
    assert answer[0, 1] == pytest.approx(law(25.0), rel=1e-15)
    np.testing.assert_array_equal(np.isnan(answer), np.isnan(grid))
    assert math.isnan(law(math.nan))


@pytest.mark.parametrize("law", [gases.o2_saturation_mg_l, gases.n2_saturation_mg_l])
def test_saturation_broadcasts_over_pressure(law):
    answer = law(np.array([[20.0], [25.0]]), pressure_hpa=np.array([950.0, 1013.25, 1030.0]))
    assert answer.shape == (2, 3)
    assert answer[1, 0] == pytest.approx(law(25.0, 950.0), rel=1e-15)
    assert math.isnan(law(25.0, math.nan))


def test_co2_equilibrium_broadcasts_over_all_three():
    answer = gases.co2_equilibrium_mg_l(
        np.array([420.0, 1000.0])[:, None, None], np.array([[20.0], [25.0]]), [950.0, 1013.25]
    )
    assert answer.shape == (2, 2, 2)
    assert answer[1, 0, 1] == pytest.approx(gases.co2_equilibrium_mg_l(1000.0, 20.0), rel=1e-15)
    assert type(gases.co2_equilibrium_mg_l(420, 25)) is float
    assert math.isnan(gases.co2_equilibrium_mg_l(math.nan, 25.0))


@pytest.mark.parametrize("law", FALLING)
@given(temperature=st.floats(0.0, 34.9), more=st.floats(0.01, 0.1))
def test_warm_water_holds_less_and_mixes_faster(law, temperature, more):
    assert law(temperature + more) < law(temperature)


@given(st.floats(5.0, 35.0), st.floats(800.0, 1050.0))
def test_saturation_follows_the_dry_pressure(temperature, pressure):
    vapour = gases.water_vapour_pressure_atm(temperature)
    dry = (pressure / 1013.25 - vapour) / (1.0 - vapour)
    nitrogen = gases.n2_saturation_mg_l(temperature, pressure)
    assert nitrogen == pytest.approx(gases.n2_saturation_mg_l(temperature) * dry, rel=1e-12)
    # Oxygen is no ideal gas: θ bends Henry's law, by under 0.02 % over this range.
    oxygen = gases.o2_saturation_mg_l(temperature, pressure)
    assert oxygen == pytest.approx(gases.o2_saturation_mg_l(temperature) * dry, rel=3e-4)


def test_oxygen_pressure_terms_by_hand():
    # θ at 25 °C: 0.000975 - 0.0003565 + 0.000040225; P = 0.5 atm shows it best.
    theta, vapour = 0.000658725, gases.water_vapour_pressure_atm(25.0)
    by_hand = 0.5 * (1 - vapour / 0.5) * (1 - theta * 0.5) / ((1 - vapour) * (1 - theta))
    half = gases.o2_saturation_mg_l(25.0, 1013.25 / 2) / gases.o2_saturation_mg_l(25.0)
    assert half == pytest.approx(by_hand, rel=1e-12)


def test_co2_equilibrium_by_hand():
    # 1000e-6·(1 atm - 0.03126 atm)·0.03397 mol/(L·atm)·44009.5 mg/mol
    by_hand = 1000e-6 * (1.0 - 0.03126) * 0.03397 * 44009.5
    assert gases.co2_equilibrium_mg_l(1000.0, 25.0) == pytest.approx(by_hand, rel=2e-4)


def test_exchange_ratio_follows_its_exponent():
    ratio = gases.schmidt_o2(25.0) / gases.schmidt_co2(25.0)
    assert gases.o2_to_co2_exchange_ratio(25.0) == pytest.approx(ratio**-0.5, rel=1e-14)
    assert gases.o2_to_co2_exchange_ratio(25.0, 2 / 3) == pytest.approx(ratio ** (-2 / 3))
    assert gases.o2_to_co2_exchange_ratio(25.0, n=0.0) == 1.0


@compiled
def _inside_a_kernel(t, p):
    return (
        gases.o2_saturation_mg_l(t, p),
        gases.co2_equilibrium_mg_l(600.0, t, p),
        gases.co2_equilibrium_mg_l(600.0, t),
        gases.n2_saturation_mg_l(t, pressure_hpa=p),
        gases.o2_to_co2_exchange_ratio(t),
    )


def test_the_same_names_serve_compiled_code():
    expected = (
        gases.o2_saturation_mg_l(24.0, 990.0),
        gases.co2_equilibrium_mg_l(600.0, 24.0, 990.0),
        gases.co2_equilibrium_mg_l(600.0, 24.0),
        gases.n2_saturation_mg_l(24.0, 990.0),
        gases.o2_to_co2_exchange_ratio(24.0),
    )
    np.testing.assert_allclose(_inside_a_kernel(24.0, 990.0), expected, rtol=1e-13)
