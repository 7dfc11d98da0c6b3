"""An invented tank whose keeper writes down what is done to it."""

from __future__ import annotations

from datetime import timedelta

import numpy as np
import pytest

from leafgill.advise.care.known import Known
from leafgill.diary import Diary, Entry
from leafgill.estimate import believe
from leafgill.estimate.evidence import gather
from leafgill.estimate.problem import Problem
from leafgill.tank.model import simulate


@pytest.fixture(scope="session")
def start():
    from datetime import datetime
    from zoneinfo import ZoneInfo

    return datetime(2025, 3, 3, 8, tzinfo=ZoneInfo("UTC"))


BASE = (
    (0.0, "light_day", "10:00-18:00"),
    (0.0, "kh", 4.0),
    (0.5, "gas_day", "09:00-18:00"),
    (0.5, "bubble_rate", 2.0),
)


@pytest.fixture(scope="session")
def kept(start):
    """Return a maker of diaries of (hours, kind, value[, unit[, note]]) rows."""

    def diary(*rows):
        entries = [
            Entry(start + timedelta(hours=hours), kind, *rest)
            for hours, kind, *rest in sorted(rows, key=lambda row: row[0])
        ]
        return Diary(entries).localised("UTC")

    return diary


@pytest.fixture(scope="session")
def known_of(make_tank, make_belief, kept, start):
    """Return a maker of what a job is worked out from, at so many days, by the prior's belief."""

    def known(days, *rows, **how):
        tank = make_tank(**how.pop("sections", {}))
        diary = kept(*BASE, *rows)
        hours = 24.0 * days + 4.0
        belief = make_belief(tank, diary, hours, **how)
        now = start + timedelta(hours=hours)
        return Known(tank, diary.until(now), belief, now)

    return known


@pytest.fixture(scope="session")
def clogging(make_tank, kept, start):
    """Return a maker of beliefs of a tank whose diffuser loses a fifth in so many days.

    Cleaned on the first day and on the twelfth, bubbles counted each day, pH read every three
    hours by an electrode; the truth is a draw of the belief's own prior.
    """

    def made(days_to_fifth, length=24, cleaned=(0.0, 12.0), seed=0):
        rng = np.random.default_rng(seed)
        tank = make_tank()
        rows = [*BASE]
        rows += [(24 * d + 3.0, "bubble_count", 20.0 + rng.integers(-1, 2), "10 s")
                 for d in range(length)]  # fmt: skip
        rows += [(24 * at, "care", "diffuser cleaned") for at in cleaned]
        end = start + timedelta(hours=24 * length + 6)
        problem = Problem.of(gather(tank, kept(*rows), end))
        z = 0.3 * rng.standard_normal((1, problem.size))
        for k, row in enumerate(problem.rows):
            if row.name.startswith("flow_"):
                z[0, k] = 0.0
        evidence = problem.evidence
        middle = np.array(evidence.flow.start_s) + 43200.0
        washed = start.timestamp() + 86400.0 * np.array(cleaned)
        ages = middle - np.array([washed[washed <= m].max(initial=washed[0]) for m in middle])
        left = np.exp(np.log(0.8) / days_to_fifth * ages / 86400.0)
        draws = problem.draws(z)
        course = simulate(evidence.forcing, draws._replace(flow=draws.flow * left))
        at = np.arange(1.0, 24 * length + 6, 3.0)
        ph = np.interp(start.timestamp() + 3600.0 * at, evidence.edges_s, course.ph[0])
        ph += 0.02 * rng.standard_normal(at.size)
        rows += [(float(h), "ph_probe", float(round(v, 2))) for h, v in zip(at, ph, strict=True)]
        belief = believe(tank, kept(*rows), end, count=150)
        return belief, [float(s) for s in washed]

    return made
