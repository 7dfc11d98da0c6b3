"""A figure that opens: its value with interval, its formula, what went in and on what grounds."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from leafgill.estimate.belief import Interval

Value = float | str


class Input(NamedTuple):
    """One thing that went into a figure: its name, value and unit, and where it came from.

    `origin` is one short phrase: "tank file", "diary, 3 March", "prior", or a publication.
    """

    name: str
    value: Value
    unit: str
    origin: str


@dataclass(frozen=True, slots=True)
class Figure:
    """One number shown to the keeper, with all that is needed to work it out again.

    `key` names it in JSON and ends with its unit (`gas_g_per_day`), `label` in plain words;
    `low` and `high` hold the truth nine times in ten and are None where nothing is uncertain.
    `formula` is how it was worked out, `source` the publication or "common practice, no source".
    """

    key: str
    label: str
    value: float
    unit: str
    formula: str
    inputs: tuple[Input, ...]
    source: str
    low: float | None = None
    high: float | None = None

    @property
    def interval(self) -> Interval | None:
        """Value and both ends, None where nothing is uncertain."""
        if self.low is None or self.high is None:
            return None
        return Interval(self.value, self.low, self.high)
