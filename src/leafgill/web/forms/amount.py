"""One amount typed into a form: what it means, or the words beside its field."""

from __future__ import annotations

import math

from leafgill.errors import InputError
from leafgill.units import number_in
from leafgill.web.forms.habits import Habits


def read_amount(
    name: str,
    text: str,
    unit: str,
    ends: tuple[float, float],
    habits: Habits,
    errors: dict[str, str],
) -> float | None:
    """Return a number in `unit`; None where it is refused, with the words put into `errors`."""
    if not text:
        errors[name] = "Give a number."
        return None
    try:
        value = number_in(habits.typed(text, unit), unit)
    except InputError as wrong:
        errors[name] = habits.text(wrong.message)
        return None
    low, high = ends
    if not (math.isfinite(value) and low <= value <= high):
        first, last = (habits.words(end, unit) for end in ends)
        errors[name] = f"Accepted: {first} to {last} {habits.shown_unit(unit)}".rstrip()
        return None
    return value
