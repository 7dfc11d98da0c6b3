"""Bottles and minerals worked by hand from atomic weights.

Atomic weights: IUPAC, abridged standard values (K 39.098, N 14.007, O 15.999, P 30.974, H 1.008,
S 32.06, Mg 24.305, Ca 40.078, Cl 35.45, C 12.011, Cu 63.546), typed in from memory. Everything
else below is arithmetic that a keeper can do on paper.
"""

import pytest

from leafgill.advise.stock.brings import species_mg
from leafgill.advise.stock.recipe import bottle_for
from leafgill.advise.stock.wants import want_of
from leafgill.advise.water.minerals import Wish, grams_per_l
from leafgill.science.salts import SALTS
from leafgill.tank.bottle import bottle_of

K, N, OX, P, H, S, MG, CA, CL, C, CU = (
    39.098, 14.007, 15.999, 30.974, 1.008, 32.06, 24.305, 40.078, 35.45, 12.011, 63.546,
)  # fmt: skip
NO3, PO4, SO4, WATER = N + 3 * OX, P + 4 * OX, S + 4 * OX, 2 * H + OX


def test_nitrate_and_phosphate_for_a_hundred_litres():
    """10 mL raise 100 L by 5 mg/L of NO3 and 0.5 of PO4: 500 mg and 50 mg a dose, 50 doses."""
    bottle = bottle_for([want_of("nitrate 5"), want_of("phosphate 0.5")], 100.0, 500.0, 10.0)
    grams = dict(bottle.salts_g)
    assert grams["KNO3"] == pytest.approx(50 * 0.500 * (K + NO3) / NO3, rel=1e-4)  # 40.76 g
    assert grams["KH2PO4"] == pytest.approx(50 * 0.050 * (K + 2 * H + PO4) / PO4, rel=1e-4)
    assert grams["KNO3"] == pytest.approx(40.76, abs=0.01)
    assert grams["KH2PO4"] == pytest.approx(3.582, abs=0.002)


def test_potassium_that_comes_along_is_taken_off():
    """5 mg/L of NO3 bring 3.153 mg/L of K; of 8 wished for 4.847 are left for K2SO4."""
    bottle = bottle_for([want_of("nitrate 5"), want_of("potassium 8")], 100.0, 500.0, 10.0)
    left = 8.0 - 5.0 * K / NO3
    assert left == pytest.approx(4.847, abs=0.001)
    expected = 50 * left * 100.0 * 1e-3 * (2 * K + SO4) / (2 * K)
    assert dict(bottle.salts_g)["K2SO4"] == pytest.approx(expected, rel=1e-4)


def test_magnesium_from_the_heptahydrate():
    """A gram of MgSO4.7H2O holds 98.6 mg of magnesium: seven waters are half its weight."""
    found = species_mg(bottle_of("m: 1000 mL, MgSO4.7H2O 100 g"), 10.0)
    assert found["magnesium"] == pytest.approx(1000.0 * MG / (MG + SO4 + 7 * WATER), rel=1e-4)
    assert found["magnesium"] == pytest.approx(98.6, abs=0.1)


def test_copper_of_blue_vitriol():
    """1 g of CuSO4.5H2O in 1 L: 10 mL hold 2.545 mg of copper, which is 25.45 µg/L in 100 L."""
    found = species_mg(bottle_of("c: 1000 mL, CuSO4.5H2O 1 g"), 10.0)
    assert found["copper"] == pytest.approx(10.0 * CU / (CU + SO4 + 5 * WATER), rel=1e-4)
    assert found["copper"] / 100.0 * 1e3 == pytest.approx(25.45, abs=0.01)


def test_minerals_for_four_degrees_and_six():
    """1 dKH is 0.35665 meq/L, 1 dGH 0.17832 mmol/L (10 mg/L of CaO each, 56.077 g/mol).

    4 dKH: 1.4266 mmol/L of KHCO3. 6 dGH, calcium to magnesium 3 : 1 by weight: a share of
    3/40.078 : 1/24.305 = 0.0749 : 0.0411 in moles, so 0.646 of 1.0699 mmol/L are calcium.
    """
    keys = ("CaCl2.2H2O", "MgSO4.7H2O", "KHCO3")
    grams = grams_per_l(Wish(4.0, 6.0, 3.0), 0.0, 0.0, [SALTS[key] for key in keys])
    moles = 6.0 * 10.0 / 56.077
    calcium = moles * (3.0 / CA) / (3.0 / CA + 1.0 / MG)
    assert calcium / moles == pytest.approx(0.646, abs=0.001)
    masses = (CA + 2 * CL + 2 * WATER, MG + SO4 + 7 * WATER, K + H + C + 3 * OX)
    amounts = (calcium, moles - calcium, 4.0 * 20.0 / 56.077)
    for found, mass, mmol in zip(grams, masses, amounts, strict=True):
        assert found == pytest.approx(mass * mmol * 1e-3, rel=2e-3)


def test_two_teaspoons_of_baking_soda():
    """30 mg of NaHCO3 a litre are 1 dKH: 6 g raise 50 L by 4.0 (arithmetic)."""
    from leafgill.science.salts import kh_dkh

    assert kh_dkh("NaHCO3", 6.0 / 50.0) == pytest.approx(0.12 / 84.006 * 1e3 / 0.35665, rel=1e-4)
    assert kh_dkh("NaHCO3", 6.0 / 50.0) == pytest.approx(4.0, abs=0.01)
