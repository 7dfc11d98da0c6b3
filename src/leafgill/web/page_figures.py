"""Figures of an answer as a page writes them, from plain data."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from leafgill.advise.words import minutes_text
from leafgill.answer import figures
from leafgill.estimate.belief import Interval


def as_interval(told: Any) -> Interval:
    """Return a belief that stands as plain data ({"mean", "low", "high"}), or as it is."""
    if isinstance(told, Mapping):
        return Interval(float(told["mean"]), float(told["low"]), float(told["high"]))
    return Interval(float(told.mean), float(told.low), float(told.high))


def interval_of(told: Any, unit: str = "mg/L") -> str:
    """Return a belief with its unit and ends: "24 mg/L, 20 to 28"."""
    return figures.interval(as_interval(told), unit)


def ends_of(told: Any) -> str:
    """Return the ends alone: "20 to 28"."""
    belief = as_interval(told)
    return f"{figures.level(belief.low)} to {figures.level(belief.high)}"


def level_of(value: float) -> str:
    """Return mg/L as people say it."""
    return figures.level(float(value))


def minutes_of(told: Any, most: float = 700.0) -> str:
    """Return minutes with their ends: "40 min, 25 min to 1 h"; "at once" where it is nothing."""
    minutes = as_interval(told)
    if minutes.high < 1.0:
        return "at once"
    if minutes.mean >= most:
        return "more than 12 h"
    ends = f"{minutes_text(minutes.low)} to {minutes_text(minutes.high)}"
    return f"{minutes_text(minutes.mean)}, {ends}"
