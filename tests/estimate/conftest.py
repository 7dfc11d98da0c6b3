"""Diaries of invented tanks, played by the model itself, and fits that several files look at."""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from leafgill.diary import Diary, Entry
from leafgill.estimate import believe
from leafgill.estimate.believe import days_of
from leafgill.estimate.daily import daily_waves
from leafgill.estimate.evidence import gather
from leafgill.estimate.likelihood import ROUGH_TIME_H, colour_chance
from leafgill.estimate.problem import Problem
from leafgill.science.indicator import COLOURS, co2_boundaries_mg_l, lagged
from leafgill.tank.spec import Tank

START = datetime(2025, 3, 3, 8, tzinfo=UTC)
BOX = {"name": "Test tank", "volume_l": 100, "length_cm": 80, "width_cm": 35, "height_cm": 40}


def at(day, clock):
    hour, minute = map(int, clock.split(":"))
    return START.replace(hour=hour, minute=minute) + timedelta(days=day)


def entry(day, clock, kind, value, unit="", note=""):
    return Entry(at(day, clock), kind, value, unit, note)


@pytest.fixture(scope="session")
def when():
    """Return a maker of moments: day of the diary and clock time."""
    return at


@pytest.fixture(scope="session")
def write():
    """Return a maker of entries: day, clock time, kind, value, unit, note."""
    return entry


@pytest.fixture(scope="session")
def tank():
    return Tank.from_mapping({"tank": BOX, "water": {"kh_dkh": 4}})


def equipment():
    return [
        entry(0, "08:00", "note", "the start"),
        entry(0, "08:00", "light_day", "10:30-18:30"),
        entry(0, "08:00", "gas_day", "08:30-17:00"),
        entry(0, "08:00", "bubble_rate", 2.0, "per s"),
    ]


@pytest.fixture
def rows():
    """Return four days of a diary with every kind that informs."""
    return [
        *equipment(),
        entry(0, "08:00", "kh", 4.0, "dKH", "rounded up to whole 0.5 dKH drops"),
        entry(0, "08:00", "gh", 8, "dGH"),
        entry(0, "08:00", "cylinder_mass", 5000, "g"),
        entry(0, "08:00", "working_pressure", 2.0, "bar"),
        entry(0, "15:00", "ph", 6.8),
        entry(0, "15:00", "drop_checker", "green"),
        entry(1, "08:00", "degassed_ph", 7.6, "", "same probe, indoor air, glass drawn 08:00"),
        entry(1, "09:00", "ph_probe", 7.1),
        entry(1, "09:00", "temperature", 26.5, "°C"),
        entry(1, "12:00", "bubble_count", 18, "10 s"),
        entry(1, "15:00", "ph_probe", 6.7),
        entry(1, "16:00", "test", 8.5, "mg/L", "oxygen"),
        entry(2, "09:00", "calibration", "4.01/7.00"),
        entry(2, "10:00", "working_pressure", 1.5, "bar"),
        entry(2, "15:00", "ph_probe", 6.75),
        entry(2, "18:30", "water_change", 40, "%", "kh 8"),
        entry(3, "15:00", "ph", 6.9),
        entry(3, "16:00", "cylinder_mass", 4970, "g"),
    ]


@dataclass
class Played:
    """A tank that the model itself played: its diary, and its true CO2 on the grid."""

    tank: Tank
    diary: Diary
    now: datetime
    edges_s: np.ndarray
    co2: np.ndarray

    def true_co2(self, times_s):
        return np.interp(times_s, self.edges_s, self.co2)


def play(seed, *, days=4, probe=False, spread=1.0):
    """Draw a tank from the prior (its coordinates times `spread`) and read it as believed."""
    rng = np.random.default_rng(seed)
    kept = Tank.from_mapping({"tank": BOX, "water": {"kh_dkh": 4}})
    now = at(days, "08:00")
    rows = equipment()
    problem = Problem.of(gather(kept, Diary(rows).localised("UTC"), now))
    evidence, edges = problem.evidence, problem.evidence.edges_s
    z = spread * rng.standard_normal((1, problem.size))
    course, traits = problem.course(z), problem.traits(z)
    rough = traits.roughness[0]
    straying = np.empty(edges.size)
    straying[0] = rough * rng.standard_normal()
    for k, hours in enumerate(np.diff(edges) / 3600.0):
        left = np.exp(-hours / ROUGH_TIME_H)
        straying[k + 1] = left * straying[k] + rough * np.sqrt(1 - left**2) * rng.normal()
    straying = straying + daily_waves(edges, "UTC") @ traits.daily[0]
    true = days_of(course, straying[None])

    kh = problem.value(z, "kh")[0] * rng.normal(1.0, 0.03)
    rows.append(
        entry(0, "08:00", "kh", max(np.ceil(kh / 0.5) * 0.5, 0.5), "dKH",
              "rounded up to whole 0.5 dKH drops")
    )  # fmt: skip
    shown = lagged((edges - edges[0]) / 3600.0, course.co2_mg_l[0], traits.checker_lag[0])
    bounds = np.log(np.array(co2_boundaries_mg_l(kept.temperature_c, 4.0), dtype=float))
    sd = np.hypot(0.12, np.log(10.0) * rough)
    for day in range(days):
        for clock in ("09:00", "12:00", "16:00"):
            moment = at(day, clock)
            seconds = moment.timestamp()
            ph = np.interp(seconds, edges, true.ph[0]) + traits.hand[0] + rng.normal(0.0, 0.10)
            log_co2 = np.log(np.interp(seconds, edges, shown))
            chances = np.array(
                [
                    colour_chance(c, log_co2, bounds, np.log(traits.checker_kh[0] / 4.0), sd)
                    for c in range(5)
                ]
            )
            colour = COLOURS[rng.choice(5, p=chances / chances.sum())]
            rows.append(Entry(moment, "ph", round(float(np.clip(ph, 3.0, 11.0)), 1)))
            rows.append(Entry(moment, "drop_checker", colour))
    diary = Diary(sorted(rows, key=lambda row: row.time))
    if probe:
        times = np.arange(edges[0], now.timestamp(), 600.0)
        read = (
            7.0 + traits.offset[0, 0] + traits.slope[0] * (np.interp(times, edges, true.ph[0]) - 7)
        )
        diary = diary.localised("UTC")
        diary.add_readings("ph", times, read + rng.normal(0.0, 0.01, times.size))
    assert evidence.epochs == 1
    return Played(kept, diary, now, edges, true.co2[0])


@pytest.fixture(scope="session")
def player():
    """Return a maker of tanks from the prior: seed, days, probe, spread."""
    return play


@pytest.fixture(scope="session")
def probed():
    """Return an ordinary tank with a logged electrode."""
    return play(5, probe=True, spread=0.3)


@pytest.fixture(scope="session")
def probed_belief(probed):
    return believe(probed.tank, probed.diary, probed.now, count=120)


@pytest.fixture(scope="session")
def hand_kept():
    """Return an ordinary tank with hand tests and a drop checker only."""
    return play(6, spread=0.5)


@pytest.fixture(scope="session")
def hand_belief(hand_kept):
    return believe(hand_kept.tank, hand_kept.diary, hand_kept.now, count=120)
