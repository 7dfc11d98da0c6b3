"""What the advice believes of a kept tank at random lit moments, with all readings or without some.

A kind of reading that is left out was never written: what it was worth is how much wider and
worse the belief is without it.
"""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from typing import NamedTuple

import numpy as np

from leafgill import Diary, Entry, believe

from ..trial.actions import Window
from ..trial.diary import MINUTES_DAY, START
from ..trial.score import lit_minutes
from ..trial.simulate import Trial
from .advised import tank_of

FROM_DAY = 3
# Kinds of reading by their diary kinds; the probe is its own.
READINGS: dict[str, tuple[str, ...]] = {
    "probe": ("ph_probe",),
    "hand pH": ("ph",),
    "drop checker": ("drop_checker",),
    "KH": ("kh",),
    "degassed sample": ("degassed_ph",),
    "bubble counts": ("bubble_count",),
    "weights": ("cylinder_mass",),
}


class Believed(NamedTuple):
    """True CO2 at a moment, and what was believed of it then [mg/L]."""

    true: float
    mean: float
    low: float
    high: float


def moments(trial: Trial, light: Window, count: int) -> np.ndarray:
    """Minutes of the run at random while the light is on, from day 3 on, rising."""
    lit = np.flatnonzero(lit_minutes(trial.truth["co2_mean"].size, light, 0.0))
    lit = lit[lit >= FROM_DAY * MINUTES_DAY]
    rng = np.random.default_rng([trial.play.world.seed, 7])
    return np.sort(rng.choice(lit, count, replace=False))


def at_moments(
    trial: Trial, light: Window, count: int, without: tuple[str, ...] = ()
) -> Iterator[Believed]:
    """Believe at `count` moments, each from what was written by then, less some diary kinds."""
    tank = tank_of(trial.tank_toml)
    for minute in moments(trial, light, count):
        now = (START + timedelta(minutes=int(minute) + 1)).replace(tzinfo=UTC)
        co2 = believe(tank, diary_until(trial, now, without), now).co2(now)
        yield Believed(float(trial.truth["co2_mean"][minute]), co2.mean, co2.low, co2.high)


def diary_until(trial: Trial, now: datetime, without: tuple[str, ...] = ()) -> Diary:
    """The diary as it stood at an aware moment, less some diary kinds, with the probe's readings.

    What can be no pH was not logged.
    """
    rows = [(r.time.replace(tzinfo=UTC), *r[1:]) for r in trial.diary if r.kind not in without]
    diary = Diary([Entry(*row) for row in rows if row[0] <= now], timezone="UTC")
    if trial.probe is not None and "ph_probe" not in without:
        start = START.replace(tzinfo=UTC)
        values = trial.probe[: int((now - start) / timedelta(minutes=1))]
        shown = np.flatnonzero((values >= 3.0) & (values <= 11.0))
        if shown.size:
            at_s = np.asarray(start.timestamp() + 60.0 * (shown + 1.0), dtype=np.float64)
            diary.add_readings("ph", at_s, values[shown])
    return diary
