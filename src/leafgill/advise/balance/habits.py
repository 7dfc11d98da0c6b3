"""What the keeper does with some regularity: water changes and doses, past and ahead."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from leafgill.advise.balance.read_doses import Given
from leafgill.diary import Diary, Kind
from leafgill.tank.clock import DAY_S
from leafgill.tank.spec import Tank

# Habits are read off the last so many days; what was last done more than so many of its own
# intervals ago has ended.
_LOOK_DAYS = 35.0
_ENDED_AFTER = 2.5
_OFTEN_DAYS = 0.5
# A thing done once is repeated weekly if it was done this lately [d].
_ONCE_DAYS = 10.0


class Event(NamedTuple):
    """Something done to the water: when, the part changed, pure water's share of that, doses."""

    time_s: float
    part: float
    pure: float
    adds_mg_l: Mapping[str, float]


@dataclass(frozen=True)
class Habit:
    """A thing done every so many days, next at `next_s`."""

    what: str
    every_days: float
    next_s: float
    part: float
    pure: float
    adds_mg_l: Mapping[str, float]
    times: int

    def until(self, end_s: float) -> list[Event]:
        """Return the times it will be done until a moment."""
        times = np.arange(self.next_s, end_s, self.every_days * DAY_S)
        return [Event(float(at), self.part, self.pure, self.adds_mg_l) for at in times]


def changes_of(tank: Tank, diary: Diary) -> list[Event]:
    """Return the water changes of a diary."""
    pure = 1.0 - _or(tank.water_change.tap_percent, 100.0) / 100.0
    return [
        Event(
            entry.time.timestamp(),
            min(max(entry.number / 100.0, 0.0), 1.0),
            1.0 if entry.new_kh_dkh == 0.0 else pure,
            {},
        )
        for entry in diary.of(Kind.WATER_CHANGE)
    ]


def events_of(changes: list[Event], doses: list[Given]) -> list[Event]:
    """Return changes and doses in order of time; a dose of the same moment falls in after."""
    given = [Event(dose.time_s, 0.0, 0.0, dose.adds_mg_l) for dose in doses]
    return sorted([*changes, *given], key=lambda event: event.time_s)


def habits_of(
    tank: Tank, changes: list[Event], doses: list[Given], now_s: float
) -> tuple[Habit, ...]:
    """Return what is done regularly: as lately in the diary, else as the tank file says."""
    found = [_changing(tank, changes, now_s)]
    names = dict.fromkeys(dose.what for dose in doses)
    for name in names:
        mine = [dose for dose in doses if dose.what == name]
        adds = _mean_adds([d.adds_mg_l for d in mine if d.time_s > now_s - _LOOK_DAYS * DAY_S])
        found.append(_regular(name, [d.time_s for d in mine], now_s, 0.0, 0.0, adds))
    return tuple(habit for habit in found if habit is not None)


def _changing(tank: Tank, changes: list[Event], now_s: float) -> Habit | None:
    recent = [c for c in changes if now_s - _LOOK_DAYS * DAY_S < c.time_s <= now_s]
    told = tank.water_change
    if recent:
        part = float(np.mean([c.part for c in recent]))
        pure = float(np.mean([c.pure for c in recent]))
        times = [c.time_s for c in recent]
        if told.every_days is not None and len(recent) < 2:
            return _every(told.every_days, times[-1], now_s, part, pure)
        return _regular("water change", times, now_s, part, pure, {})
    if told.percent is None or told.every_days is None:
        return None
    pure = 1.0 - _or(told.tap_percent, 100.0) / 100.0
    last = changes[-1].time_s if changes else now_s
    return _every(told.every_days, last, now_s, told.percent / 100.0, pure)


def _every(days: float, last_s: float, now_s: float, part: float, pure: float) -> Habit:
    after = max(last_s + days * DAY_S, now_s + _OFTEN_DAYS * DAY_S)
    return Habit("water change", days, after, part, pure, {}, 0)


def _regular(
    what: str,
    times_s: list[float],
    now_s: float,
    part: float,
    pure: float,
    adds: Mapping[str, float],
) -> Habit | None:
    times = np.array([t for t in times_s if now_s - _LOOK_DAYS * DAY_S < t <= now_s])
    if times.size == 0:
        return None
    since = (now_s - times[-1]) / DAY_S
    if times.size == 1:
        if since > _ONCE_DAYS:
            return None
        every = 7.0
    else:
        every = max(float(times[-1] - times[0]) / DAY_S / (times.size - 1), _OFTEN_DAYS)
    if since > _ENDED_AFTER * every:
        return None
    step = every * DAY_S
    following = float(times[-1]) + step
    while following <= now_s:
        following += step
    return Habit(what, every, following, part, pure, adds, int(times.size))


def _mean_adds(adds: list[Mapping[str, float]]) -> dict[str, float]:
    keys = dict.fromkeys(key for one in adds for key in one)
    return {key: float(np.mean([one.get(key, 0.0) for one in adds])) for key in keys}


def _or(value: float | None, otherwise: float) -> float:
    return otherwise if value is None else value
