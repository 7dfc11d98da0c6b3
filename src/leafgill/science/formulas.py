"""Molar masses of written formulas, from periodictable's standard atomic weights."""

import re
from functools import cache


@cache
def formula_mass_g_mol(formula: str) -> float:
    """Molar mass [g/mol] of a formula; the parts of a hydrate are joined by a dot.

    The parts are read one by one, since a formula reader takes the dot of "SO4.7H2O" for a decimal
    point. Raises ValueError for what is no formula.
    """
    # imported here: most commands never weigh a molecule
    import periodictable

    total = 0.0
    for part in re.split(r"[.·]", formula):
        match = re.fullmatch(r"(\d*)([A-Z(].*)", part)
        try:
            mass = float(periodictable.formula(match[2]).mass) if match else 0.0
        except (ValueError, KeyError):
            mass = 0.0
        if match is None or not mass > 0.0:
            raise ValueError(f'a formula "{formula}"; accepted: like KNO3 or MgSO4.7H2O')
        total += int(match[1] or 1) * mass
    return total


def anhydrous(formula: str) -> str:
    """Return the formula without its crystal water, which is written after the dot."""
    return re.split(r"[.·]", formula)[0]
