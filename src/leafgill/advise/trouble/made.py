"""Clues and their figures from draws, from hours and from entries."""

from __future__ import annotations

import math
from collections.abc import Sequence

from scipy.special import ndtr

from leafgill.advise.drawn import figure
from leafgill.advise.figure import Figure, Input
from leafgill.advise.trouble.clue import Clue, part
from leafgill.science.cited import Range
from leafgill.science.compiled import FloatArray

BELIEF = "belief of the diary"
# Nine in ten of a normal lie within so many of its widths.
_REACH = 1.6449


def drawn_clue(
    key: str,
    says: str,
    ask: str,
    values: FloatArray,
    unit: str,
    label: str,
    bound: float,
    *,
    above: bool,
    formula: str,
    bound_from: str,
) -> Clue:
    """Return a clue that a quantity lies above (or below) a bound, by draws [m]."""
    holds = values > bound if above else values < bound
    shown = figure(
        f"clue_{key}", label, values, unit, formula,
        (Input("held against", bound, unit, bound_from),), BELIEF,
    )  # fmt: skip
    return Clue(key, says, part(holds), ask, (shown,))


def plain_clue(
    key: str,
    says: str,
    ask: str,
    holds: bool | None,
    label: str = "",
    value: float = 0.0,
    unit: str = "",
    inputs: Sequence[Input] = (),
    source: str = "diary",
    *,
    chance: float | None = None,
) -> Clue:
    """Return a clue the diary or the tank file tells plainly; None where it does not.

    `chance` replaces the 1 or 0 of a plain word where that is not so plain.
    """
    told = chance if chance is not None else None if holds is None else float(holds)
    if told is None or not label:
        return Clue(key, says, told, ask)
    shown = figure(f"clue_{key}", label, Range(value, value, value), unit,
                   "as it stands", tuple(inputs), source)  # fmt: skip
    return Clue(key, says, told, ask, (shown,))


def unknown(key: str, says: str, ask: str) -> Clue:
    """Return a clue of which the record does not tell."""
    return Clue(key, says, None, ask)


def over(shown: Figure, bound: float) -> float:
    """Return the chance that a figure with an interval above zero passes a bound.

    Its logarithm is taken as normal on each side of the middle. Raises ValueError without ends.
    """
    if shown.low is None or shown.high is None or shown.low <= 0.0:
        raise ValueError(f"{shown.key} has no interval above zero")
    end = shown.high if bound >= shown.value else shown.low
    spread = abs(math.log(end / shown.value)) / _REACH
    apart = math.log(shown.value / bound)
    return float(ndtr(apart / spread)) if spread > 0.0 else float(apart > 0.0)
