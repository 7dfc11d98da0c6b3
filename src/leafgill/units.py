"""Units at the edge: what the keeper typed becomes a number in the unit used inside.

The units keepers use stand in a table here. Whatever else is a unit goes to pint, which is
imported only then, since it takes longer to load than a forecast takes to compute.
"""

from __future__ import annotations

import math
import re
from functools import cache
from numbers import Real
from typing import Any

from leafgill.errors import InputError, quoted
from leafgill.science.constants import DGH_MMOL_L, DKH_MEQ_L
from leafgill.unit_sorts import SORT_OF, Sort, plain, tidy

__all__ = ["DGH_MMOL_L", "DKH_MEQ_L", "number_in", "quantity", "shown_unit", "split", "units_for"]

_NUMBER = re.compile(
    r"(?P<number>[-+]?(?:\d+(?:[.,]\d+)*[.,]?|[.,]\d+)(?:e[-+]?\d+)?)"
    r"(?:\s+(?P<top>\d+)/(?P<bottom>[1-9]\d*)|/(?P<below>[1-9]\d*))?\s*(?P<unit>.*)",
    re.IGNORECASE,
)
_EITHER = re.compile(r"[-+]?[1-9]\d{0,2},\d{3}")
_POINT_LAST = re.compile(r"[-+]?\d{1,3}(?:,\d{3})+\.\d*|[-+]?\d{1,3}(?:,\d{3}){2,}")
_COMMA_LAST = re.compile(r"[-+]?(?:\d*|\d{1,3}(?:\.\d{3})+),\d*(?:e[-+]?\d+)?", re.IGNORECASE)
# Only plain words reach pint, whose own grammar could be made to compute for hours.
_WORDS = re.compile(r"[a-zµμ]+[23]?(?:\s*[/*· ]\s*[a-zµμ]+[23]?){0,3}", re.IGNORECASE)


def units_for(unit: str) -> tuple[str, ...]:
    """Return the units of the table that turn into `unit`, itself first."""
    sort = SORT_OF.get(unit)
    return (unit, *(u for u in sort.units if u != unit)) if sort else (unit,)


def split(text: str) -> tuple[float, str]:
    """Return the number and the unit in "40 gal"; the unit is "" when there is none.

    A decimal comma is one, and "15 3/4" is 15.75. Raises InputError, without a name before it,
    for text that has no number in front, and for "1,500", which may be either.
    """
    line = " ".join(tidy(text).split())
    found = _NUMBER.fullmatch(line)
    if not found:
        raise InputError(f"{quoted(line)} is not a number")
    number = _number(found["number"])
    if found["top"]:
        number += math.copysign(int(found["top"]) / int(found["bottom"]), number)
    elif found["below"]:
        number /= int(found["below"])
    return number, found["unit"].strip()


def _number(text: str) -> float:
    if _EITHER.fullmatch(text):
        as_thousands, as_decimal = text.replace(",", ""), float(text.replace(",", "."))
        raise InputError(f'"{text}" may be {as_thousands} or {as_decimal:g}; write either')
    if _POINT_LAST.fullmatch(text):
        text = text.replace(",", "")
    elif _COMMA_LAST.fullmatch(text):
        text = text.replace(".", "").replace(",", ".")
    try:
        return float(text)
    except ValueError:
        raise InputError(f"{quoted(text)} is not a number") from None


@cache
def _registry() -> Any:
    import pint

    return pint.UnitRegistry()


def _by_pint(number: float, given: str, sort: Sort, unit: str) -> float | None:
    """Return the number in `unit`, or None when pint knows no such unit of that sort."""
    if not sort.in_pint or not _WORDS.fullmatch(given):
        return None
    try:
        base = float(_registry().Quantity(number, given).to(sort.in_pint).magnitude)
    except Exception:  # pint raises many kinds, down to tokenizer errors, for words it cannot read
        return None
    if sort.shifts:
        return base - sort.shifts.get(unit, 0.0)
    return base / sort.units[unit][0]


def _converted(number: float, given: str, unit: str) -> float | None:
    """Return the number turned from one unit into another, or None when that makes no sense."""
    if plain(given) == plain(unit):
        return number
    sort = SORT_OF.get(unit)
    if sort is None:
        return None
    known = sort.spellings.get(plain(given))
    result = sort.convert(number, known, unit) if known else _by_pint(number, given, sort, unit)
    # 77 °F is 25 °C, not 25.000000000000057
    return None if result is None else float(f"{result:.12g}")


def example_of(unit: str) -> str:
    """Return text with another unit that turns into `unit`, as "40 gal" for L; "" for none."""
    sort = SORT_OF.get(unit)
    return sort.example if sort else ""


def shown_unit(unit: str) -> str:
    """Return a unit as people read it: °C for degC."""
    return {"degC": "°C", "degF": "°F"}.get(unit, unit)


def quantity(value: str | float, unit: str, *, what: str) -> float:
    """Return what was typed as a number in `unit` ("L", "degC", "dKH", "bar", ...).

    A bare number is taken to be in `unit` already; a string may carry another unit of the same
    sort ("40 gal", "77 °F", "71 ppm" of CaCO3 for a hardness) and a decimal comma. Gauge pressures
    stay gauge pressures. Raises InputError naming `what`, the value and the unit.
    """
    try:
        return number_in(value, unit)
    except InputError as wrong:
        example = f', or text with its unit, as "{example_of(unit)}"' if example_of(unit) else ""
        accepted = f"accepted: a number in {shown_unit(unit)}{example}"
        raise InputError(f"{what} = {wrong}; {accepted}") from None


def number_in(value: object, unit: str) -> float:
    """Return what `quantity` does; the InputError tells the value and the fault alone."""
    if isinstance(value, bool) or not isinstance(value, str | Real):
        raise InputError(f"{quoted(value)} is not a number")
    try:
        result = _of_text(value, unit) if isinstance(value, str) else float(value)
    except OverflowError:
        result = math.inf
    if not math.isfinite(result):
        raise InputError(f"{quoted(value)} is not a finite number")
    return result


def _of_text(text: str, unit: str) -> float:
    number, given = split(text)
    result = _converted(number, given, unit) if given else number
    if result is None:
        if not unit:
            raise InputError(f"{quoted(text)}: this number takes no unit")
        sort = SORT_OF.get(unit)
        measure = sort.name if sort else shown_unit(unit)
        raise InputError(f"{quoted(text)}: {quoted(given)} is not a unit of {measure}")
    return result
