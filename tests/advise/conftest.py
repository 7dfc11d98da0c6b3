"""Invented tanks and beliefs of them, made straight from the prior so that they cost little."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from leafgill.diary import Diary, Entry
from leafgill.estimate import believe
from leafgill.estimate.belief import Belief, Misfit
from leafgill.estimate.believe import days_of
from leafgill.estimate.evidence import gather
from leafgill.estimate.problem import Problem
from leafgill.tank.spec import Tank

UTC = ZoneInfo("UTC")
START = datetime(2025, 3, 3, 8, tzinfo=UTC)

MakeTank = Callable[..., Tank]
MakeDiary = Callable[..., Diary]
MakeBelief = Callable[..., Belief]


def tank_of(**sections: Mapping[str, Any]) -> Tank:
    """An invented 100 L tank, 25 °C, lights 10:00-18:00; sections change or add keys."""
    data: dict[str, dict[str, Any]] = {
        "tank": {"name": "Invented", "length_cm": 80, "width_cm": 35, "height_cm": 40,
                 "volume_l": 100.0},
        "water": {"kh_dkh": 4.0, "gh_dgh": 6.0},
        "day": {"lights_on": "10:00", "lights_off": "18:00"},
        "livestock": {"co2_limit_mg_l": 30.0},
        "target": {"co2_mg_l": 24.0},
        "rig": {"diffuser": "disc"},
    }  # fmt: skip
    for name, keys in sections.items():
        data[name] = {**data.get(name, {}), **keys}
    return Tank.from_mapping(data)


def diary_of(*rows: tuple[float, str, object]) -> Diary:
    """A diary of (hours after the start, kind, value) rows."""
    entries = [
        Entry(START + timedelta(hours=hours), kind, value)  # type: ignore[arg-type]
        for hours, kind, value in rows
    ]
    return Diary(entries).localised("UTC")


def belief_of(
    tank: Tank,
    diary: Diary,
    hours: float,
    *,
    seed: int = 1,
    count: int = 80,
    width: float = 0.2,
    shift: Mapping[str, float] | None = None,
    misfits: tuple[Misfit, ...] = (),
    straying: float = 0.0,
) -> Belief:
    """A belief at so many hours after the start: draws of the prior, `width` times as wide.

    `shift` moves the middle of an unknown, in widths of its prior; `straying` is a pH by which
    all draws stray throughout.
    """
    now = START + timedelta(hours=hours)
    evidence = gather(tank, diary, now)
    problem = Problem.of(evidence)
    z = width * np.random.default_rng(seed).standard_normal((count, problem.size))
    for name, by in (shift or {}).items():
        z[:, problem.index[name]] += by
    edges = evidence.timeline.edges(evidence.start_s, evidence.now_s + 36.0 * 3600.0)
    course = problem.course(z, evidence.timeline.forcing(edges))
    return Belief(
        tank=evidence.tank,
        now=now,
        edges_s=edges,
        effective_number=float(count),
        z=z,
        draws=problem.draws(z),
        days=days_of(course, np.full(course.ph.shape, straying)),
        problem=problem,
        misfits=misfits,
    )


@pytest.fixture(scope="session")
def make_tank() -> MakeTank:
    return tank_of


@pytest.fixture(scope="session")
def make_diary() -> MakeDiary:
    return diary_of


@pytest.fixture(scope="session")
def make_belief() -> MakeBelief:
    return belief_of


@pytest.fixture(scope="session")
def tank() -> Tank:
    return tank_of()


GAS = "09:00-18:00"


@pytest.fixture(scope="session")
def running(tank: Tank) -> Diary:
    """Gas from the second morning on at 1 bubble/s, looked at in the afternoons."""
    return diary_of(
        (0.0, "light_day", "10:00-18:00"),
        (0.0, "kh", 4.0),
        (25.0, "gas_day", GAS),
        (25.0, "bubble_rate", 1.0),
        (31.0, "ph_probe", 7.0),
        (31.0, "fish", "normal"),
        (50.0, "ph_probe", 7.1),
        (50.5, "bubble_count", 10.0),
    )


# 11:00 on the third day: gas on for two hours, the last setting a day and two hours old.
MORNING_H = 51.0


@pytest.fixture(scope="session")
def morning(tank: Tank, running: Diary) -> Belief:
    """A narrow belief of that tank at 11:00 on the third day, CO2 far below the target."""
    return belief_of(tank, running, MORNING_H)


@pytest.fixture(scope="session")
def learnt(tank: Tank) -> Belief:
    """A belief that was estimated: three days of a probe's readings of a tank of the prior."""
    rows: list[tuple[float, str, object]] = [
        (0.0, "light_day", "10:00-18:00"),
        (0.0, "kh", 4.0),
        (25.0, "gas_day", GAS),
        (25.0, "bubble_rate", 1.0),
    ]
    bare = diary_of(*rows)
    end = START + timedelta(hours=MORNING_H)
    problem = Problem.of(gather(tank, bare, end))
    course = problem.course(np.zeros((1, problem.size)))
    edges = problem.evidence.edges_s
    at = np.arange(1.0, MORNING_H, 2.0)
    shown = np.round(np.interp(START.timestamp() + 3600.0 * at, edges, course.ph[0]), 2)
    rows += [(float(h), "ph_probe", float(v)) for h, v in zip(at, shown, strict=True)]
    return believe(tank, diary_of(*rows), end, count=150)
