"""What the rules go by, as plain data."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any

# What was worked out longer ago says nothing of now.
ANSWER_GOOD_FOR = timedelta(hours=1)


@dataclass(frozen=True, slots=True)
class Sends:
    """A sensor that sends by itself: when it sent last, and its usual gap [s]."""

    slug: str
    name: str
    last: datetime
    gap_s: float


@dataclass(frozen=True, slots=True)
class Facts:
    """What is known of a tank at `now`, aware and by its clock.

    `payload` is what was last worked out, {} where nothing was, `asked_for` the moment it is about
    and `error` why nothing newer was. `began` is since when the tank is here. `broker_away` is
    since when the broker its topics come from cannot be reached, None where it can.
    """

    now: datetime
    began: datetime
    payload: dict[str, Any] = field(default_factory=dict)
    asked_for: datetime | None = None
    error: str = ""
    sends: tuple[Sends, ...] = ()
    has_topics: bool = False
    broker_away: datetime | None = None
    broker_words: str = ""
    overdue: tuple[tuple[str, str], ...] = ()

    @property
    def fresh(self) -> bool:
        """Whether what was worked out may be held against now."""
        at = self.asked_for
        return bool(self.payload) and at is not None and abs(self.now - at) <= ANSWER_GOOD_FOR
