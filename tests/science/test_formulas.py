import pytest

from leafgill.science.formulas import anhydrous, formula_mass_g_mol


@pytest.mark.parametrize(
    ("formula", "g_mol"),
    [
        ("KNO3", 101.1),
        # the dot of a hydrate is no decimal point: 120.361 + 7·18.015
        ("MgSO4.7H2O", 246.47),
        ("MgSO4·7H2O", 246.47),
        ("MnSO4.H2O", 169.01),
        ("Ca(NO3)2.4H2O", 236.15),
        ("(NH4)2SO4", 132.13),
    ],
)
def test_mass(formula, g_mol):
    assert formula_mass_g_mol(formula) == pytest.approx(g_mol, abs=0.01)


@pytest.mark.parametrize("formula", ["", "salt", "Xx2", "1.2", "KNO3."])
def test_what_is_no_formula_is_refused(formula):
    with pytest.raises(ValueError, match="accepted: like KNO3"):
        formula_mass_g_mol(formula)


def test_anhydrous():
    assert anhydrous("MgSO4.7H2O") == anhydrous("MgSO4·7H2O") == "MgSO4"
    assert anhydrous("KNO3") == "KNO3"
