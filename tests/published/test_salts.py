"""Fertiliser salts: molar masses, what they give, and how much of them dissolves."""

import re

import phreeqpython
import pytest
from chemicals.elements import molecular_weight, nested_formula_parser

from leafgill.science.cited import Mark
from leafgill.science.salts import SALTS, solubility_g_l, solubility_source
from leafgill.science.solubility import saturated_g_100g


def weighed(formula):
    """Molar mass by another program (chemicals), each part of a hydrate on its own."""
    total = 0.0
    for part in formula.split("."):
        number, rest = re.fullmatch(r"(\d*)(.+)", part).groups()
        total += int(number or 1) * molecular_weight(nested_formula_parser(rest))
    return total


@pytest.mark.parametrize("key", SALTS)
def test_molar_masses_by_another_program(key):
    """periodictable against chemicals: both carry standard atomic weights, of different years."""
    salt = SALTS[key]
    assert salt.molar_mass_g_mol == pytest.approx(weighed(salt.formula), rel=1e-4)


@pytest.mark.parametrize(
    ("key", "species", "percent"),
    [
        ("KNO3", "potassium", 38.67),
        ("KNO3", "nitrogen", 13.85),
        ("KNO3", "nitrate", 61.33),
        ("KH2PO4", "potassium", 28.73),
        ("KH2PO4", "phosphorus", 22.76),
        ("KH2PO4", "phosphate", 69.79),
        ("K2HPO4", "phosphorus", 17.78),
        ("K2SO4", "potassium", 44.88),
        ("K2SO4", "sulfur", 18.40),
        ("KCl", "potassium", 52.45),
        ("KCl", "chloride", 47.55),
        ("MgSO4.7H2O", "magnesium", 9.861),
        ("MgSO4.7H2O", "sulfur", 13.01),
        ("CaSO4.2H2O", "calcium", 23.28),
        ("CaCl2.2H2O", "calcium", 27.26),
        ("CaCl2.2H2O", "chloride", 48.23),
        ("Ca(NO3)2.4H2O", "calcium", 16.97),
        ("Ca(NO3)2.4H2O", "nitrogen", 11.86),
        ("Mg(NO3)2.6H2O", "magnesium", 9.479),
        ("KHCO3", "potassium", 39.05),
        ("NaHCO3", "sodium", 27.37),
        ("K2CO3", "potassium", 56.58),
        ("urea", "nitrogen", 46.65),
        ("(NH4)2SO4", "nitrogen", 21.20),
        ("NH4NO3", "nitrogen", 35.00),
        ("Fe-gluconate", "iron", 11.58),
        ("Fe-DTPA", "iron", 11.39),
        ("Fe-EDTA", "iron", 13.26),
        ("FeSO4.7H2O", "iron", 20.09),
        ("MnSO4.H2O", "manganese", 32.51),
        ("ZnSO4.7H2O", "zinc", 22.74),
        ("CuSO4.5H2O", "copper", 25.45),
        ("H3BO3", "boron", 17.48),
        ("Na2MoO4.2H2O", "molybdenum", 39.66),
        ("CoSO4.7H2O", "cobalt", 20.97),
        ("NiSO4.6H2O", "nickel", 22.33),
    ],
)
def test_mass_fractions(key, species, percent):
    """Worked out by hand from IUPAC's standard atomic weights."""
    assert 100.0 * SALTS[key].gives[species] == pytest.approx(percent, abs=0.01)


@pytest.fixture(scope="module")
def pitzer():
    return phreeqpython.PhreeqPython(database="pitzer.dat")


@pytest.mark.parametrize(
    ("key", "phase", "element", "g_mol", "tolerance"),
    [
        ("KCl", "Sylvite", "K", 74.55, 0.01),
        ("NaCl", "Halite", "Na", 58.44, 0.01),
        ("MgSO4.7H2O", "Epsomite", "Mg", 120.36, 0.015),
        ("CaSO4.2H2O", "Gypsum", "Ca", 136.14, 0.01),
        ("KHCO3", "Kalicinite", "K", 100.11, 0.02),
        ("NaHCO3", "Nahcolite", "Na", 84.01, 0.03),
        # the database is 8 % below the handbooks, so the range reaches down to it
        ("K2SO4", "Arcanite", "S", 174.25, 0.09),
    ],
)
def test_saturation_at_25_by_phreeqc(pitzer, key, phase, element, g_mol, tolerance):
    """Pitzer's equations in PHREEQC (pitzer.dat, USGS): independent of the handbooks' tables."""
    solution = pitzer.add_solution({"units": "mol/kgw", "temp": 25.0, "pH": 7.0})
    solution.equalize([phase], [0.0])
    # water of the crystals joins the kilogram that was there
    molal = solution.total_element(element, "mol") / solution.mass
    assert saturated_g_100g(key, 25.0) == pytest.approx(0.1 * molal * g_mol, rel=tolerance)


@pytest.mark.parametrize(("t", "g_100g"), [(10.0, 0.190), (20.0, 0.201), (30.0, 0.208)])
def test_gypsum_with_warmth(pitzer, t, g_100g):
    solution = pitzer.add_solution({"units": "mol/kgw", "temp": t, "pH": 7.0})
    solution.equalize(["Gypsum"], [0.0])
    assert 13.614 * solution.total_element("Ca", "mol") == pytest.approx(g_100g, abs=6e-4)
    assert saturated_g_100g("CaSO4.2H2O", t) == pytest.approx(g_100g, rel=0.02)


@pytest.mark.parametrize(
    ("key", "g_100g"),
    [
        # seen: a university's copy of a handbook's table
        ("CaCl2.2H2O", 74.5),
        ("CuSO4.5H2O", 20.5),
        # from memory: CRC Handbook and Perry's Handbook, at 20 °C
        ("KNO3", 31.6),
        ("KH2PO4", 22.6),
        ("K2SO4", 11.1),
        ("KCl", 34.2),
        ("MgSO4.7H2O", 33.7),
        ("Ca(NO3)2.4H2O", 129.0),
        ("KHCO3", 33.7),
        ("NaHCO3", 9.6),
        ("K2CO3", 111.0),
        ("(NH4)2SO4", 75.4),
        ("NH4NO3", 190.0),
        ("urea", 106.5),
        ("MnSO4.H2O", 63.0),
        ("ZnSO4.7H2O", 54.0),
        ("H3BO3", 4.85),
        ("Na2MoO4.2H2O", 65.0),
    ],
)
def test_handbook_solubilities_at_20(key, g_100g):
    assert saturated_g_100g(key, 20.0) == pytest.approx(g_100g, rel=0.012)
    seen = key in ("CaCl2.2H2O", "CuSO4.5H2O")
    assert (solubility_source(key).mark is Mark.CHECKED) == seen


@pytest.mark.parametrize(
    ("key", "mass_fraction", "density_g_l", "as_sold"),
    [
        # density of the saturated solution at 20 °C by Laliberté & Cooper 2004, J. Chem. Eng. Data
        # 49, 1141-1151, worked out with another program (thermo 0.6.1)
        ("KNO3", 0.2401, 1162.6, 1.0),
        ("KCl", 0.2548, 1173.0, 1.0),
        ("NaCl", 0.2642, 1200.1, 1.0),
        ("NaNO3", 0.4669, 1382.3, 1.0),
        ("KH2PO4", 0.1843, 1135.4, 1.0),
        ("K2SO4", 0.0999, 1081.0, 1.0),
        ("(NH4)2SO4", 0.4299, 1245.6, 1.0),
        ("NH4Cl", 0.2711, 1076.2, 1.0),
        ("MgSO4.7H2O", 0.2521, 1285.1, 2.0477),
        ("CaCl2.2H2O", 0.4269, 1423.7, 1.3247),
        ("Ca(NO3)2.4H2O", 0.5633, 1566.2, 1.4391),
        ("CuSO4.5H2O", 0.1701, 1194.3, 1.5643),
    ],
)
def test_grams_in_a_litre_of_solution(key, mass_fraction, density_g_l, as_sold):
    ours = solubility_g_l(key, 20.0).value
    assert ours == pytest.approx(mass_fraction * density_g_l * as_sold, rel=0.005)


def test_lime_in_water_and_in_air():
    """PHREEQC (phreeqc.dat): calcite alone in water, and with the air's CO2."""
    engine = phreeqpython.PhreeqPython(database="phreeqc.dat")
    held = solubility_g_l("CaCO3", 20.0)
    pure = engine.add_solution({"units": "mol/kgw", "temp": 20.0, "pH": 7.0})
    pure.equalize(["Calcite"], [0.0])
    airy = engine.add_solution({"units": "mol/kgw", "temp": 20.0, "pH": 7.0})
    airy.equalize(["Calcite", "CO2(g)"], [0.0, -3.37])
    alone, in_air = (100.09 * one.total_element("Ca", "mol") for one in (pure, airy))
    assert held.value == pytest.approx(alone, rel=0.12)
    assert held.low < alone < in_air < held.high
