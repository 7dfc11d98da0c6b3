"""A cold cylinder in a warm room."""

import numpy as np
import pytest

from leafgill.science.warming import co2_heat_kj, cylinder_surface_m2, warming_hours


def test_by_hand():
    # C/(hA)·ln(26) = 8000 J/K / (8 · 0.19 W/K) · 3.258 = 17 148 s
    assert warming_hours(8.0, 0.19, 8.0, 26.0, 1.0) == pytest.approx(4.763, abs=0.002)


def test_it_is_the_end_of_newtons_law():
    # the law itself, by small steps: dT/dt = h·A·(room - T)/C
    gap, seconds = 26.0, 0.0
    while gap > 1.0:
        gap -= gap * 8.0 * 0.19 / 8000.0 * 1.0
        seconds += 1.0
    assert warming_hours(8.0, 0.19, 8.0, 26.0, 1.0) == pytest.approx(seconds / 3600.0, rel=1e-3)


def test_nothing_to_wait_for():
    assert warming_hours(8.0, 0.19, 8.0, 1.0, 1.0) == 0.0
    assert warming_hours(8.0, 0.19, 8.0, -3.0, 1.0) == 0.0


def test_numbers_arrays_and_nan():
    assert isinstance(warming_hours(8.0, 0.19, 8.0, 26.0, 1.0), float)
    hours = warming_hours(np.array([8.0, 16.0]), 0.19, 8.0, np.array([26.0, 26.0]), 1.0)
    assert hours.shape == (2,)
    assert hours[1] == pytest.approx(2.0 * hours[0])
    assert np.isnan(warming_hours(np.nan, 0.19, 8.0, 26.0, 1.0))
    assert np.isnan(warming_hours(np.array([np.nan, 8.0]), 0.19, 8.0, 26.0, 1.0)[0])


def test_surface_of_side_and_top():
    # π·0.115·0.48 + π/4·0.115² m²
    assert cylinder_surface_m2(11.5, 48.0) == pytest.approx(0.17342 + 0.01039, abs=1e-5)
    assert cylinder_surface_m2(np.array([11.5, np.nan]), 48.0).shape == (2,)
    assert np.isnan(cylinder_surface_m2(np.nan, 48.0))


def test_boiling_takes_more_heat_than_the_liquid_alone():
    # per kg and kelvin well above the 2.0 to 2.2 kJ of cold liquid CO2 at constant volume
    heat = co2_heat_kj(2.0, 2.67, -5.0, 21.0)
    assert heat / 2.0 / 26.0 == pytest.approx(2.38, abs=0.05)
    half = co2_heat_kj(2.0, 2.67, -5.0, 8.0) + co2_heat_kj(2.0, 2.67, 8.0, 21.0)
    assert half == pytest.approx(heat, rel=1e-9)


@pytest.mark.parametrize(
    ("mass", "water", "low", "high"),
    [(0.0, 2.0, 0.0, 20.0), (2.0, 0.0, 0.0, 20.0), (2.0, 2.67, -60.0, 20.0), (2.0, 2.67, 0, 160)],
)
def test_what_cannot_be(mass, water, low, high):
    with pytest.raises(ValueError, match="accepted"):
        co2_heat_kj(mass, water, low, high)
