"""From diary to joint draws: the nutrients until now, and the weeks ahead as things go on."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from leafgill.advise.balance.ahead import Ahead
from leafgill.advise.balance.carbon import carbon_days
from leafgill.advise.balance.grid import Grid
from leafgill.advise.balance.habits import Event, Habit, changes_of, events_of, habits_of
from leafgill.advise.balance.joint import Joint, draw, water_of
from leafgill.advise.balance.kernel import run
from leafgill.advise.balance.nutrients import NUTRIENTS
from leafgill.advise.balance.read_doses import Given, doses_of
from leafgill.advise.balance.read_tests import KitReading, kit_readings
from leafgill.advise.balance.unknowns import shared, unknowns_of
from leafgill.diary import Diary
from leafgill.estimate.belief import Belief
from leafgill.science.compiled import FloatArray
from leafgill.tank.clock import DAY_S
from leafgill.tank.spec import Tank

# What happened longer ago says little of today's water.
LOOK_BACK_DAYS = 56.0
DRAWS = 1000


@dataclass(frozen=True)
class Season:
    """The nutrients of a tank: joint draws, what was done and read, and the weeks ahead."""

    tank: Tank
    belief: Belief
    now_s: float
    joint: Joint
    past: Grid
    ahead: Ahead
    habits: tuple[Habit, ...]
    doses: tuple[Given, ...]
    tests: tuple[KitReading, ...]
    unread: tuple[str, ...]

    @cached_property
    def courses(self) -> dict[str, FloatArray]:
        """Each nutrient's concentrations at the past's edges [mg/L], [m, n + 1]."""
        joint = self.joint
        return {
            key: run(water_of(q, joint.shared, joint.carbon, key, self.past))[0]
            for key, q in joint.parts.items()
        }

    def now_mg_l(self, key: str) -> FloatArray:
        """Return a nutrient's concentration now [mg/L], [m]."""
        now: FloatArray = self.courses[key][:, -1]
        return now

    def going_on(self, key: str) -> tuple[FloatArray, FloatArray]:
        """Return a nutrient's (course ahead [m, n + 1], flows over it [m, 5]) as things go on."""
        return self.ahead.course(self.joint, key, self.now_mg_l(key))


def season_of(
    tank: Tank,
    diary: Diary,
    belief: Belief,
    weeks: int,
    *,
    keys: Sequence[str] = tuple(NUTRIENTS),
    seed: int = 0,
    count: int = DRAWS,
) -> Season:
    """Return the nutrients of a tank with a localised diary, at the belief's now.

    The same belief and seed give the same draws.
    """
    now_s = belief.now.timestamp()
    known = diary.until(belief.now)
    rng = np.random.default_rng([seed, 7])
    doses, unread = doses_of(tank, known)
    changes = changes_of(tank, known)
    first_s = _first_s(known, now_s)
    tests = [test for test in kit_readings(known) if test.key in keys and test.time_s >= first_s]
    past = Grid.of(
        first_s, now_s, now_s, events_of(changes, doses), [test.time_s for test in tests]
    )
    back = math.ceil((now_s - first_s) / DAY_S)
    carbon = carbon_days(belief, back, 7 * weeks)
    rows = [unknowns_of(tank, belief, NUTRIENTS[key], max(math.ceil(back / 7), 1)) for key in keys]
    joint = draw(shared(tank, belief, count, rng), carbon, rows, tests, past, rng)
    habits = habits_of(tank, changes, doses, now_s)
    end_s = now_s + 7.0 * DAY_S * weeks
    ahead = Grid.of(now_s, end_s, now_s, _coming(habits, end_s))
    return Season(
        tank=tank,
        belief=belief,
        now_s=now_s,
        joint=joint,
        past=past,
        ahead=Ahead.of(ahead, count, seed),
        habits=habits,
        doses=tuple(doses),
        tests=tuple(tests),
        unread=tuple(unread),
    )


def _coming(habits: Sequence[Habit], end_s: float) -> list[Event]:
    events = [event for habit in habits for event in habit.until(end_s)]
    # of one moment the water change comes first
    return sorted(events, key=lambda event: (event.time_s, -event.part))


def _first_s(diary: Diary, now_s: float) -> float:
    first = diary.entries[0].time.timestamp() if len(diary) else now_s
    # at least a day, so that there is a course at all
    return min(max(first, now_s - LOOK_BACK_DAYS * DAY_S), now_s - DAY_S)
