"""Figures that open: as text with their interval, and as JSON with all that went into them."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Any

from leafgill.advise.figure import Figure, Input

_DIGITS = 3


def amount(value: float, digits: int = _DIGITS) -> str:
    """Return a number to three digits, never with an exponent: "0.0146", "24.1", "40300"."""
    if not math.isfinite(value):
        return "not known"
    if value == 0.0:
        return "0"
    places = digits - 1 - math.floor(math.log10(abs(value)))
    text = f"{round(value, places):.{max(places, 0)}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def shown(figure: Figure, digits: int = 2) -> str:
    """Return a figure as it is read: "21 g a day, 8.1 to 52", "0.62 kg" where all is certain."""
    text = f"{amount(figure.value, digits)} {figure.unit}".rstrip()
    ends = ends_of(figure, digits)
    return f"{text}, {ends}" if ends else text


def within(figure: Figure, digits: int = 2) -> str:
    """Return a figure as it stands inside a sentence: "21 g a day (8.1 to 52)"."""
    text = f"{amount(figure.value, digits)} {figure.unit}".rstrip()
    ends = ends_of(figure, digits)
    return f"{text} ({ends})" if ends else text


def bare(figure: Figure | None, digits: int = 2) -> str:
    """Return a figure without its unit, for a column that has it: "21, 8.1 to 52"; "-" for none."""
    if figure is None:
        return "-"
    ends = ends_of(figure, digits)
    text = amount(figure.value, digits)
    return f"{text}, {ends}" if ends else text


def ends_of(figure: Figure, digits: int = 2, scale: float = 1.0) -> str:
    """Return the ends of a figure's interval: "8.1 to 52"; "" where there is none to be seen."""
    if figure.low is None or figure.high is None:
        return ""
    low, high = amount(scale * figure.low, digits), amount(scale * figure.high, digits)
    return "" if low == high else f"{low} to {high}"


def put_in(given: Input) -> str:
    """Return one thing that went into a figure: "volume 151 L (tank file)"."""
    value = given.value if isinstance(given.value, str) else amount(given.value, 4)
    return f"{given.name} {f'{value} {given.unit}'.rstrip()} ({given.origin})"


def figure_json(figure: Figure) -> dict[str, Any]:
    """Return a figure as JSON has it; `low` and `high` are null where nothing is uncertain."""
    return {
        "label": figure.label,
        "value": figure.value,
        "low": figure.low,
        "high": figure.high,
        "unit": figure.unit,
        "formula": figure.formula,
        "inputs": [
            {"name": g.name, "value": g.value, "unit": g.unit, "from": g.origin}
            for g in figure.inputs
        ],
        "source": figure.source,
    }


def figure_ref(figure: Figure) -> dict[str, Any]:
    """Return a figure's value and ends beside its key, under which `figures_json` opens it."""
    return {"value": figure.value, "low": figure.low, "high": figure.high, "figure": figure.key}


def figures_json(figures: Iterable[Figure]) -> dict[str, Any]:
    """Return figures by their keys. Raises ValueError for two different ones of one key."""
    found: dict[str, Any] = {}
    for figure in figures:
        told = figure_json(figure)
        if found.setdefault(figure.key, told) != told:
            raise ValueError(f"two figures are called {figure.key}")
    return found
