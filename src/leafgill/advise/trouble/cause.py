"""A cause of trouble, and how clues speak for or against it."""

from __future__ import annotations

from typing import NamedTuple

PRACTICE = "common practice, no source"
# How much more often a clue is met with a cause than without: when it holds, when it does not
# (choices of ours on common practice, no source; physics where the cause is the clue itself).
IS_IT = (12.0, 0.06)
STRONG = (6.0, 0.20)
FAIR = (3.0, 0.50)
WEAK = (1.7, 0.75)
AGAINST = (0.35, 1.5)


class Link(NamedTuple):
    """A clue that bears on a cause: its factor when it holds, and when it does not."""

    clue: str
    holds: float
    fails: float

    @property
    def is_it(self) -> bool:
        """Whether the clue is the cause itself, and no hint at it."""
        return (self.holds, self.fails) == IS_IT


class Cause(NamedTuple):
    """One cause: its name, how it does the harm, the check that separates it, what then helps.

    `source` says where the connection is from.
    """

    key: str
    name: str
    why: str
    check: str
    do: str
    links: tuple[Link, ...] = ()
    source: str = PRACTICE


def link(clue: str, strength: tuple[float, float]) -> Link:
    """Return a clue with one of the strengths above."""
    return Link(clue, *strength)
