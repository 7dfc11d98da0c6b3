import re

import periodictable
import pytest

from leafgill.science import stoichiometry as st


def side_mass(side):
    """Mass [g/mol] of one side of a written equation."""
    total = 0.0
    for term in side.split(" + "):
        number, formula = re.fullmatch(r"(?:(\d+) )?(\S+)", term.strip()).groups()
        # a hydrate's dot joins whole formulas
        masses = (periodictable.formula(part).mass for part in formula.split("·"))
        total += int(number or 1) * sum(masses)
    return total


def moles_in(side):
    terms = (re.fullmatch(r"(?:(\d+) )?(\S+)", term) for term in side.split(" + "))
    return {match[2]: int(match[1] or 1) for match in terms}


@pytest.mark.parametrize("name", st.REACTIONS)
def test_the_equation_balances_and_says_what_is_counted(name):
    reaction = st.REACTIONS[name]
    before, after = reaction.equation.split(" = ")
    assert side_mass(before) == pytest.approx(side_mass(after), abs=0.01)
    assert moles_in(after)["CO2"] == reaction.co2
    counted = sum(n * st.molar_mass_g_mol(reagent) for reagent, n in reaction.reagents)
    assert counted == pytest.approx(side_mass(before), abs=1e-6)


def test_the_scarcer_reagent_ends_it():
    acid = st.co2_g("citric-sodium", {"citric acid": 10.0, "sodium bicarbonate": 1000.0})
    assert acid == pytest.approx(10.0 * st.co2_g_per_g("citric-sodium", "citric acid"))
    soda = st.co2_g("citric-sodium", {"citric acid": 1000.0, "sodium bicarbonate": 10.0})
    assert soda == pytest.approx(10.0 * st.co2_g_per_g("citric-sodium", "sodium bicarbonate"))
    assert st.co2_g("citric-sodium", {"citric acid": 0.0, "sodium bicarbonate": 10.0}) == 0.0
    needed = st.needed_g_per_g("citric-sodium", "sodium bicarbonate", "citric acid")
    both = st.co2_g("citric-sodium", {"citric acid": 10.0, "sodium bicarbonate": 10.0 * needed})
    assert both == pytest.approx(acid)


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (lambda: st.molar_mass_g_mol("salt"), 'a substance "salt"; accepted: CO2, sucrose'),
        (lambda: st.reaction_of("rust"), 'a reaction "rust"; accepted: sucrose, glucose'),
        (lambda: st.co2_g_per_g("sucrose", "citric acid"), "accepted: sucrose, water"),
        (lambda: st.co2_g("sucrose", {}), "at least one"),
        (lambda: st.co2_g("sucrose", {"sucrose": -1.0}), "sucrose of -1 g"),
    ],
)
def test_refused(call, said):
    with pytest.raises(ValueError, match=said):
        call()
