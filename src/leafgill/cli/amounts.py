"""Amounts given as options: a number, or text with its unit, held to what can be."""

from __future__ import annotations

from leafgill.errors import InputError
from leafgill.units import quantity, shown_unit


def parse_amount(what: str, text: str | None, unit: str, low: float, high: float) -> float | None:
    """Return an option's amount in `unit`, None where it was not given.

    Raises InputError naming the option, the value, and what is accepted.
    """
    if text is None:
        return None
    value = quantity(text, unit, what=what)
    if not low <= value <= high:
        shown = f" {shown_unit(unit)}" if unit else ""
        raise InputError(
            f"{what} = {value:g}{shown} cannot be; accepted: {low:g} to {high:g}{shown}"
        )
    return value


def parse_part(what: str, text: str | None) -> float | None:
    """Return an option's per cent as a part of 1, None where it was not given.

    Raises InputError as `parse_amount` does.
    """
    percent = parse_amount(what, text, "%", 0.0, 100.0)
    return None if percent is None else percent / 100.0
