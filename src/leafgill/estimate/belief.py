"""What is believed of a tank: draws of its unknowns and of its days, with honest intervals."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import NamedTuple

import numpy as np

from leafgill.errors import InputError
from leafgill.estimate.problem import Problem
from leafgill.science.compiled import FloatArray
from leafgill.tank.forcing import Draws
from leafgill.tank.spec import Tank

LEVEL = 0.90


class Interval(NamedTuple):
    """A mean with the interval that holds the truth nine times in ten."""

    mean: float
    low: float
    high: float


class Band(NamedTuple):
    """Intervals through time, each [n]."""

    mean: FloatArray
    low: FloatArray
    high: FloatArray


class Misfit(NamedTuple):
    """A reading that does not fit: how many of its own widths it is off."""

    time: datetime
    kind: str
    shown: str
    sigma: float
    message: str


def along(grid_s: FloatArray, values: FloatArray, times_s: FloatArray) -> FloatArray:
    """Return values [m, n] on a grid of times [n], straight between them, at times [k]: [m, k]."""
    right = np.clip(np.searchsorted(grid_s, times_s), 1, grid_s.size - 1)
    part = (times_s - grid_s[right - 1]) / (grid_s[right] - grid_s[right - 1])
    part = np.clip(part, 0.0, 1.0)
    result: FloatArray = values[:, right - 1] * (1.0 - part) + values[:, right] * part
    return result


def interval(values: FloatArray) -> Interval:
    """Return mean and 90 % interval of equally weighted draws [m]."""
    low, high = np.quantile(values, [(1.0 - LEVEL) / 2.0, (1.0 + LEVEL) / 2.0])
    return Interval(float(values.mean()), float(low), float(high))


def band(values: FloatArray) -> Band:
    """Return mean and 90 % interval through time of draws [m, n]."""
    low, high = np.quantile(values, [(1.0 - LEVEL) / 2.0, (1.0 + LEVEL) / 2.0], axis=0)
    return Band(values.mean(axis=0), low, high)


@dataclass(frozen=True)
class Days:
    """Draws of the tank's days on a grid, each [m, n+1]: past, now and on as things are set."""

    co2: FloatArray  # of the whole water [mg/L]
    co2_max: FloatArray  # where it is highest [mg/L]
    o2: FloatArray  # where it is lowest [mg/L]
    ph: FloatArray  # of the open water
    model_co2: FloatArray  # of the open water, before straying
    model_co2_far: FloatArray  # of the sheltered zone
    straying: FloatArray  # pH, true less model
    alkalinity_meq_l: FloatArray


@dataclass(frozen=True)
class Belief:
    """The joint distribution of a tank's unknowns and state, as equally weighted draws."""

    tank: Tank
    now: datetime
    edges_s: FloatArray
    effective_number: float
    z: FloatArray = field(repr=False)
    draws: Draws = field(repr=False)
    days: Days = field(repr=False)
    problem: Problem = field(repr=False)
    misfits: tuple[Misfit, ...] = ()
    findings: tuple[str, ...] = ()

    @property
    def count(self) -> int:
        """Number of draws."""
        return int(self.z.shape[0])

    def co2(self, at: datetime) -> Interval:
        """CO2 of the water at a moment [mg/L]."""
        return interval(self.at("co2", at))

    def co2_max(self, at: datetime) -> Interval:
        """CO2 in the worst place at a moment [mg/L]."""
        return interval(self.at("co2_max", at))

    def o2(self, at: datetime) -> Interval:
        """Oxygen in the worst place at a moment [mg/L]."""
        return interval(self.at("o2", at))

    def ph(self, at: datetime) -> Interval:
        """True pH at a moment."""
        return interval(self.at("ph", at))

    def at(self, what: str, at: datetime) -> FloatArray:
        """Return the draws [m] of "co2", "co2_max", "o2" or "ph" at an aware moment.

        Raises InputError for a moment outside the belief's days.
        """
        if at.tzinfo is None:
            raise InputError(f"time {at:%Y-%m-%dT%H:%M} has no time zone")
        return self.through(what, np.array([at.timestamp()]))[:, 0]

    def through(self, what: str, times_s: FloatArray) -> FloatArray:
        """Return the draws [m, n] at epoch seconds [n]. Raises InputError outside the days."""
        times = np.asarray(times_s, dtype=np.float64)
        if times.min() < self.edges_s[0] or times.max() > self.edges_s[-1]:
            first, last = (
                datetime.fromtimestamp(s, self.now.tzinfo) for s in self.edges_s[[0, -1]]
            )
            raise InputError(
                f"the belief covers {first:%Y-%m-%dT%H:%M} to {last:%Y-%m-%dT%H:%M}, no other time"
            )
        return along(self.edges_s, getattr(self.days, what), times)

    def band(self, what: str, times_s: FloatArray) -> Band:
        """Return mean and interval of a quantity at epoch seconds [n]."""
        return band(self.through(what, times_s))

    def unknowns(self) -> dict[str, tuple[Interval, str, str]]:
        """Return each unknown's (interval, unit, meaning)."""
        return {
            row.name: (interval(self.problem.value(self.z, row.name)), row.unit, row.meaning)
            for row in self.problem.rows
        }

    def take(self, rows: np.ndarray) -> Belief:
        """Return the belief of some of the draws."""
        days = Days(**{name: getattr(self.days, name)[rows] for name in Days.__annotations__})
        return replace(self, z=self.z[rows], draws=self.draws.take(rows), days=days)
