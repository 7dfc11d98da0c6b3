"""A bottle of fertiliser as one line of text: what it holds, by weight of salts or by its label.

    macro: 500 mL, KNO3 30 g, KH2PO4 4 g
    iron: iron 5 g/L, manganese 0.4 g/L

The first is a solution of salts in so much water; the second is what a label says of a bought one.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from leafgill.errors import InputError, quoted
from leafgill.units import number_in

# What a label may name: as a test kit names it, with other ways to write each.
LABELLED: dict[str, tuple[str, ...]] = {
    "nitrate": ("no3",),
    "phosphate": ("po4",),
    "nitrogen": ("n",),
    "phosphorus": ("p",),
    "potassium": ("k",),
    "calcium": ("ca",),
    "magnesium": ("mg",),
    "iron": ("fe",),
    "manganese": ("mn",),
    "zinc": ("zn",),
    "copper": ("cu",),
    "boron": ("b",),
    "molybdenum": ("mo",),
    "ammonium": ("nh4",),
}
_NAME_OF = {word: name for name, words in LABELLED.items() for word in (name, *words)}
_LONGEST_NAME = 40
_NUMBER = r"[\d.,]+(?:e[-+]?\d+)?"
_AMOUNT = rf"{_NUMBER}\s*(?:g\s*/\s*l|mg\s*/\s*ml|mg\s*/\s*l|%|mg|kg|g|oz|lb)"
_AMOUNT_LAST = re.compile(rf"(?P<what>.+?)\s*(?<![\w.,])(?P<amount>{_AMOUNT})", re.IGNORECASE)
_AMOUNT_FIRST = re.compile(rf"(?P<amount>{_AMOUNT})\s+(?P<what>.+)", re.IGNORECASE)
_MOST_SALT_G_L = 1200.0
_MOST_LABEL_G_L = 400.0
_VOLUME_ML = (1.0, 100_000.0)
EXAMPLE = "macro: 500 mL, KNO3 30 g, KH2PO4 4 g"


@dataclass(frozen=True, slots=True)
class Bottle:
    """A solution: `salts_g` in `volume_ml` of it by salt (science.salts), or `holds_g_l` by name.

    `volume_ml` is None for a bottle known by its label alone. `str` gives the line it is read from.
    """

    name: str
    volume_ml: float | None = None
    salts_g: tuple[tuple[str, float], ...] = ()
    holds_g_l: tuple[tuple[str, float], ...] = ()

    def __str__(self) -> str:
        parts = [] if self.volume_ml is None else [f"{self.volume_ml!r} mL"]
        parts += [f"{salt} {grams!r} g" for salt, grams in self.salts_g]
        parts += [f"{name} {grams!r} g/L" for name, grams in self.holds_g_l]
        return f"{self.name}: {', '.join(parts)}"

    def salts_g_l(self) -> dict[str, float]:
        """Return the grams of each salt in a litre of it."""
        if self.volume_ml is None:
            return {}
        return {salt: 1e3 * grams / self.volume_ml for salt, grams in self.salts_g}


def bottle_of(text: str) -> Bottle:
    """Return the bottle a line describes. Raises InputError telling what cannot be meant in it."""
    name, colon, rest = " ".join(text.split()).partition(":")
    name = name.strip()
    if not colon or not name or not name.isprintable() or len(name) > _LONGEST_NAME:
        raise InputError(f'{quoted(text)} has no name before a colon; write "{EXAMPLE}"')
    volume: float | None = None
    salts: dict[str, float] = {}
    holds: dict[str, float] = {}
    for part in _parts(rest):
        if (given := _volume_ml(part)) is not None:
            volume = given
            continue
        what, amount = _split(part)
        if amount.endswith("/l") or amount.endswith("/ml") or amount.endswith("%"):
            holds[_labelled(what, part)] = _grams_per_l(amount, part)
        else:
            salts[_salt(what)] = number_in(amount, "g")
    _together(name, volume, salts, holds)
    return Bottle(name, volume, tuple(salts.items()), tuple(holds.items()))


def _parts(rest: str) -> Iterator[str]:
    # a comma before three digits would be a decimal comma's; parts are parted by ", " or "+"
    for part in re.split(r",\s+|\+|(?<=[a-zA-Z]),", rest):
        if part.strip():
            yield part.strip()


def _volume_ml(part: str) -> float | None:
    if not re.fullmatch(r"[\d.,]+\s*(?:ml|l|gal|fl\s?oz)", part, re.IGNORECASE):
        return None
    volume = number_in(part, "mL")
    low, high = _VOLUME_ML
    if not low <= volume <= high:
        raise InputError(f"{quoted(part)} is not accepted; accepted: {low:g} to {high:g} mL")
    return volume


def _split(part: str) -> tuple[str, str]:
    found = _AMOUNT_LAST.fullmatch(part) or _AMOUNT_FIRST.fullmatch(part)
    if not found:
        raise InputError(
            f'{quoted(part)} is not an amount of something; write "KNO3 30 g", or of a label '
            '"iron 5 g/L"'
        )
    return found["what"].strip(), re.sub(r"\s+", "", found["amount"]).lower()


def _labelled(what: str, part: str) -> str:
    name = _NAME_OF.get(what.lower())
    if name is None:
        raise InputError(
            f"{quoted(part)}: a label names one of {', '.join(LABELLED)}; salts go by weight, "
            'as "KNO3 30 g"'
        )
    return name


def _grams_per_l(amount: str, part: str) -> float:
    number = re.match(_NUMBER, amount)
    assert number is not None
    # a label's per cent is of weight, and a litre of solution weighs about a kilogram
    factor = 10.0 if amount.endswith("%") else 1e-3 if amount.endswith("mg/l") else 1.0
    grams = number_in(number[0], "") * factor
    if not 0.0 < grams <= _MOST_LABEL_G_L:
        raise InputError(
            f"{quoted(part)} is not accepted; accepted: above 0 to {_MOST_LABEL_G_L:g} g/L"
        )
    return grams if factor == 1.0 else float(f"{grams:.12g}")


def _salt(what: str) -> str:
    """Return a salt's key. The table is loaded only where salts are named: it takes long."""
    from leafgill.science.salts import salt_of

    try:
        return salt_of(what).key
    except ValueError as wrong:
        raise InputError(str(wrong)) from None


def _together(
    name: str, volume: float | None, salts: dict[str, float], holds: dict[str, float]
) -> None:
    if not salts and not holds:
        raise InputError(f'bottle "{name}" holds nothing; write "{EXAMPLE}"')
    if salts and volume is None:
        raise InputError(f'bottle "{name}": in how much water? write "{EXAMPLE}"')
    for salt, grams in salts.items():
        assert volume is not None
        if not 0.0 < grams <= _MOST_SALT_G_L * volume * 1e-3:
            raise InputError(
                f'bottle "{name}": {grams:g} g of {salt} in {volume:g} mL is not accepted; '
                f"accepted: above 0 to {_MOST_SALT_G_L:g} g/L"
            )
