"""How much carbon dioxide a reaction can give, counted in moles; molar masses by periodictable."""

from functools import cache
from typing import NamedTuple

from leafgill.science.refuse import not_negative


class Reaction(NamedTuple):
    """What reacts, moles of each, and moles of CO2 it gives."""

    reagents: tuple[tuple[str, float], ...]
    co2: float
    equation: str


CO2 = "CO2"
FORMULAS = {
    CO2: "CO2",
    "sucrose": "C12H22O11",
    "glucose": "C6H12O6",
    "ethanol": "C2H5OH",
    "water": "H2O",
    "citric acid": "C6H8O7",
    "citric acid monohydrate": "C6H10O8",
    "acetic acid": "CH3COOH",
    "sodium bicarbonate": "NaHCO3",
    "potassium bicarbonate": "KHCO3",
}

REACTIONS: dict[str, Reaction] = {
    "sucrose": Reaction(
        (("sucrose", 1.0), ("water", 1.0)), 4.0, "C12H22O11 + H2O = 4 C2H5OH + 4 CO2"
    ),
    "glucose": Reaction((("glucose", 1.0),), 2.0, "C6H12O6 = 2 C2H5OH + 2 CO2"),
    "citric-sodium": Reaction(
        (("citric acid", 1.0), ("sodium bicarbonate", 3.0)),
        3.0,
        "C6H8O7 + 3 NaHCO3 = Na3C6H5O7 + 3 H2O + 3 CO2",
    ),
    "citric-monohydrate-sodium": Reaction(
        (("citric acid monohydrate", 1.0), ("sodium bicarbonate", 3.0)),
        3.0,
        "C6H8O7·H2O + 3 NaHCO3 = Na3C6H5O7 + 4 H2O + 3 CO2",
    ),
    "citric-potassium": Reaction(
        (("citric acid", 1.0), ("potassium bicarbonate", 3.0)),
        3.0,
        "C6H8O7 + 3 KHCO3 = K3C6H5O7 + 3 H2O + 3 CO2",
    ),
    "acetic-sodium": Reaction(
        (("acetic acid", 1.0), ("sodium bicarbonate", 1.0)),
        1.0,
        "CH3COOH + NaHCO3 = CH3COONa + H2O + CO2",
    ),
}


@cache
def molar_mass_g_mol(name: str) -> float:
    """Molar mass [g/mol] of a substance of FORMULAS, from standard atomic weights.

    Raises ValueError for another name.
    """
    if name not in FORMULAS:
        raise ValueError(f'a substance "{name}"; accepted: {", ".join(FORMULAS)}')
    import periodictable

    return float(periodictable.formula(FORMULAS[name]).mass)


def reaction_of(name: str) -> Reaction:
    """Return a reaction of REACTIONS. Raises ValueError naming those there are."""
    if name not in REACTIONS:
        raise ValueError(f'a reaction "{name}"; accepted: {", ".join(REACTIONS)}')
    return REACTIONS[name]


def co2_g_per_g(reaction: str, reagent: str) -> float:
    """CO2 [g] that 1 g of `reagent` gives where everything else is there in plenty.

    Raises ValueError for a reaction that is not in REACTIONS or a reagent that is not in it.
    """
    moles = _moles(reaction, reagent)
    given = reaction_of(reaction).co2 * molar_mass_g_mol(CO2)
    return given / (moles * molar_mass_g_mol(reagent))


def needed_g_per_g(reaction: str, other: str, reagent: str) -> float:
    """Mass [g] of `other` that 1 g of `reagent` uses up. Raises as `co2_g_per_g` does."""
    other_g = _moles(reaction, other) * molar_mass_g_mol(other)
    return other_g / (_moles(reaction, reagent) * molar_mass_g_mol(reagent))


def _moles(reaction: str, reagent: str) -> float:
    moles = dict(reaction_of(reaction).reagents)
    if reagent not in moles:
        raise ValueError(f'a reagent "{reagent}" of {reaction}; accepted: {", ".join(moles)}')
    return moles[reagent]


def co2_g(reaction: str, masses_g: dict[str, float]) -> float:
    """CO2 [g] from these masses [g]: what is used up first ends it.

    A reagent that is not named is there in plenty. Raises ValueError for no mass at all, a negative
    one, and as `co2_g_per_g` does.
    """
    if not masses_g:
        raise ValueError("no masses; accepted: at least one reagent's")
    for reagent, mass in masses_g.items():
        not_negative(reagent, "g", mass)
    return min(co2_g_per_g(reaction, reagent) * mass for reagent, mass in masses_g.items())
