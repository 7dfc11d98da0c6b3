import math

import numpy as np
import pytest

from leafgill.science.bubble_motion import rise_velocity_m_s, transfer_velocity_m_s

LAWS = (rise_velocity_m_s, transfer_velocity_m_s)


@pytest.mark.parametrize("law", LAWS)
@pytest.mark.parametrize("surface", ["dirty", "clean"])
def test_scalar_array_and_nan(law, surface):
    one = law(1, 25, surface=surface)
    assert type(one) is float
    grid = np.array([[0.2], [1.0], [math.nan]])
    answer = law(grid, np.array([20.0, 25.0]), surface=surface)
    assert answer.shape == (3, 2)
    assert answer[1, 1] == one
    assert np.isnan(answer[2]).all()
    assert not np.isnan(answer[:2]).any()
    assert math.isnan(law(1.0, math.nan, surface=surface))


@pytest.mark.parametrize("law", LAWS)
def test_refusals(law):
    with pytest.raises(ValueError, match='surface is "dirty" or "clean", not "soapy"'):
        law(1.0, 25.0, surface="soapy")
    with pytest.raises(ValueError, match="diameter of 0 mm"):
        law(np.array([1.0, 0.0]), 25.0)
    with pytest.raises(ValueError, match='gas is "co2", "n2" or "o2", not "argon"'):
        transfer_velocity_m_s(1.0, 25.0, gas="argon")


def test_dirty_is_what_is_meant_unless_said():
    assert rise_velocity_m_s(1.0, 25.0) == rise_velocity_m_s(1.0, 25.0, surface="dirty")
    assert rise_velocity_m_s(1.0, 25.0) < rise_velocity_m_s(1.0, 25.0, surface="clean")
    co2 = transfer_velocity_m_s(1.0, 25.0)
    assert co2 == transfer_velocity_m_s(1.0, 25.0, gas="co2", surface="dirty")


def test_a_gas_that_wanders_faster_crosses_faster():
    co2, n2, o2 = (transfer_velocity_m_s(2.0, 25.0, gas=gas) for gas in ("co2", "n2", "o2"))
    assert co2 < n2 < o2
    # rigid: all but the pure diffusion of Sh = 1 goes with D^⅔
    assert o2 / co2 == pytest.approx((2.2696 / 1.9170) ** (2.0 / 3.0), rel=0.01)
    co2, o2 = (transfer_velocity_m_s(2.0, 25.0, gas=gas, surface="clean") for gas in ("co2", "o2"))
    # mobile: with √D
    assert o2 / co2 == pytest.approx((2.2696 / 1.9170) ** 0.5, rel=1e-4)


def test_warm_water_lets_small_bubbles_rise_faster():
    assert rise_velocity_m_s(0.3, 28.0) > 1.07 * rise_velocity_m_s(0.3, 20.0)
