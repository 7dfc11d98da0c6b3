import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from leafgill.science import bubble_state as state
from leafgill.science import bubble_step as step

ROOM = 1013.25


def test_a_step_is_exact_for_constant_coefficients():
    # n' = -2 n + 3 from 5: 1.5 + 3.5·exp(-2t)
    assert step.moved(5.0, 2.0, 3.0, 0.7) == pytest.approx(1.5 + 3.5 * math.exp(-1.4), rel=1e-14)
    assert step.moved(0.0, 2.0, 3.0, 1e9) == 1.5


@given(st.floats(0.01, 20.0), st.floats(0.0, 2.0))
def test_moles_and_diameter_are_each_other_s_inverse(d_mm, under):
    water = state.surroundings(24.0, 10.0, ROOM)
    moles = state.moles_of(1e-3 * d_mm, under, water)
    assert state.diameter_of(moles, under, water) == pytest.approx(1e-3 * d_mm, rel=1e-9)


def test_pressure_inside_by_hand():
    water = state.surroundings(25.0, 0.0, ROOM)
    # 101325 Pa of air, 997.05·9.81·0.4 = 3912 of water, 4·0.07197/1e-4 = 2879 of the face, less
    # 3170 of vapour
    inside = state.dry_pressure_pa(1e-4, 0.4, water)
    assert inside == pytest.approx(101325 + 3912 + 2879 - 3170, abs=8)


def test_solubilities_are_those_of_the_gas_laws():
    water = state.surroundings(25.0, 0.0, ROOM)
    # 1 atm of CO2: 1495 mg/L; air-saturated: 13.80 mg/L N2, 8.263 mg/L O2
    assert water.co2_solubility * 101325.0 * 44.0095 == pytest.approx(1495.0, abs=0.5)
    dry = 101325.0 - water.vapour_pa
    assert water.n2_solubility * 0.78084 * dry * 28.0134 == pytest.approx(13.80, abs=0.01)
    assert water.o2_solubility * 0.20946 * dry * 31.998 == pytest.approx(8.263, abs=0.001)
    assert water.n2 == pytest.approx(water.n2_solubility * 0.78084 * dry, rel=1e-12)
    assert water.o2 == pytest.approx(water.o2_solubility * 0.20946 * dry, rel=1e-12)


def test_less_air_above_leaves_less_of_it_in_the_water():
    high, low = (state.surroundings(25.0, 0.0, air) for air in (850.0, ROOM))
    dry = (85000.0 - high.vapour_pa) / (101325.0 - low.vapour_pa)
    assert high.n2 / low.n2 == pytest.approx(dry, rel=1e-6)
    assert high.o2 / low.o2 == pytest.approx(dry, rel=1e-3)
    assert high.air_pa == 85000.0


def test_a_large_bubble_of_air_at_the_surface_is_at_rest_with_the_water():
    water = state.surroundings(25.0, 0.0, ROOM)
    # 1 - 0.78084 - 0.20946: nearly a hundredth of air is argon, which is left out
    moles = state.moles_of(0.05, 0.0, water) * 0.9903
    air = state.Bubble(0.0, moles * 0.78084 / 0.9903, moles * 0.20946 / 0.9903, 0.0)
    rates = state.rates(air, water, False)
    assert rates.n2_gain / (rates.n2_loss * air.n2) == pytest.approx(0.99, abs=0.003)
    assert rates.o2_gain / (rates.o2_loss * air.o2) == pytest.approx(0.99, abs=0.003)
    assert rates.co2_gain == 0.0


def test_water_at_rest_with_a_co2_bubble_takes_none():
    pure = state.surroundings(25.0, 0.0, ROOM)
    first = state.moles_of(2e-3, 0.3, pure)
    inside = state.dry_pressure_pa(2e-3, 0.3, pure)
    full = state.surroundings(25.0, pure.co2_solubility * inside * 44.0095, ROOM)
    rates = state.rates(state.Bubble(first, 0.0, 0.0, 0.3), full, False)
    assert rates.co2_gain == pytest.approx(rates.co2_loss * first, rel=1e-9)


def follow(tolerance, d=1e-3, depth=0.4, hold=0.0, clean=False, co2=20.0, enough=0.0):
    course = np.full((step.MOST_STEPS, 6), math.nan)
    water = state.surroundings(25.0, co2, ROOM)
    left, rows = step.live(course, d, depth, hold, water, clean, tolerance, 1e-6, enough)
    return left, course[:rows]


def test_smaller_steps_change_less_and_less():
    # second order: ten times the tolerance is about ten times the error
    finest, _ = follow(1e-6, d=2e-3)
    errors = [abs(follow(tolerance, d=2e-3)[0] - finest) for tolerance in (1e-2, 1e-3, 1e-4)]
    assert errors[0] < 1e-3
    assert errors[1] < 0.3 * errors[0]
    assert errors[2] < 0.3 * errors[1]


def test_no_bubble_ends_above_the_surface_nor_short_of_it():
    for d in (5e-4, 2e-3, 0.1):
        _, course = follow(1e-2, d=d)
        assert course[-1, 1] == pytest.approx(0.4, rel=2e-5)
        assert (np.diff(course[:, 0]) > 0.0).all()
        assert (np.diff(course[:, 1]) > 0.0).all()


@pytest.mark.parametrize("hold", np.linspace(0.05, 0.8, 40))
def test_a_held_bubble_stays_its_time_to_the_moment(hold):
    _, course = follow(1e-2, hold=hold, d=2e-3)
    still = course[:, 1] == 0.0
    assert course[still, 0].max() == hold
    assert (course[~still, 0] > hold).all()
    # no sliver of a step is left over, from which the next ones would have to grow
    assert np.diff(course[:, 0]).min() > 1e-6


def test_a_bubble_is_let_go_when_enough_has_dissolved():
    left, course = follow(1e-3, enough=0.3)
    assert 0.1 < left < 0.3
    assert course[-2, 3] / course[0, 3] >= 0.3


def test_a_course_longer_than_its_paper_is_still_followed():
    short = np.empty((5, 6))
    water = state.surroundings(25.0, 20.0, ROOM)
    left, rows = step.live(short, 1e-3, 0.4, 0.0, water, False, 1e-3, 1e-6, 0.0)
    assert rows == 5
    assert left == follow(1e-3)[0]


def test_what_is_no_bubble_is_nan():
    water = state.surroundings(25.0, 0.0, ROOM)
    course = np.empty((9, 6))
    for d, depth, hold in ((0.0, 0.4, 0.0), (1e-3, -0.1, 0.0), (1e-3, 0.4, math.nan)):
        left, rows = step.live(course, d, depth, hold, water, False, 1e-3, 1e-6, 0.0)
        assert math.isnan(left)
        assert rows == 0
    boiling = state.surroundings(130.0, 0.0, ROOM)
    assert math.isnan(step.live(course, 1e-3, 0.4, 0.0, boiling, False, 1e-3, 1e-6, 0.0)[0])
