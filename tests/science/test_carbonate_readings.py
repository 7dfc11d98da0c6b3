"""Readings' errors through the equilibrium, against answers worked out another way."""

import math
from statistics import NormalDist

import numpy as np
import pytest

from leafgill.science import carbonate
from leafgill.science.carbonate_readings import (
    HALF_90,
    Spread,
    between,
    exactly,
    spread,
    within,
)
from leafgill.science.constants import DKH_MEQ_L


def co2(ph, kh):
    return carbonate.co2_mg_l(ph, kh * DKH_MEQ_L, 25.0)


def test_half_of_the_central_90_percent_is_1_645_standard_deviations():
    assert pytest.approx(1.6448536, abs=1e-7) == HALF_90


def test_exact_readings_give_the_law_itself():
    value = co2(6.8, 4.0)
    assert spread(co2, exactly(6.8), exactly(4.0)) == Spread(value, value, value)


def test_ph_off_by_a_tenth_spreads_co2_as_a_power_of_ten_does():
    # CO2 falls as 10^-pH: the interval's ends are the law at the ends of the reading's
    answer = spread(co2, within(6.8, 0.1), exactly(4.0))
    assert answer.low == pytest.approx(co2(6.9, 4.0), rel=2e-3)
    assert answer.high == pytest.approx(co2(6.7, 4.0), rel=2e-3)
    # mean of a log-normal: the middle times exp(s²/2)
    s = math.log(10.0) * 0.1 / HALF_90
    assert answer.mean == pytest.approx(co2(6.8, 4.0) * math.exp(0.5 * s * s), rel=1e-3)


def test_drops_rounded_up_lower_the_middle_and_bound_the_answer():
    answer = spread(co2, exactly(6.8), between(3.0, 4.0))
    assert answer.mean == pytest.approx(co2(6.8, 3.5), rel=2e-3)
    assert co2(6.8, 3.04) < answer.low < co2(6.8, 3.06)
    assert co2(6.8, 3.94) < answer.high < co2(6.8, 3.96)


def test_two_errors_against_a_million_random_readings():
    rng = np.random.default_rng(3)
    ph = rng.normal(6.6, 0.1 / HALF_90, 1_000_000)
    kh = rng.uniform(4.0, 5.0, 1_000_000)
    drawn = co2(ph, kh)
    answer = spread(co2, within(6.6, 0.1), between(4.0, 5.0))
    assert answer.mean == pytest.approx(drawn.mean(), rel=2e-3)
    assert answer.low == pytest.approx(np.quantile(drawn, 0.05), rel=3e-3)
    assert answer.high == pytest.approx(np.quantile(drawn, 0.95), rel=3e-3)


def test_strata_are_equally_likely():
    row = within(7.0, 0.2, count=1000)
    law = NormalDist(7.0, 0.2 / HALF_90)
    assert np.allclose([law.cdf(v) for v in row], (np.arange(1000) + 0.5) / 1000)
    assert np.allclose(between(1.0, 2.0, count=4), [1.125, 1.375, 1.625, 1.875])


def test_no_width_is_an_exact_reading():
    assert within(7.0, 0.0).tolist() == [7.0]


@pytest.mark.parametrize("make", [lambda: within(7.0, -0.1), lambda: between(4.0, 4.0)])
def test_it_refuses_widths_that_are_none(make):
    with pytest.raises(ValueError, match=r"negative|not below"):
        make()


def test_what_no_water_can_have_is_nan():
    answer = spread(co2, within(6.8, 0.1), exactly(math.nan))
    assert all(math.isnan(part) for part in answer)
