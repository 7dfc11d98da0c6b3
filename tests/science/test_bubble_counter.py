import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from leafgill.science import bubble_counter as counter
from leafgill.science.co2_fluid import second_virial_cm3_mol
from leafgill.science.compiled import compiled


def test_co2_in_a_bubble_by_hand():
    # 50 µL at 1.5 bar gauge, 22 °C: V/n = RT/p + B = 8.314463·295.15/251325 - 1.265e-4 m³/mol
    molar = 8.314463 * 295.15 / 251325.0 + 1e-6 * second_virial_cm3_mol(22.0)
    assert counter.bubble_co2_mg(50.0, 1.5, 22.0) == pytest.approx(
        50e-9 / molar * 44.0095e3, rel=1e-6
    )


@given(st.floats(0.0, 4.0), st.floats(15.0, 30.0))
def test_a_bubble_under_pressure_carries_more_by_the_pressure(gauge, t):
    ratio = counter.bubble_co2_mg(30.0, gauge, t) / counter.bubble_co2_mg(30.0, 0.0, t)
    assert ratio == pytest.approx(1.0 + gauge / 1.01325, rel=0.03)
    # compressed gas is a little denser than ideal
    assert ratio >= 1.0 + gauge / 1.01325 - 1e-12


def test_high_places_carry_less():
    low, high = (counter.bubble_co2_mg(30.0, 0.0, 22.0, air) for air in (1013.25, 800.0))
    assert high / low == pytest.approx(800.0 / 1013.25, rel=2e-3)


def test_sphere_and_volume():
    assert counter.bubble_diameter_mm(math.pi / 6.0) == pytest.approx(1.0, rel=1e-14)
    assert counter.bubble_volume_ul(2.0) == pytest.approx(math.pi * 8.0 / 6.0, rel=1e-14)
    assert counter.bubble_diameter_mm(counter.bubble_volume_ul(3.3)) == pytest.approx(3.3)


def test_tate_by_hand():
    # π·2e-3·0.07197/(997.05·9.81) = 46.23e-9 m³
    assert counter.tate_volume_ul(2.0, 25.0) == pytest.approx(46.23, abs=0.02)
    # π·2e-3·0.0634/(1261·9.81) = 32.20e-9 m³
    assert counter.tate_volume_ul(2.0, 25.0, liquid="glycerol") == pytest.approx(32.20, abs=0.01)


@given(st.floats(0.1, 8.0))
def test_what_leaves_fulfils_the_law_it_was_solved_from(orifice):
    tate = counter.tate_volume_ul(orifice, 25.0)
    part = counter.harkins_brown(orifice, tate)
    assert 0.6 <= part <= 1.0
    x = min(0.5 * orifice / (part * tate) ** (1.0 / 3.0), 1.2)
    by_fit = 1.0 / (2.0 * math.pi * (0.14782 + 0.27896 * x - 0.166 * x * x))
    assert part == pytest.approx(min(by_fit, 1.0), rel=1e-9)


def test_beyond_the_widest_tip_of_the_fit_its_end_holds():
    ends = counter.harkins_brown(np.array([15.0, 30.0]), counter.tate_volume_ul([15.0, 30.0], 25.0))
    by_fit = 1.0 / (2.0 * math.pi * (0.14782 + 0.27896 * 1.2 - 0.166 * 1.44))
    np.testing.assert_allclose(ends, by_fit, rtol=1e-12)


@pytest.mark.parametrize("liquid", counter.LIQUIDS)
@given(st.floats(0.1, 8.0))
def test_the_likely_volume_lies_in_its_range_and_grows_with_the_tip(liquid, orifice):
    volume = counter.detached_volume_ul(orifice, 24.0, liquid=liquid)
    assert volume.low <= volume.value <= volume.high
    whole = counter.tate_volume_ul(orifice, 24.0, liquid=liquid)
    assert volume.low == pytest.approx(0.6 * whole)
    assert volume.high >= 0.95 * whole
    wider = counter.detached_volume_ul(1.1 * orifice, 24.0, liquid=liquid)
    assert wider.value > volume.value


def test_a_count_is_no_dose():
    """Tip, liquid and pressure: the same count spans a factor of several in mass."""
    least = counter.bubble_co2_mg(
        counter.detached_volume_ul(1.5, 22.0, liquid="glycerol").low, 0.1, 22.0
    )
    most = counter.bubble_co2_mg(counter.detached_volume_ul(3.0, 22.0).high, 1.0, 22.0)
    assert most / least > 5.0


@pytest.mark.parametrize(
    "law", [counter.bubble_diameter_mm, second_virial_cm3_mol, counter.bubble_volume_ul]
)
def test_scalar_array_and_nan(law):
    assert type(law(20)) is float
    answer = law(np.array([[20.0], [math.nan]]))
    assert answer.shape == (2, 1)
    assert answer[0, 0] == pytest.approx(law(20.0), rel=1e-14)
    assert math.isnan(answer[1, 0])


def test_scalar_array_and_nan_of_mass_and_volume():
    assert type(counter.bubble_co2_mg(30, 1, 22)) is float
    grid = counter.bubble_co2_mg(np.array([[20.0], [math.nan]]), np.array([0.0, 1.0, 2.0]), 22.0)
    assert grid.shape == (2, 3)
    assert grid[0, 1] == pytest.approx(counter.bubble_co2_mg(20.0, 1.0, 22.0), rel=1e-14)
    np.testing.assert_array_equal(np.isnan(grid), [[False] * 3, [True] * 3])
    for liquid in counter.LIQUIDS:
        assert all(type(end) is float for end in counter.detached_volume_ul(2, 22, liquid=liquid))
        volume = counter.detached_volume_ul(
            np.array([[1.0], [2.0]]), np.array([20.0, math.nan]), liquid=liquid
        )
        for end in volume:
            assert end.shape == (2, 2)
            np.testing.assert_array_equal(np.isnan(end), [[False, True], [False, True]])
        one = counter.detached_volume_ul(2.0, 20.0, liquid=liquid)
        assert volume.value[1, 0] == pytest.approx(one.value, rel=1e-12)
    assert math.isnan(counter.detached_volume_ul(math.nan, 22.0).value)


@compiled
def _inside_a_kernel(volume, gauge, t):
    return counter.bubble_co2_mg(volume, gauge, t), counter.bubble_diameter_mm(volume)


def test_the_same_names_serve_compiled_code():
    expected = counter.bubble_co2_mg(30.0, 1.0, 22.0), counter.bubble_diameter_mm(30.0)
    np.testing.assert_allclose(_inside_a_kernel(30.0, 1.0, 22.0), expected, rtol=1e-13)


def test_refusals():
    with pytest.raises(ValueError, match='liquid is "water" or "glycerol", not "oil"'):
        counter.detached_volume_ul(2.0, 22.0, liquid="oil")
    with pytest.raises(ValueError, match="orifice of 0 mm"):
        counter.tate_volume_ul(0.0, 22.0)
