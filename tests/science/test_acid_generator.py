import math

import numpy as np
import pytest

from leafgill.science import acid_generator as acid
from leafgill.science.co2_fluid import saturation_pressure_bar
from leafgill.science.gas_course import given_g
from leafgill.science.gases import co2_henry_mol_l_atm
from leafgill.science.stoichiometry import co2_g_per_g

HELD = 44.0095 / (0.08314462618 * 298.15) + co2_henry_mol_l_atm(25.0) * 44.0095 * 0.6 / 1.01325


def usual(**changed):
    asked = {
        "acid_g": 200.0,
        "bicarbonate_g": 300.0,
        "g_per_day": 3.0,
        "headspace_l": 1.0,
        "water_l": 0.6,
    } | changed
    return acid.acid_course(**asked)


def test_each_law_scalar_array_and_nan():
    for law, args in (
        (acid.held_g_per_bar, (1.0, 0.6, 25.0)),
        (acid.closed_vessel_bar, (5.0, 1.0, 0.6, 25.0)),
    ):
        alone = law(*args)
        assert type(alone) is float
        for i in range(len(args)):
            arrays = list(args)
            arrays[i] = np.array([[args[i]], [math.nan]])
            answer = law(*arrays)
            assert answer.shape == (2, 1)
            assert answer[0, 0] == pytest.approx(alone, rel=1e-14)
            assert math.isnan(answer[1, 0])


def test_what_a_vessel_holds():
    assert acid.held_g_per_bar(1.0, 0.6, 25.0) == pytest.approx(HELD, rel=1e-12)
    assert acid.closed_vessel_bar(5.0, 1.0, 0.6) == pytest.approx(1.01325 + 5.0 / HELD, rel=1e-12)
    assert acid.closed_vessel_bar(0.0, 1.0, 0.6) == 1.01325


def test_all_mixed_at_once_is_far_beyond_a_bottle():
    """100 g of citric acid with its bicarbonate in a closed litre over half a litre of water."""
    gas = 100.0 * co2_g_per_g("citric-sodium", "citric acid")
    assert acid.closed_vessel_bar(gas, 1.0, 0.5) > 20.0
    crowded = acid.closed_vessel_bar(500.0, 0.2, 0.5)
    assert crowded == pytest.approx(1.01325 + saturation_pressure_bar(25.0))
    # above 30.978 °C nothing condenses
    assert acid.closed_vessel_bar(500.0, 0.2, 0.5, 33.0) > crowded


def test_grams_by_hand():
    """200 g acid at 0.6872 g/g is 137.4 g; what stays is held at 0.2 bar above the air."""
    course = usual()
    kept = HELD * 1.21325
    for found, share in zip(course.grams, (0.95, 0.85, 1.0), strict=True):
        assert found == pytest.approx(137.44 * share - kept, abs=0.03)
    assert course.source == "acid-bicarbonate" and course.shuts_at_night


def test_steady_then_running_down():
    course = usual()
    total = 0.95 * 200.0 * co2_g_per_g("citric-sodium", "citric acid")
    steady_d = (total - HELD * 2.51325) / 3.0
    rate, times = course.rate_g_per_day.value, course.times_d
    np.testing.assert_allclose(rate[times < steady_d - 1e-9], 3.0, rtol=1e-9)
    after = rate[times > steady_d + 1e-9]
    assert np.all(np.diff(after) <= 1e-9)
    assert after[-1] == 0.0
    assert course.days.low < course.days.value < course.days.high
    assert given_g(times, rate)[-1] == pytest.approx(course.grams.value, rel=5e-3)


def test_running_down_by_stepping_through_it():
    """The same end by small Euler steps of the vessel's pressure."""
    course = usual()
    total = 0.95 * 200.0 * co2_g_per_g("citric-sodium", "citric acid")
    steady_d = (total - HELD * 2.51325) / 3.0
    p, day, step = 2.51325, 0.0, 1e-4
    while day < 1.0:
        p -= 3.0 * (p**2 - 1.21325**2) / (2.51325**2 - 1.21325**2) / HELD * step
        day += step
    expected = 3.0 * (p**2 - 1.21325**2) / (2.51325**2 - 1.21325**2)
    assert course.rate_at(steady_d + 1.0).value == pytest.approx(expected, rel=5e-3)


def test_a_faster_valve_empties_it_sooner():
    slow, fast = usual(g_per_day=2.0), usual(g_per_day=4.0)
    assert slow.grams == fast.grams
    assert slow.days.value / fast.days.value == pytest.approx(2.0, rel=1e-3)


def test_a_pinch_never_leaves_the_vessel():
    course = usual(acid_g=2.0)
    assert course.grams == (0.0, 0.0, 0.0)
    assert course.days.value == 0.0
    assert np.all(course.rate_g_per_day.high == 0.0)


def test_too_little_to_reach_the_working_pressure():
    course = usual(acid_g=7.5)
    assert 0.0 < course.grams.low < course.grams.high < 3.0
    assert course.rate_at(0.0).value < 3.0


def test_vinegar_and_potash():
    vinegar = acid.co2_from(100.0, 1000.0, "acetic-sodium")
    assert vinegar == pytest.approx(100.0 * co2_g_per_g("acetic-sodium", "acetic acid"))
    potash = acid.co2_from(1000.0, 100.0, "citric-potassium")
    assert potash == pytest.approx(43.96, abs=0.01)


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"acid_g": -1.0}, "citric acid of -1 g"),
        ({"g_per_day": 0.0}, "a flow of 0 g/day"),
        ({"headspace_l": 0.0}, "a headspace of 0 L"),
        ({"water_l": -0.1}, "water of -0.1 L"),
        ({"back_gauge_bar": -0.1}, "behind the valve of -0.1 bar"),
        ({"gauge_bar": 0.2}, "pass no gas"),
        ({"reaction": "sucrose"}, "no reaction of an acid with bicarbonate"),
        ({"reaction": "rust"}, "accepted: sucrose"),
    ],
)
def test_refused(changed, said):
    with pytest.raises(ValueError, match=said):
        usual(**changed)


def test_refused_vessel():
    with pytest.raises(ValueError, match="a headspace of 0 L"):
        acid.closed_vessel_bar(1.0, 0.0, 1.0)
