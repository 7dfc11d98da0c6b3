"""How a figure from the literature is carried: its range, where it comes from, how far checked."""

from enum import Enum
from typing import NamedTuple

from leafgill.science.compiled import Same


class Mark(Enum):
    """How far a figure was compared with its source."""

    CHECKED = "compared with a copy of the source or of one that quotes it"
    MEMORY = "cited from memory, not checked against the source"
    PRACTICE = "common practice, no source"
    CHOICE = "a choice of ours, no source"


class Source(NamedTuple):
    """Who says so, and how far that was checked; `str` gives both."""

    text: str
    mark: Mark

    def __str__(self) -> str:
        return f"{self.text} ({self.mark.value})" if self.text else self.mark.value


class Range(NamedTuple):
    """A figure and the ends between which the truth lies nine times in ten.

    Floats, or arrays of one shape where a law was given arrays.
    """

    value: Same
    low: Same
    high: Same
