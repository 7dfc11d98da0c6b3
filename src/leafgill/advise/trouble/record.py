"""What clues are worked out from: a tank's record, its light and its nights, at one moment."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cached_property
from zoneinfo import ZoneInfo

import numpy as np

from leafgill.advise.balance.result import Balance
from leafgill.diary import Diary, Entry, Kind
from leafgill.estimate.belief import Belief
from leafgill.science.compiled import FloatArray
from leafgill.tank.limits import Limits, limits_of
from leafgill.tank.schedule import Window, on_spans, window_in_force
from leafgill.tank.spec import Tank

# So far back a habit of the tank is looked at.
WEEK_DAYS = 7
_GRID_S = 1800.0
# Lights on within this are one with the gas: CO2 still rises [h].
RISEN_H = 2.0
NIGHT_H = 8.0

Span = tuple[float, float]


@dataclass(frozen=True)
class Record:
    """A tank with its localised diary up to `now`, what is believed, and its limits."""

    tank: Tank
    diary: Diary
    belief: Belief
    now: datetime
    limits: Limits
    balance: Balance | None = None

    @property
    def now_s(self) -> float:
        """Now as epoch seconds."""
        return self.now.timestamp()

    @cached_property
    def begins_s(self) -> float:
        """When the belief's days begin."""
        return float(self.belief.edges_s[0])

    @cached_property
    def light(self) -> Window | None:
        """Hours of light in force."""
        return self._hours("light")

    @cached_property
    def gas(self) -> Window | None:
        """Hours of gas in force."""
        return self._hours("gas")

    @cached_property
    def air(self) -> Window | None:
        """Hours of extra air in force."""
        return self._hours("air")

    def _hours(self, what: str) -> Window | None:
        changes = getattr(self.belief.problem.evidence.timeline, what)
        found = window_in_force(changes, self.now_s)
        return None if found is None or found.never else found

    @cached_property
    def lit(self) -> tuple[Span, ...]:
        """The lit stretches of the last week up to now, the newest last [epoch s]."""
        start = max(self.begins_s, self.now_s - WEEK_DAYS * 86400.0)
        light = self.belief.problem.evidence.timeline.light
        spans = on_spans(start, self.now_s, light, self.tank.timezone)
        return tuple((low, min(high, self.now_s)) for low, high in spans if low < self.now_s)

    @property
    def dawn_s(self) -> float | None:
        """When the lights went on last, None where that is before the belief's days."""
        ons = [low for low, _ in self.lit if low > self.begins_s + 600.0]
        return ons[-1] if ons else None

    def over(self, what: str, span: Span) -> FloatArray:
        """Return the draws [m, n] of "co2", "co2_max", "o2" or "ph" through a stretch."""
        low, high = max(span[0], self.begins_s), min(span[1], float(self.belief.edges_s[-1]))
        count = max(int((high - low) / _GRID_S), 1)
        return self.belief.through(what, np.linspace(low, high, count + 1))

    def night(self) -> Span | None:
        """Return the dark hours before the lights went on last, at most eight of them."""
        if self.dawn_s is None:
            return None
        before = [high for _, high in self.lit if high < self.dawn_s]
        start = max(self.dawn_s - NIGHT_H * 3600.0, self.begins_s, *before[-1:])
        return None if self.dawn_s - start < 1800.0 else (start, self.dawn_s)

    def levels(self) -> FloatArray | None:
        """Return each day's mean CO2 from two hours after lights-on, [m, days]; None for none."""
        days = [
            self.over("co2", (low + RISEN_H * 3600.0, high)).mean(axis=1)
            for low, high in self.lit
            if high - low > (RISEN_H + 1.0) * 3600.0
        ]
        return np.stack(days, axis=1) if days else None

    def newest(self, kind: Kind, within_days: float | None = None) -> Entry | None:
        """Return the newest entry of a kind, None where it is older than so many days."""
        found = self.diary.of(kind)
        if not found:
            return None
        if within_days is not None and self.days_since(found[-1].time) > within_days:
            return None
        return found[-1]

    def days_since(self, at: datetime) -> float:
        """Return how many days ago a moment was."""
        return (self.now - at) / timedelta(days=1)


def record_of(
    tank: Tank, diary: Diary, belief: Belief, now: datetime, balance: Balance | None = None
) -> Record:
    """Return the record of a tank at `now` (aware, or naive by the tank's clock)."""
    zone = ZoneInfo(tank.timezone)
    now = now.replace(tzinfo=zone) if now.tzinfo is None else now.astimezone(zone)
    local = diary if diary.timezone is not None else diary.localised(tank.timezone)
    return Record(tank, local.until(now), belief, now, limits_of(tank), balance)
