import math

import numpy as np
import pytest

from leafgill.science import co2_state, cylinder
from leafgill.science.cited import Mark

LITRES = 3.34


def gauge(bar):
    return bar - 1.01325


def test_each_law_scalar_array_and_nan():
    calls = [
        (cylinder.water_capacity_l, (2.0, 0.68)),
        (cylinder.last_liquid_kg, (LITRES, 20.0)),
        (cylinder.liquid_volume_fraction, (2.0, LITRES, 20.0)),
        (cylinder.cylinder_pressure_bar, (0.3, LITRES, 20.0)),
        (cylinder.liquid_full_temperature_c, (0.68,)),
        (cylinder.gas_volume_l, (2.0, 20.0)),
    ]
    for law, args in calls:
        alone = law(*args)
        assert type(alone) is float
        for i in range(len(args)):
            arrays = list(args)
            arrays[i] = np.array([[args[i]], [math.nan]])
            answer = law(*arrays)
            assert answer.shape == (2, 1)
            assert answer[0, 0] == pytest.approx(alone, rel=1e-14)
            assert math.isnan(answer[1, 0])
    grid = cylinder.cylinder_pressure_bar(np.array([[0.3], [2.0]]), LITRES, np.array([18.0, 25.0]))
    assert grid.shape == (2, 2)


def test_capacity_is_charge_over_filling():
    assert cylinder.water_capacity_l(2.0) == pytest.approx(2.0 / 0.68)
    assert cylinder.water_capacity_l(2.0, 0.75) == pytest.approx(2.0 / 0.75)


def test_level_balances_the_mass():
    level = cylinder.liquid_volume_fraction(1.5, LITRES, 20.0)
    liquid = level * cylinder.liquid_density_kg_m3(20.0)
    vapour = (1.0 - level) * cylinder.vapour_density_kg_m3(20.0)
    assert (liquid + vapour) * LITRES * 1e-3 == pytest.approx(1.5, rel=1e-12)


def test_level_of_the_full_the_empty_and_the_hot():
    levels = cylinder.liquid_volume_fraction([0.1, 0.9], 1.0, 20.0)
    np.testing.assert_array_equal(levels, [0.0, 1.0])
    assert math.isnan(cylinder.liquid_volume_fraction(0.68, 1.0, 31.5))
    assert math.isnan(cylinder.last_liquid_kg(1.0, 31.5))


def test_the_gauge_stands_still_while_there_is_liquid():
    masses = np.array([2.268, 2.0, 1.5, 1.0, 0.66])
    assert set(cylinder.cylinder_pressure_bar(masses, LITRES, 20.0)) == {
        cylinder.saturation_pressure_bar(20.0)
    }
    falling = cylinder.cylinder_pressure_bar(np.array([0.64, 0.5, 0.3, 0.1, 0.0]), LITRES, 20.0)
    assert np.all(np.diff(falling) < 0.0)
    assert falling[-1] == 0.0


def test_liquid_says_nothing_about_mass():
    last = cylinder.last_liquid_kg(LITRES, 20.0)
    at = gauge(cylinder.saturation_pressure_bar(20.0))
    for shown in (at, at + 0.5, at + 5.0):
        found = cylinder.mass_kg_from_gauge(shown, LITRES, 20.0, charge_kg=2.268)
        assert found.liquid is True
        assert found.low == pytest.approx(last, rel=1e-12)
        assert found.high == 2.268
    # not knowing the charge, the highest filling anybody allows
    assert cylinder.mass_kg_from_gauge(at, LITRES, 20.0).high == pytest.approx(0.76 * LITRES)


@pytest.mark.parametrize("t", [15.0, 20.0, 25.0, 30.5, 33.0, 40.0])
@pytest.mark.parametrize("mass", [0.02, 0.2, 0.5])
def test_gas_tells_its_mass(mass, t):
    shown = gauge(cylinder.cylinder_pressure_bar(mass, LITRES, t))
    found = cylinder.mass_kg_from_gauge(shown, LITRES, t)
    assert found.low == found.high == pytest.approx(mass, rel=1e-6)
    assert found.liquid is False


def test_above_the_critical_temperature_the_gauge_always_tells():
    shown = gauge(cylinder.cylinder_pressure_bar(2.0, LITRES, 35.0))
    found = cylinder.mass_kg_from_gauge(shown, LITRES, 35.0, charge_kg=2.268)
    assert found == (pytest.approx(2.0, rel=1e-6), pytest.approx(2.0, rel=1e-6), False)


def test_a_cylinder_full_of_liquid_tells_too():
    """At 28 °C liquid is 0.655 kg/L, so a charge of 0.68 stands above saturation."""
    shown = gauge(cylinder.cylinder_pressure_bar(0.66, 1.0, 28.0))
    assert shown > gauge(cylinder.saturation_pressure_bar(28.0)) + 0.2
    found = cylinder.mass_kg_from_gauge(shown, 1.0, 28.0, charge_kg=0.68)
    assert found.low == found.high == pytest.approx(0.66, rel=1e-6)
    assert found.liquid is True


def test_never_more_than_the_charge():
    hot = cylinder.mass_kg_from_gauge(150.0, 1.0, 35.0, charge_kg=0.68)
    assert hot.low == hot.high == 0.68
    gas = cylinder.mass_kg_from_gauge(30.0, LITRES, 20.0, charge_kg=0.1)
    assert gas.low == gas.high == 0.1
    tiny = cylinder.mass_kg_from_gauge(80.0, LITRES, 20.0, charge_kg=0.1)
    assert tiny == (0.1, 0.1, True)


def test_the_range_from_a_gauge_takes_arrays():
    at = gauge(cylinder.saturation_pressure_bar(20.0))
    found = cylinder.mass_kg_from_gauge(
        np.array([[at], [20.0], [math.nan]]), LITRES, np.array([20.0, 33.0]), charge_kg=2.268
    )
    assert found.low.shape == found.high.shape == found.liquid.shape == (3, 2)
    np.testing.assert_array_equal(found.liquid, [[True, False], [False, False], [False, False]])
    assert found.high[0, 0] == 2.268 and found.low[0, 0] < 1.0
    assert found.low[1, 1] == cylinder.mass_kg_from_gauge(20.0, LITRES, 33.0).low
    assert np.all(np.isnan(found.low[2])) and np.all(np.isnan(found.high[2]))


def test_thinner_air_stands_behind_the_gauge():
    """In the mountains a gauge counts from less, so the same reading is less absolute pressure."""
    low, high = (
        cylinder.mass_kg_from_gauge(20.0, LITRES, 20.0, air_bar=air).low for air in (0.8, 1.01325)
    )
    assert low == pytest.approx(co2_state.density_kg_m3(20.8, 20.0) * LITRES * 1e-3)
    assert low < high


def test_liquid_full_is_where_the_level_reaches_the_top():
    for fill in (0.5, 0.6, 0.68, 0.76, 1.0):
        t = cylinder.liquid_full_temperature_c(fill)
        assert cylinder.liquid_density_kg_m3(t) == pytest.approx(fill * 1e3, rel=1e-9)
        assert cylinder.liquid_volume_fraction(fill, 1.0, t - 0.1) < 1.0
        assert cylinder.liquid_volume_fraction(fill, 1.0, t + 0.1) == 1.0 or t > 30.8
    assert np.all(np.isnan(cylinder.liquid_full_temperature_c([0.4, 1.2])))


def test_gas_volume_at_pressure_and_across_the_thin_gas_limit():
    assert cylinder.gas_volume_l(1.0, 20.0, 2.0) == pytest.approx(
        1e3 / co2_state.density_kg_m3(2.0, 20.0), rel=1e-4
    )
    below, above = (cylinder.gas_volume_l(1.0, 20.0, p) for p in (14.999, 15.001))
    assert below == pytest.approx(above, rel=3e-4)
    assert cylinder.gas_volume_l(1.0, 35.0, 80.0) == pytest.approx(
        1e3 / co2_state.density_kg_m3(80.0, 35.0)
    )


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (lambda: cylinder.water_capacity_l(-1.0), "a charge of -1 kg; accepted: 0 kg or more"),
        (lambda: cylinder.water_capacity_l(1.0, 0.0), "a filling of 0 kg/L; accepted: more than"),
        (lambda: cylinder.last_liquid_kg(0.0, 20.0), "a water capacity of 0 L"),
        (lambda: cylinder.liquid_volume_fraction(-0.1, 1.0, 20.0), "a mass of -0.1 kg"),
        (lambda: cylinder.cylinder_pressure_bar([1.0, -2.0], 1.0, 20.0), "a mass of -2 kg"),
        (lambda: cylinder.cylinder_pressure_bar(2.0, 1.0, 20.0), "2000 kg/m³"),
        (lambda: cylinder.mass_kg_from_gauge(-2.0, 1.0, 20.0), "-0.98675 bar"),
        (lambda: cylinder.mass_kg_from_gauge(5.0, -1.0, 20.0), "a water capacity of -1 L"),
        (lambda: cylinder.mass_kg_from_gauge(5.0, 1.0, 20.0, charge_kg=-1.0), "a charge of -1"),
        (lambda: cylinder.gas_volume_l(1.0, 20.0, 0.0), "a pressure of 0 bar"),
        (lambda: cylinder.gas_volume_l(1.0, 20.0, 60.0), "CO2 is liquid at 60 bar"),
    ],
)
def test_refused(call, said):
    with pytest.raises(ValueError, match=said):
        call()


def test_fillings_are_named_with_source_and_mark():
    fills = cylinder.FILLS
    assert fills["us-1800"].kg_per_l == 0.68
    assert fills["us-1800"].source.mark is Mark.CHECKED
    assert fills["eu-250"].source.mark is Mark.MEMORY
    for fill in fills.values():
        assert 0.6 < fill.kg_per_l <= 0.76
        assert fill.holds_for and str(fill.source)
