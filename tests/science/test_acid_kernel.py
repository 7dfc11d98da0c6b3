"""A weak acid beside carbonate: against the kernel without one, and against bracketed roots."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from leafgill.science import acid_kernel as acids
from leafgill.science import carbonate_kernel as kernel
from leafgill.science.carbonate_directions import hydrogen_of_co2

ALKALINITIES = st.floats(0.2, 6.0)
TEMPERATURES = st.floats(15.0, 32.0)
HARDNESSES = st.floats(0.0, 15.0)
CO2_MMOL = st.floats(0.005, 2.0)
SHARES = st.floats(0.0, 0.6)
PKAS = st.floats(3.5, 9.0)

quick = settings(deadline=None, max_examples=150)


def constants(alkalinity, temperature, gh):
    strength = kernel.ionic_strength_mol_l(alkalinity, gh, 0.5)
    return kernel.conditional_constants(temperature, strength, gh)[:3]


def balance(log_h, dic, alkalinity, k1, k2, kw, acid, ka):
    """Charge that is left over at [H+] = exp(log_h), species by species."""
    h = math.exp(log_h)
    hco3 = dic / (1.0 + h / k1 + k2 / h)
    co3 = hco3 * k2 / h
    anion = acid / (1.0 + h / ka)
    return hco3 + 2.0 * co3 + kw / h - h + anion - alkalinity


def bracketed(dic, *rest):
    log_h = brentq(balance, math.log(1e-12), math.log(1e3), (dic, *rest), xtol=1e-14, rtol=1e-14)
    return math.exp(log_h)


@quick
@given(ALKALINITIES, CO2_MMOL, TEMPERATURES, HARDNESSES, PKAS)
def test_without_acid_it_is_the_carbonate_kernel(alkalinity, co2, temperature, gh, pka):
    k1, k2, kw = constants(alkalinity, temperature, gh)
    ka = 10.0 ** (3.0 - pka)
    h = acids.hydrogen_of_co2_beside_acid(co2, alkalinity, k1, k2, kw, 0.0, ka)
    assert h == pytest.approx(hydrogen_of_co2(co2, alkalinity, k1, k2, kw), rel=1e-9)
    dic = co2 * (1.0 + k1 / h + k1 * k2 / (h * h))
    there = kernel.hydrogen_mmol_l(dic, alkalinity, k1, k2, kw, 0.0)
    here = acids.hydrogen_beside_acid(dic, alkalinity, k1, k2, kw, 0.0, ka, 0.0)
    assert here == pytest.approx(there, rel=1e-9)
    slope = acids.dco2_ddic_beside_acid(there, k1, k2, kw, dic, 0.0, ka)
    assert slope == pytest.approx(kernel.dco2_ddic(there, k1, k2, kw, dic), rel=1e-12)


@quick
@given(
    ALKALINITIES, CO2_MMOL, TEMPERATURES, HARDNESSES, SHARES, PKAS,
    st.floats(-12.0, 2.0),
)  # fmt: skip
def test_hydrogen_is_the_bracketed_root_from_any_guess(
    alkalinity, co2, temperature, gh, share, pka, log_guess
):
    k1, k2, kw = constants(alkalinity, temperature, gh)
    acid, ka = share * alkalinity, 10.0 ** (3.0 - pka)
    start = acids.hydrogen_of_co2_beside_acid(co2, alkalinity, k1, k2, kw, acid, ka)
    dic = co2 * (1.0 + k1 / start + k1 * k2 / (start * start))
    truth = bracketed(dic, alkalinity, k1, k2, kw, acid, ka)
    found = acids.hydrogen_beside_acid(dic, alkalinity, k1, k2, kw, acid, ka, 10.0**log_guess)
    # Beyond 1e-9 only what the rounding of DIC moves h by.
    assert found == pytest.approx(truth, rel=1e-9 + 1e-13 * dic / co2)
    assert start == pytest.approx(truth, rel=1e-9 + 1e-13 * dic / co2)


@quick
@given(ALKALINITIES, CO2_MMOL, TEMPERATURES, HARDNESSES, SHARES, PKAS)
def test_slope_is_that_of_two_waters_apart(alkalinity, co2, temperature, gh, share, pka):
    k1, k2, kw = constants(alkalinity, temperature, gh)
    acid, ka = share * alkalinity, 10.0 ** (3.0 - pka)
    h = acids.hydrogen_of_co2_beside_acid(co2, alkalinity, k1, k2, kw, acid, ka)
    dic = co2 * (1.0 + k1 / h + k1 * k2 / (h * h))
    dh = 1e-3 * co2

    def co2_at(carbon):
        root = bracketed(carbon, alkalinity, k1, k2, kw, acid, ka)
        return kernel.co2_mmol_l(carbon, root, k1, k2)

    by_difference = (co2_at(dic + dh) - co2_at(dic - dh)) / (2.0 * dh)
    slope = acids.dco2_ddic_beside_acid(h, k1, k2, kw, dic, acid, ka)
    assert slope == pytest.approx(by_difference, rel=1e-4, abs=1e-8)
    assert 0.0 < slope <= 1.0


def test_acid_half_held_at_its_pka_and_all_held_far_above():
    assert acids.held_meq_l(0.01, 0.4, 0.01) == pytest.approx(0.2)
    assert acids.held_meq_l(1e-9, 0.4, 0.01) == pytest.approx(0.4, rel=1e-6)
    assert acids.held_meq_l(10.0, 0.4, 0.01) == pytest.approx(0.4e-3, rel=2e-3)


def test_acid_takes_bicarbonates_place_so_the_same_ph_means_less_co2():
    k1, k2, kw = constants(1.4, 25.0, 5.0)
    h = 10.0 ** (3.0 - 6.8)
    ka = 10.0 ** (3.0 - 4.0)
    # CO2 that gives this h: of 1.4 meq/L, 0.28 are the acid's, so a fifth less than without.
    low, high = 1e-3, 5.0

    def of_co2(co2, acid):
        return acids.hydrogen_of_co2_beside_acid(co2, 1.4, k1, k2, kw, acid, ka) - h

    bare = brentq(of_co2, low, high, (0.0,))
    beside = brentq(of_co2, low, high, (0.28,))
    assert beside / bare == pytest.approx(0.8, abs=2e-3)


@pytest.mark.parametrize("carbon", [math.nan, -0.1])
def test_no_answer_for_no_water(carbon):
    k1, k2, kw = constants(1.4, 25.0, 5.0)
    assert math.isnan(acids.hydrogen_beside_acid(carbon, 1.4, k1, k2, kw, 0.1, 0.1, 1e-4))
    assert math.isnan(acids.hydrogen_of_co2_beside_acid(carbon, 1.4, k1, k2, kw, 0.1, 0.1))
