import math

import numpy as np
import pytest

from leafgill.science import conductivity, salts
from leafgill.science.constants import DGH_MMOL_L, DKH_MEQ_L
from leafgill.science.formulas import formula_mass_g_mol
from leafgill.science.salt_table import IONS
from leafgill.science.salts import SALTS, salt_of

CHELATES = ("Fe-gluconate", "Fe-DTPA", "Fe-EDTA")
# H2PO4-, HPO4--: the proton is no part of what a kit calls phosphate
NUTRIENT_ALIASES = {"nitrogen", "phosphorus", "sulfur", "boron", "molybdenum", "urea_nitrogen"}


def water_of(formula):
    water = formula.partition(".")[2].removesuffix("H2O")
    return 0.0 if "." not in formula else float(water or 1) * formula_mass_g_mol("H2O")


@pytest.mark.parametrize("key", [key for key in SALTS if key not in CHELATES])
def test_ions_and_crystal_water_are_the_whole_salt(key):
    salt = SALTS[key]
    ions = sum(n * formula_mass_g_mol(IONS[ion].formula) for ion, n in salt.ions.items())
    assert ions + water_of(salt.formula) == pytest.approx(salt.molar_mass_g_mol, abs=1e-6)


@pytest.mark.parametrize("key", [key for key in SALTS if key != "Fe-gluconate"])
def test_charges_cancel(key):
    assert sum(n * IONS[ion].charge for ion, n in SALTS[key].ions.items()) == 0.0


@pytest.mark.parametrize("key", SALTS)
def test_fractions_are_fractions_and_add_up_to_no_more_than_one(key):
    gives = SALTS[key].gives
    assert all(0.0 < share <= 1.0 for share in gives.values())
    assert sum(v for name, v in gives.items() if name not in NUTRIENT_ALIASES) <= 1.0 + 1e-9


def test_a_kit_speaks_of_nitrate_and_phosphate_and_a_chemist_of_the_element():
    nitrate = SALTS["KNO3"].gives
    assert nitrate["nitrate"] / nitrate["nitrogen"] == pytest.approx(4.4266, abs=2e-4)
    for key in ("KH2PO4", "K2HPO4"):
        phosphate = SALTS[key].gives
        assert phosphate["phosphate"] / phosphate["phosphorus"] == pytest.approx(3.0661, abs=2e-4)


def test_all_of_the_nitrogen_counts_and_urea_is_told_apart():
    both = SALTS["NH4NO3"].gives
    as_ions = both["nitrate"] / 4.4266 + both["ammonium"] / 1.2879
    assert both["nitrogen"] == pytest.approx(as_ions, rel=1e-3)
    assert "urea_nitrogen" not in both
    urea = SALTS["urea"].gives
    assert urea["urea_nitrogen"] == urea["nitrogen"] == pytest.approx(0.4665, abs=1e-4)


@pytest.mark.parametrize(
    ("text", "key"),
    [
        ("KNO3", "KNO3"),
        ("kno3", "KNO3"),
        ("Potassium Nitrate", "KNO3"),
        ("KNO₃", "KNO3"),
        ("epsom salt", "MgSO4.7H2O"),
        ("MgSO4·7H2O", "MgSO4.7H2O"),
        ("MgSO4 * 7 H2O", "MgSO4.7H2O"),
        ("MgSO4", "MgSO4"),
        ("magnesium sulphate heptahydrate", "MgSO4.7H2O"),
        ("baking soda", "NaHCO3"),
        ("Fe DTPA", "Fe-DTPA"),
        ("Ca(NO3)2·4H2O", "Ca(NO3)2.4H2O"),
    ],
)
def test_a_salt_is_found_however_it_is_written(text, key):
    assert salt_of(text) is SALTS[key]


def test_every_name_of_every_salt_finds_it_and_no_two_share_one():
    for key, salt in SALTS.items():
        for text in (key, salt.formula, salt.name, *salt.trade_names):
            assert salt_of(text).key == key, text


@pytest.mark.parametrize(
    ("text", "near"),
    [
        ("CaSO4", "CaSO4.2H2O"),  # not guessed: the hydrate weighs a quarter more
        ("epsom", "MgSO4.7H2O"),
        ("potasium nitrate", "KNO3"),
        ("", "accepted: KNO3, "),
        ("plutonium", "accepted: KNO3, "),
    ],
)
def test_another_salt_is_refused_with_the_nearest(text, near):
    with pytest.raises(ValueError, match=r'a salt "') as error:
        salt_of(text)
    assert near in str(error.value)


def test_hardness_and_carbonate_hardness():
    assert salts.gh_dgh("MgSO4.7H2O", 0.24647) == pytest.approx(1.0 / DGH_MMOL_L, rel=1e-4)
    assert salts.gh_dgh("KNO3", 1.0) == 0.0
    assert salts.kh_dkh("KHCO3", 0.100114) == pytest.approx(1.0 / DKH_MEQ_L, rel=1e-4)
    # carbonate counts twice, and HPO4-- once on the way to pH 4.5
    assert salts.kh_dkh("K2CO3", 0.138205) == pytest.approx(2.0 / DKH_MEQ_L, rel=1e-4)
    assert salts.kh_dkh("K2HPO4", 0.174174) == pytest.approx(1.0 / DKH_MEQ_L, rel=1e-4)
    assert salts.kh_dkh("KH2PO4", 1.0) == 0.0
    assert salts.kh_dkh("CaCO3", 0.1) / salts.gh_dgh("CaCO3", 0.1) == pytest.approx(1.0, abs=1e-4)


@pytest.mark.parametrize("law", [salts.gh_dgh, salts.kh_dkh, salts.conductivity_us_cm])
def test_number_array_and_nan(law):
    assert type(law("CaCO3", 0.02)) is float
    grid = np.array([[0.0, 0.02], [math.nan, 0.04]])
    answer = law("CaCO3", grid)
    assert answer.shape == (2, 2)
    assert answer[0, 0] == 0.0
    assert answer[0, 1] == pytest.approx(law("CaCO3", 0.02), rel=1e-9)
    np.testing.assert_array_equal(np.isnan(answer), np.isnan(grid))
    with pytest.raises(ValueError, match="0 g/L or more"):
        law("CaCO3", -0.1)


def test_ions_of_an_amount():
    ions = salts.ions_mmol_l("CaCl2.2H2O", 0.147008)
    assert ions == pytest.approx({"Ca": 1.0, "Cl": 2.0}, rel=1e-4)
    alone = salts.conductivity_us_cm("CaCl2.2H2O", 0.147008)
    assert alone == pytest.approx(conductivity.conductivity_us_cm({"Ca": 1.0, "Cl": 2.0}), rel=1e-4)
    assert salts.conductivity_us_cm("urea", 1.0) == 0.0


def test_the_table_is_a_mapping_that_makes_each_salt_once():
    assert SALTS["KNO3"] is SALTS["KNO3"]
    assert len(SALTS) == len(list(SALTS)) > 30
    with pytest.raises(KeyError):
        SALTS["salt"]
    assert len({SALTS["KNO3"], salt_of("saltpetre")}) == 1
