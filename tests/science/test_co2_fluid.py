import math

import numpy as np
import pytest

from leafgill.science import co2_fluid
from leafgill.science.compiled import compiled

SATURATION = (
    co2_fluid.saturation_pressure_bar,
    co2_fluid.liquid_density_kg_m3,
    co2_fluid.vapour_density_kg_m3,
)
OF_TEMPERATURE = (*SATURATION, co2_fluid.second_virial_cm3_mol, co2_fluid.third_virial_cm6_mol2)


@pytest.mark.parametrize("law", OF_TEMPERATURE)
def test_scalar_array_and_nan(law):
    assert type(law(20)) is float
    answer = law(np.array([[10.0, 20.0], [math.nan, 30.0]]))
    assert answer.shape == (2, 2)
    assert answer[0, 1] == pytest.approx(law(20.0), rel=1e-14)
    assert np.isnan(answer[1, 0]) and np.isfinite(answer[1, 1])
    assert math.isnan(law(math.nan))


@pytest.mark.parametrize("law", SATURATION)
def test_no_two_phases_beyond_triple_and_critical_point(law):
    outside = law(np.array([-56.6, 30.979, 35.0, 100.0]))
    assert np.all(np.isnan(outside))
    inside = law(np.array([-56.55, 30.978]))
    assert np.all(np.isfinite(inside))


def test_liquid_and_vapour_meet_at_the_critical_point():
    top = co2_fluid.CRITICAL_TEMPERATURE_C
    assert co2_fluid.saturation_pressure_bar(top) == pytest.approx(73.773, rel=1e-12)
    assert co2_fluid.liquid_density_kg_m3(top) == pytest.approx(467.6, rel=1e-9)
    assert co2_fluid.vapour_density_kg_m3(top) == pytest.approx(467.6, rel=1e-9)
    t = np.linspace(-56.0, 30.9, 200)
    assert np.all(np.diff(co2_fluid.saturation_pressure_bar(t)) > 0.0)
    assert np.all(np.diff(co2_fluid.liquid_density_kg_m3(t)) < 0.0)
    assert np.all(np.diff(co2_fluid.vapour_density_kg_m3(t)) > 0.0)


def test_clausius_clapeyron():
    """dp/dT = h/(T·(1/ρv - 1/ρl)) with the heat of vaporisation at 20 °C, 152.0 kJ/kg.

    The heat by CoolProp 8.0.0, so the three closed forms are held to a fourth quantity.
    """
    slope = (
        co2_fluid.saturation_pressure_bar(20.5) - co2_fluid.saturation_pressure_bar(19.5)
    ) * 1e5
    swelling = 1.0 / co2_fluid.vapour_density_kg_m3(20.0) - 1.0 / co2_fluid.liquid_density_kg_m3(
        20.0
    )
    assert slope * 293.15 * swelling == pytest.approx(152.0e3, rel=1e-3)


def test_thin_gas_solves_its_virial_equation():
    p, t = np.array([0.5, 3.0, 15.0]), np.array([[0.0], [20.0], [60.0]])
    rho = co2_fluid.thin_gas_density_kg_m3(p, t) / 44.0095e3  # mol/cm³
    b, c = co2_fluid.second_virial_cm3_mol(t), co2_fluid.third_virial_cm6_mol2(t)
    back = 83.14462618 * (t + 273.15) * rho * (1.0 + b * rho + c * rho * rho)
    np.testing.assert_allclose(back, np.broadcast_to(p, (3, 3)), rtol=1e-7)
    assert type(co2_fluid.thin_gas_density_kg_m3(1, 20)) is float
    assert math.isnan(co2_fluid.thin_gas_density_kg_m3(math.nan, 20.0))
    assert co2_fluid.thin_gas_density_kg_m3(0.0, 20.0) == 0.0


def test_thin_gas_is_denser_than_an_ideal_one():
    ideal = 1.01325e5 * 44.0095e-3 / (8.314462618 * 293.15)
    assert co2_fluid.thin_gas_density_kg_m3(1.01325, 20.0) / ideal == pytest.approx(
        1.00535, abs=2e-5
    )


@compiled
def _inside_a_kernel(t):
    return (
        co2_fluid.saturation_pressure_bar(t),
        co2_fluid.liquid_density_kg_m3(t),
        co2_fluid.vapour_density_kg_m3(t),
        co2_fluid.thin_gas_density_kg_m3(3.0, t),
    )


def test_the_same_names_serve_compiled_code():
    expected = (
        co2_fluid.saturation_pressure_bar(20.0),
        co2_fluid.liquid_density_kg_m3(20.0),
        co2_fluid.vapour_density_kg_m3(20.0),
        co2_fluid.thin_gas_density_kg_m3(3.0, 20.0),
    )
    np.testing.assert_allclose(_inside_a_kernel(20.0), expected, rtol=1e-13)
    assert math.isnan(_inside_a_kernel(40.0)[0])
