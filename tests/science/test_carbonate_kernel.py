import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from leafgill.science import carbonate_kernel as kernel
from leafgill.science.carbonate_directions import carbon_of_ph, hydrogen_of_co2, hydrogen_of_ph
from leafgill.science.constants import DGH_MMOL_L

ALKALINITIES = st.floats(0.05, 8.0)
TEMPERATURES = st.floats(5.0, 35.0)
HARDNESSES = st.floats(0.0, 20.0)
CO2_MMOL = st.floats(0.001, 5.0)

quick = settings(deadline=None, max_examples=150)


def constants(temperature, alkalinity, gh):
    strength = kernel.ionic_strength_mol_l(alkalinity, gh, 0.0)
    return kernel.conditional_constants(temperature, strength, gh)


def water(alkalinity, co2, temperature, gh):
    """A water in equilibrium, built from CO2 and alkalinity: (dic, h, k1, k2, kw)."""
    k1, k2, kw, _ = constants(temperature, alkalinity, gh)
    h = hydrogen_of_co2(co2, alkalinity, k1, k2, kw)
    dic = co2 * (1.0 + k1 / h + k1 * k2 / h**2)
    return dic, h, k1, k2, kw


def test_ionic_strength_of_pure_salts_by_hand():
    # Half the sum of c·z² over the ions: NaHCO3 1.0 mmol/L, NaCl 2.0 mmol/L.
    assert kernel.ionic_strength_mol_l(1.0, 0.0, 0.0) == pytest.approx(1.0e-3)
    assert kernel.ionic_strength_mol_l(1.0, 0.0, 2.0) == pytest.approx(3.0e-3)


def test_ionic_strength_of_hardness_by_hand():
    # 1 mmol/L hardness: 0.75 CaCl2 (3 each) + 0.25 MgSO4 (4 each) = 3.25e-3, less the pairs.
    gh = 1.0 / DGH_MMOL_L
    free = kernel.ionic_strength_mol_l(0.0, gh, 0.0)
    sulfate_pairs = 0.25e-3 * 0.090 / 1.090
    assert free == pytest.approx(3.25e-3 - 4.0 * sulfate_pairs, rel=1e-12)
    # 2 meq/L alkalinity all of it as Ca and Mg bicarbonate: 3.0e-3, less 2 for each MHCO3+ pair.
    limestone = kernel.ionic_strength_mol_l(2.0, gh, 0.0, 1.0)
    hco3_pairs = 2.0e-3 * 0.0085 / 1.0085
    assert limestone == pytest.approx(3.0e-3 - 2.0 * hco3_pairs, rel=1e-12)


def test_a_bicarbonate_share_cannot_exceed_the_alkalinity():
    soft = kernel.ionic_strength_mol_l(0.2, 6.0, 0.0, 1.0)
    remineralised = kernel.ionic_strength_mol_l(0.2, 6.0, 0.0, 0.0)
    assert 0.8 * remineralised < soft < remineralised


def test_negative_alkalinity_lends_no_ionic_strength():
    assert kernel.ionic_strength_mol_l(-1.0, 0.0, 0.0) == 0.0


def test_conditional_constants_at_zero_ionic_strength_are_the_thermodynamic_ones():
    k1, k2, kw, gamma_h = kernel.conditional_constants(25.0, 0.0, 0.0)
    assert gamma_h == 1.0
    assert math.log10(k1 * 1e-3) == pytest.approx(-6.3519, abs=5e-5)
    assert math.log10(k2 * 1e-3) == pytest.approx(-10.3289, abs=5e-5)
    assert math.log10(kw * 1e-6) == pytest.approx(-13.9948, abs=5e-5)


def test_davies_activity_coefficient_at_a_tenth():
    # log10 gamma = -0.5108·(0.31623/1.31623 - 0.03) = -0.10740 at I = 0.1, 25 °C.
    gamma_h = kernel.conditional_constants(25.0, 0.1, 0.0)[3]
    assert math.log10(gamma_h) == pytest.approx(-0.10740, abs=2e-5)


def test_hardness_hides_more_carbonate_than_bicarbonate():
    on_hco3, on_co3 = kernel.pairing_factors(298.15, math.log10(298.15), 1.0, 6.0)
    # By hand from the log K at 25 °C (1.106, 1.070; 3.224, 2.980): Ca 0.8025, Mg 0.2675 mmol/L.
    by_hand = 0.8025e-3 * 10**1.106 + 0.2675e-3 * 10**1.07
    assert on_hco3 - 1.0 == pytest.approx(by_hand, rel=3e-3)
    assert on_co3 == pytest.approx(1.0 + 0.8025e-3 * 10**3.224 + 0.2675e-3 * 10**2.98, rel=2e-3)


def test_hardness_is_folded_into_the_constants():
    strength = 0.008
    k1, k2, kw, gamma_h = kernel.conditional_constants(25.0, strength, 0.0)
    hard = kernel.conditional_constants(25.0, strength, 10.0)
    on_hco3, on_co3 = kernel.pairing_factors(298.15, math.log10(298.15), gamma_h, 10.0)
    expected = (k1 * on_hco3, k2 * on_co3 / on_hco3, kw, gamma_h)
    np.testing.assert_allclose(hard, expected, rtol=1e-12)


@quick
@given(ALKALINITIES, CO2_MMOL, TEMPERATURES, HARDNESSES, st.floats(-30.0, 10.0))
def test_hydrogen_is_found_from_any_guess(alkalinity, co2, temperature, gh, log_guess):
    dic, h, k1, k2, kw = water(alkalinity, co2, temperature, gh)
    found = kernel.hydrogen_mmol_l(dic, alkalinity, k1, k2, kw, 10.0**log_guess)
    # 1e-12 of h, beyond what the rounding of DIC itself moves h by in barely buffered water.
    assert found == pytest.approx(h, rel=1e-12 + 2e-14 * dic / co2)


@pytest.mark.parametrize("guess", [0.0, -1.0, math.nan, math.inf, 1e-300, 1e300])
def test_a_senseless_guess_does_no_harm(guess):
    dic, h, k1, k2, kw = water(1.4, 0.5, 25.0, 6.0)
    found = kernel.hydrogen_mmol_l(dic, 1.4, k1, k2, kw, guess)
    assert found == pytest.approx(h, rel=1e-12)


@quick
@given(st.floats(-1000.0, 1000.0), st.floats(0.0, 1000.0), TEMPERATURES, st.floats(-12.0, 2.0))
def test_charge_balances_in_waters_however_odd(alkalinity, dic, temperature, log_guess):
    k1, k2, kw, _ = kernel.conditional_constants(temperature, 0.005, 0.0)
    h = kernel.hydrogen_mmol_l(dic, alkalinity, k1, k2, kw, 10.0**log_guess)
    below = h * h + k1 * h + k1 * k2
    carbonate = dic * (k1 * h + 2.0 * k1 * k2) / below
    size = abs(alkalinity) + dic + kw / h + h
    assert abs(carbonate + kw / h - h - alkalinity) <= 1e-12 * size


def test_water_without_carbon_is_that_of_its_acid_or_base():
    _, _, kw, _ = kernel.conditional_constants(25.0, 0.0, 0.0)
    assert kernel.hydrogen_mmol_l(0.0, 0.0, 1e-4, 1e-8, kw, 0.0) == pytest.approx(math.sqrt(kw))
    assert kernel.hydrogen_mmol_l(0.0, 1.0, 1e-4, 1e-8, kw, 0.0) == pytest.approx(kw, rel=1e-7)
    assert kernel.hydrogen_mmol_l(0.0, -1.0, 1e-4, 1e-8, kw, 0.0) == pytest.approx(1.0, rel=1e-7)


@pytest.mark.parametrize("name", ["dic", "alkalinity", "k1"])
def test_hydrogen_of_nan_is_nan(name):
    values = {"dic": 1.9, "alkalinity": 1.4, "k1": 4.9e-4} | {name: math.nan}
    found = kernel.hydrogen_mmol_l(*values.values(), 5e-8, 1.1e-8, 1e-4)
    assert math.isnan(found)


def test_negative_carbon_is_no_water():
    assert math.isnan(kernel.hydrogen_mmol_l(-1e-9, 1.4, 4.9e-4, 5e-8, 1.1e-8, 1e-4))


@pytest.mark.parametrize(("change", "steps"), [(0.0, 1), (1e-4, 2), (1e-2, 3), (5e-2, 3)])
@pytest.mark.parametrize("co2", [0.02, 0.2, 1.0])
@pytest.mark.parametrize("alkalinity", [0.2, 1.4, 5.0])
def test_a_warm_start_needs_one_to_three_newton_steps(monkeypatch, change, steps, co2, alkalinity):
    _, h, k1, k2, kw = water(alkalinity, co2, 25.0, 6.0)
    moved, exact, *_ = water(alkalinity, co2 * (1.0 + change), 25.0, 6.0)
    monkeypatch.setattr(kernel, "_ALL_STEPS", steps)
    found = kernel.hydrogen_mmol_l.py_func(moved, alkalinity, k1, k2, kw, h)
    assert found == pytest.approx(exact, rel=2e-12)


@quick
@given(ALKALINITIES, CO2_MMOL, TEMPERATURES, HARDNESSES)
def test_co2_of_carbon_gives_back_the_co2_it_was_built_from(alkalinity, co2, temperature, gh):
    dic, h, k1, k2, _ = water(alkalinity, co2, temperature, gh)
    assert kernel.co2_mmol_l(dic, h, k1, k2) == pytest.approx(co2, rel=1e-12)


@quick
@given(ALKALINITIES, CO2_MMOL, TEMPERATURES, HARDNESSES)
def test_slope_of_co2_agrees_with_small_differences(alkalinity, co2, temperature, gh):
    dic, h, k1, k2, kw = water(alkalinity, co2, temperature, gh)
    slope = kernel.dco2_ddic(h, k1, k2, kw, dic)
    d = 1e-4 * co2
    sides = []
    for carbon in (dic - d, dic + d):
        at = kernel.hydrogen_mmol_l(carbon, alkalinity, k1, k2, kw, h)
        sides.append(kernel.co2_mmol_l(carbon, at, k1, k2))
    assert slope == pytest.approx((sides[1] - sides[0]) / (2.0 * d), rel=1e-5)
    assert 0.0 < slope < 1.0


def test_nearly_all_added_carbon_stays_co2_where_co2_is_high():
    dic, h, k1, k2, kw = water(1.4, 0.68, 25.0, 6.0)
    assert kernel.dco2_ddic(h, k1, k2, kw, dic) > 0.998


@quick
@given(ALKALINITIES, st.floats(5.0, 8.5), TEMPERATURES, HARDNESSES)
def test_carbon_and_hydrogen_are_each_others_inverse(alkalinity, ph, temperature, gh):
    k1, k2, kw, gamma_h = constants(temperature, alkalinity, gh)
    h = hydrogen_of_ph(ph, gamma_h)
    assert -math.log10(gamma_h * h * 1e-3) == pytest.approx(ph, abs=1e-12)
    co2 = carbon_of_ph(alkalinity, h, k1, k2, kw)
    assert hydrogen_of_co2(co2, alkalinity, k1, k2, kw) == pytest.approx(h, rel=1e-11)


def test_scalar_twins_answer_like_plain_python():
    """The compiled forms against the same source run by the interpreter."""
    rng = np.random.default_rng(4)
    for _ in range(20):
        alkalinity, gh, t = rng.uniform(0.2, 5.0), rng.uniform(0.0, 15.0), rng.uniform(15, 30)
        strength = kernel.ionic_strength_mol_l(alkalinity, gh, 0.0)
        slow = kernel.conditional_constants.py_func(t, strength, gh)
        np.testing.assert_allclose(kernel.conditional_constants(t, strength, gh), slow, rtol=1e-13)
