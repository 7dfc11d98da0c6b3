"""How a keeper writes numbers: which units a bare number is in, and which sign is the decimal."""

from __future__ import annotations

import re
from dataclasses import dataclass

from leafgill.errors import InputError
from leafgill.units import number_in, shown_unit, split

METRIC, US = "metric", "us"
# What a keeper who measures in American units means by a bare number.
_US_UNIT = {
    "cm": "in",
    "m": "ft",
    "L": "gal",
    "mL": "mL",
    "degC": "degF",
    "kg": "lb",
    "g": "oz",
    "bar": "psi",
    "L/h": "gal/h",
    "m³": "ft³",
}
_COMMA_EITHER = re.compile(r"([-+]?\d{1,3}),(\d{3})(?![\d,.])")
_POINT = re.compile(r"(?<=\d)\.(?=\d)")


@dataclass(frozen=True, slots=True)
class Habits:
    """A keeper's units ("metric" or "us") and decimal sign ("." or ",")."""

    units: str = METRIC
    decimal: str = "."

    def unit(self, unit: str) -> str:
        """Return the unit in which the keeper means a bare number of `unit`."""
        return _US_UNIT.get(unit, unit) if self.units == US else unit

    def shown_unit(self, unit: str) -> str:
        """Return that unit as people read it."""
        return shown_unit(self.unit(unit))

    def number(self, value: float, unit: str = "") -> str:
        """Return a number of `unit` as the keeper would type it, in the keeper's own unit.

        Six figures are kept; a form compares with this text before it takes a value as changed.
        """
        mine = self.unit(unit)
        if mine != unit:
            value = number_in(f"{value!r} {unit}", mine)
        return self._written(value, 6)

    def words(self, value: float, unit: str = "") -> str:
        """Return a number of `unit` to be read, in the keeper's own unit, to four figures."""
        mine = self.unit(unit)
        if mine != unit:
            value = number_in(f"{value!r} {unit}", mine)
        return self._written(value, 4)

    def _written(self, value: float, figures: int) -> str:
        text = f"{value:.{figures}g}"
        if "e" in text:
            text = f"{value:.10f}".rstrip("0").rstrip(".")
        return text.replace(".", ",") if self.decimal == "," else text

    def text(self, text: str) -> str:
        """Return text with the decimal sign of its numbers as the keeper writes it."""
        return _POINT.sub(",", text) if self.decimal == "," else text

    def typed(self, text: str, unit: str = "") -> float | str:
        """Return what was typed so that `units.number_in` and its callers read it as it was meant.

        A bare number comes back as a number in `unit`, or as text with the keeper's unit where
        that is another; what is no number, and what carries its own unit, comes back as text.
        """
        text = self.pointed(text)
        try:
            number, given = split(text)
        except InputError:
            return text
        if given:
            return text
        mine = self.unit(unit)
        if mine != unit:
            return f"{number:.12g} {mine}"
        # messages quote it, and nobody types 4.0
        return int(number) if number.is_integer() and abs(number) < 1e15 else number

    def pointed(self, text: str) -> str:
        """Return typed text without the doubt of what its comma means.

        "1,500" may be a thousand and a half; to a keeper whose decimal sign is the comma it is one
        and a half.
        """
        text = text.strip()
        return _COMMA_EITHER.sub(r"\1.\2", text) if self.decimal == "," else text
