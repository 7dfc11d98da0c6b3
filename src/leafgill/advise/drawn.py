"""Draws of what is only known as a range, and figures made of draws."""

from __future__ import annotations

import math

import numpy as np
from scipy.special import ndtri

from leafgill.advise.figure import Figure, Input
from leafgill.estimate.belief import LEVEL
from leafgill.science.cited import Range
from leafgill.science.compiled import FloatArray

_ENDS = ((1.0 - LEVEL) / 2.0, (1.0 + LEVEL) / 2.0)
_REACH = float(ndtri(_ENDS[1]))


def drawn(known: Range, count: int, name: str) -> FloatArray:
    """Return draws [count] of a range: nine in ten lie in it, half on each side of its value.

    On the logarithm where all three are above zero. The same name gives the same draws, so that
    one quantity met twice is one; different names are independent.
    """
    seed = np.frombuffer(name.encode(), dtype=np.uint8)
    shuffled = np.random.default_rng(seed).permutation(count)
    scores = ndtri((shuffled + 0.5) / count)
    ends = np.array([known.low, known.value, known.high], dtype=np.float64)
    logarithmic = bool((ends > 0.0).all())
    low, middle, high = np.log(ends) if logarithmic else ends
    slope = np.where(scores < 0.0, middle - low, high - middle) / _REACH
    values: FloatArray = middle + slope * scores
    return np.exp(values) if logarithmic else values


def exactly(value: float) -> Range:
    """Return a range without width, for what was measured."""
    return Range(value, value, value)


def range_of(values: FloatArray) -> Range:
    """Return the median of draws [m] with the ends that hold nine in ten."""
    low, middle, high = np.quantile(values, [_ENDS[0], 0.5, _ENDS[1]])
    return Range(float(middle), float(low), float(high))


def figure(
    key: str,
    label: str,
    value: FloatArray | Range | float,
    unit: str,
    formula: str,
    inputs: tuple[Input, ...],
    source: str,
) -> Figure:
    """Return a figure of draws [m] (their median and 90 % interval), of a range, or of a number.

    Raises ValueError for a number or an end that is not one.
    """
    if isinstance(value, np.ndarray):
        value = range_of(value)
    known = value if isinstance(value, Range) else exactly(float(value))
    if not all(math.isfinite(part) for part in known):
        raise ValueError(f"{key} is no figure: {known}")
    sure = known.low == known.high
    return Figure(
        key=key,
        label=label,
        value=float(known.value),
        unit=unit,
        formula=formula,
        inputs=inputs,
        source=source,
        low=None if sure else float(known.low),
        high=None if sure else float(known.high),
    )


def given(name: str, known: Range | float, unit: str, origin: str) -> Input:
    """Return an input of a figure; a range is written out with its ends."""
    if not isinstance(known, Range):
        return Input(name, float(known), unit, origin)
    if known.low == known.high:
        return Input(name, float(known.value), unit, origin)
    return Input(name, f"{known.value:.3g} ({known.low:.3g} to {known.high:.3g})", unit, origin)
