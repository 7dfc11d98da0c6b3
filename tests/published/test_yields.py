"""Gas from sugar, acid and bicarbonate: molar masses, yields and what they make of a bottle."""

import periodictable
import pytest

from leafgill.science import stoichiometry as st
from leafgill.science.constants import CO2_G_MOL
from leafgill.science.cylinder import gas_volume_l


@pytest.mark.parametrize(
    ("name", "g_mol"),
    [
        ("sucrose", 342.297),
        ("glucose", 180.156),
        ("citric acid", 192.123),
        ("citric acid monohydrate", 210.138),
        ("acetic acid", 60.052),
        ("sodium bicarbonate", 84.006),
        ("potassium bicarbonate", 100.114),
    ],
)
def test_molar_masses(name, g_mol):
    """periodictable 2.1.0, standard atomic weights."""
    assert st.molar_mass_g_mol(name) == pytest.approx(g_mol, abs=6e-4)


def test_our_constant_for_co2():
    assert pytest.approx(float(periodictable.formula("CO2").mass), rel=2e-5) == CO2_G_MOL


@pytest.mark.parametrize(
    ("reaction", "reagent", "g_per_g"),
    [
        ("glucose", "glucose", 0.4886),
        ("sucrose", "sucrose", 0.5143),
        ("citric-sodium", "citric acid", 0.687),
        ("citric-monohydrate-sodium", "citric acid monohydrate", 0.628),
        ("citric-sodium", "sodium bicarbonate", 0.5239),
        ("citric-potassium", "potassium bicarbonate", 0.4396),
        ("acetic-sodium", "acetic acid", 0.733),
    ],
)
def test_yields(reaction, reagent, g_per_g):
    """Worked out apart from our code with periodictable 2.1.0."""
    assert st.co2_g_per_g(reaction, reagent) == pytest.approx(g_per_g, abs=6e-4)


@pytest.mark.parametrize(
    ("reaction", "other", "reagent", "g_per_g"),
    [
        ("citric-sodium", "sodium bicarbonate", "citric acid", 1.312),
        ("citric-potassium", "potassium bicarbonate", "citric acid", 1.563),
        ("acetic-sodium", "sodium bicarbonate", "acetic acid", 1.399),
    ],
)
def test_how_much_of_the_other(reaction, other, reagent, g_per_g):
    assert st.needed_g_per_g(reaction, other, reagent) == pytest.approx(g_per_g, abs=6e-4)


def test_a_gram_of_dry_mix():
    """0.297 g of CO2 from 1 g of citric acid and sodium bicarbonate, mixed to come out even."""
    soda = st.needed_g_per_g("citric-sodium", "sodium bicarbonate", "citric acid")
    acid = 1.0 / (1.0 + soda)
    assert st.co2_g_per_g("citric-sodium", "citric acid") * acid == pytest.approx(0.297, abs=5e-4)


def test_litres():
    """At 20 °C and 1 atm: 280 mL from 1 g of sucrose, 37 L from 100 g of citric acid."""
    sucrose = st.co2_g_per_g("sucrose", "sucrose")
    assert gas_volume_l(sucrose * 1e-3, 20.0) == pytest.approx(0.280, abs=5e-4)
    acid = 100.0 * st.co2_g_per_g("citric-sodium", "citric acid")
    assert gas_volume_l(acid * 1e-3, 20.0) == pytest.approx(37.0, abs=0.5)
