"""Something that is not well, as a rule finds it, and what a round of rules found."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from typing import NamedTuple

from leafgill.answer.alerts import NOW, URGENCIES


@dataclass(frozen=True, slots=True)
class Condition:
    """One thing that is not well; times are aware.

    `kinds` are all that it may be, its own `key` first; two that share one are the same thing.
    `sure` is None where nothing is reckoned; `at` is the moment it is known to hold of, None for
    the moment of the round.
    """

    key: str
    urgency: str
    title: str
    since: datetime
    seen: str = ""
    check: str = ""
    sure: float | None = None
    kinds: tuple[str, ...] = ()
    at: datetime | None = None

    @property
    def all_kinds(self) -> tuple[str, ...]:
        """All that it may be, its key first."""
        return self.kinds or (self.key,)

    @property
    def danger(self) -> bool:
        """Whether animals may be in danger."""
        return self.urgency == NOW


class Found(NamedTuple):
    """What one rule found: what holds, and the families of keys of which it could judge.

    A family is the part of a key before ":", or the key itself. What belongs to none of them is
    neither held nor over: nobody could tell.
    """

    held: tuple[Condition, ...] = ()
    judged: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Round:
    """What all rules found of a tank at one moment."""

    held: tuple[Condition, ...] = ()
    judged: frozenset[str] = field(default_factory=frozenset)


def family(key: str) -> str:
    """Return the family of a key."""
    return key.partition(":")[0]


def gathered(found: list[Found]) -> Round:
    """Return what rules found together, danger first, each thing once."""
    held: list[Condition] = []
    every = sorted(
        (one for part in found for one in part.held),
        key=lambda one: (URGENCIES.index(one.urgency), -(one.sure or 0.0)),
    )
    for one in every:
        if not any(set(one.all_kinds) & set(other.all_kinds) for other in held):
            held.append(one)
    judged = frozenset(name for part in found for name in part.judged)
    return Round(tuple(held), judged)
