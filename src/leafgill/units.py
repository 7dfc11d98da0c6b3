"""Units at the edge: what the keeper typed becomes a number in the unit used inside.

pint does the ordinary physics; it is imported only when a string with another unit than the
wanted one has to be converted, since it takes longer to load than a forecast takes to compute.
"""

import math
import re
from functools import cache
from typing import Any

from leafgill.errors import InputError
from leafgill.science.constants import DGH_MMOL_L, DKH_MEQ_L

__all__ = ["DGH_MMOL_L", "DKH_MEQ_L", "quantity"]

_NUMBER = re.compile(r"\s*([-+]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][-+]?\d+)?)\s*(.*?)\s*", re.S)
# Hardness degrees per unit named; mg/L and ppm are meant as CaCO3, as test kits mean them.
_CACO3_MG_L_PER_DEGREE = 17.848
_HARDNESS = {
    "dkh": 1.0,
    "dgh": 1.0,
    "°dh": 1.0,
    "dh": 1.0,
    "°": 1.0,
    "ppm": 1.0 / _CACO3_MG_L_PER_DEGREE,
    "mg/l": 1.0 / _CACO3_MG_L_PER_DEGREE,
    "mg/l caco3": 1.0 / _CACO3_MG_L_PER_DEGREE,
    "ppm caco3": 1.0 / _CACO3_MG_L_PER_DEGREE,
}
# A degree of hardness is 10 mg/L of CaO: 0.35665 meq/L, which for KH is alkalinity.
_HARDNESS_MEQ = {"meq/l": 1.0 / DKH_MEQ_L, "mmol/l": 2.0 / DKH_MEQ_L}
_ALKALINITY_MMOL = {"meq/l": 1.0 / DKH_MEQ_L, "mmol/l": 1.0 / DKH_MEQ_L}
# What people write, in the words pint knows.
_SPELLINGS = {
    "°f": "degF",
    "f": "degF",
    "fahrenheit": "degF",
    "°c": "degC",
    "c": "degC",
    "celsius": "degC",
    "k": "kelvin",
    "gal": "gallon",
    "gallons": "gallon",
    "us gal": "gallon",
    "imp gal": "imperial_gallon",
    "uk gal": "imperial_gallon",
    "l": "liter",
    "litre": "liter",
    "litres": "liter",
    "liters": "liter",
    "ml": "milliliter",
    "lb": "pound",
    "lbs": "pound",
    '"': "inch",
    "in": "inch",
    "ft": "foot",
    "kpa": "kilopascal",
    "hpa": "hectopascal",
    "mbar": "millibar",
    "psig": "psi",
    "barg": "bar",
    "g": "gram",
    "kg": "kilogram",
    "oz": "ounce",
}
_WANTED = {"L": "liter", "g": "gram", "kg": "kilogram"}


@cache
def _registry() -> Any:
    import pint

    return pint.UnitRegistry()


def _of_hardness(number: float, given: str, unit: str) -> float | None:
    factors = _HARDNESS | (_ALKALINITY_MMOL if unit == "dKH" else _HARDNESS_MEQ)
    factor = factors.get(given)
    return None if factor is None else number * factor


def _converted(number: float, given: str, unit: str) -> float | None:
    """Return `number` in `unit`, or None when `given` is no unit of that sort."""
    if unit in ("dKH", "dGH"):
        return _of_hardness(number, given.lower(), unit)
    if not given.isprintable():
        return None
    try:
        registry = _registry()
        source = registry.Quantity(number, _SPELLINGS.get(given.lower(), given))
        return float(source.to(_WANTED.get(unit, unit)).magnitude)
    except Exception:  # pint raises many kinds, down to tokenizer errors, for words it cannot read
        return None


def quantity(value: str | float, unit: str, *, what: str) -> float:
    """Return what was typed as a number in `unit` ("L", "degC", "dKH", "bar", ...).

    A bare number is taken to be in `unit` already; a string may carry another unit of the same
    sort ("40 gal", "77 °F", "71 ppm" of CaCO3 for a hardness) and a decimal comma. Raises
    InputError naming `what`, the value and the unit.
    """
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        raise InputError(f"{what} = {value!r} is not a number in {unit}")
    if not isinstance(value, str):
        number, given = float(value), ""
    else:
        match = _NUMBER.fullmatch(value)
        if match is None:
            raise InputError(f'{what} = "{value}" is not a number with a unit such as {unit}')
        number, given = float(match[1].replace(",", ".")), match[2]
    result: float | None = number
    if given and given.lower() != unit.lower():
        result = _converted(number, given, unit)
    if result is None:
        raise InputError(f'{what} = "{value}": unit "{given}" cannot be turned into {unit}')
    if not math.isfinite(result):
        raise InputError(f"{what} = {value} is not a finite number")
    return result
