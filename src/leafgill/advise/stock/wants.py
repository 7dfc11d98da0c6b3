"""What a dose is to bring: so much of a nutrient, by a salt."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from leafgill.errors import InputError, quoted
from leafgill.science.salts import salt_of
from leafgill.tank.bottle import LABELLED
from leafgill.units import number_in

_NAME_OF = {word: name for name, words in LABELLED.items() for word in (name, *words)}
_WANT = re.compile(
    r"(?P<what>[A-Za-z0-9]+)\s+(?P<amount>[\d.,]+)(?P<unit>\s*(?:mg/l|µg/l|ug/l|ppm))?"
    r"(?:\s+(?:by|from|with|as)?\s*(?P<salt>\S.*))?",
    re.IGNORECASE,
)
EXAMPLE = "nitrate 5 KNO3"
# A dose that raises a nutrient by more than this is a slip of the decimal sign [mg/L].
MOST_MG_L = 100.0
# Where the keeper names no salt and keeps none that gives it: what is easily had, dissolves at
# once, and brings the fewest other things; common practice, no source.
USUAL_SALT = {
    "nitrate": "KNO3",
    "nitrogen": "KNO3",
    "phosphate": "KH2PO4",
    "phosphorus": "KH2PO4",
    "potassium": "K2SO4",
    "calcium": "CaCl2.2H2O",
    "magnesium": "MgSO4.7H2O",
    "iron": "Fe-DTPA",
    "manganese": "MnSO4.H2O",
    "zinc": "ZnSO4.7H2O",
    "copper": "CuSO4.5H2O",
    "boron": "H3BO3",
    "molybdenum": "Na2MoO4.2H2O",
    "ammonium": "(NH4)2SO4",
}


@dataclass(frozen=True, slots=True)
class Want:
    """One dose raises `nutrient` by `raise_mg_l`, by the salt of this key."""

    nutrient: str
    raise_mg_l: float
    salt: str


def want_of(text: str, kept: Iterable[str] = ()) -> Want:
    """Return what a line like "nitrate 5 KNO3" wants; `kept` are the salts at home, by key.

    Without a salt the first of those that gives it is taken, else the usual one. Raises
    InputError telling what cannot be meant.
    """
    found = _WANT.fullmatch(" ".join(text.split()))
    if not found:
        raise InputError(f'{quoted(text)} is not a wish; write "{EXAMPLE}"')
    nutrient = _NAME_OF.get(found["what"].lower())
    if nutrient is None:
        raise InputError(f"{quoted(text)}: a wish is for one of {', '.join(LABELLED)}")
    amount = number_in(f"{found['amount']}{found['unit'] or ''}", "mg/L")
    if not 0.0 < amount <= MOST_MG_L:
        raise InputError(f"{quoted(text)} is not accepted; accepted: above 0 to {MOST_MG_L:g} mg/L")
    return Want(nutrient, amount, _salt(nutrient, found["salt"], kept))


def usual_salt(nutrient: str, kept: Iterable[str] = ()) -> str:
    """Return the salt to take for a nutrient: the first kept at home that gives it, else usual."""
    ours = (key for key in kept if nutrient in salt_of(key).gives)
    return next(ours, USUAL_SALT[nutrient])


def _salt(nutrient: str, named: str | None, kept: Iterable[str]) -> str:
    if named is None:
        return usual_salt(nutrient, kept)
    try:
        salt = salt_of(named)
    except ValueError as wrong:
        raise InputError(str(wrong)) from None
    if nutrient not in salt.gives:
        gives = ", ".join(salt.gives)
        raise InputError(f"{salt.key} gives no {nutrient}; it gives {gives}")
    return salt.key
