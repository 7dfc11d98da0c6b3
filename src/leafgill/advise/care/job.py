"""One piece of work that comes round: how often here, on what grounds, and when it is due."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import datetime, timedelta

from leafgill.advise.care.due import Due, State, due
from leafgill.advise.figure import Figure

# How an interval was come by, as the keeper reads it.
RECORD = "by your record"
LAW = "worked out for this rig"
USUAL = "common practice, no source"


@dataclass(frozen=True)
class Job:
    """One job: `every` [days] with its interval, and whether it is due.

    `basis` is RECORD, LAW or USUAL; `reason` what the interval rests on in plain words, `how` the
    way to do it or to see that it is needed, `sure` how sure the interval is. `last_done` is by
    the diary, None where it holds nothing; `told` are more figures beside the interval. A job
    that is `called` is due now by what the record shows, whatever the days are.
    """

    key: str
    what: str
    why: str
    every: Figure
    basis: str
    reason: str
    how: str
    last_done: datetime | None
    due: Due
    told: tuple[Figure, ...] = ()
    called: str = ""

    @property
    def days(self) -> int:
        """Whole days between one time and the next, at least 1."""
        return max(math.floor(self.every.value + 0.5), 1)

    @property
    def sure(self) -> str:
        """How sure the interval is: by the ends of its 90 % interval."""
        low, high = self.every.low, self.every.high
        if low is None or high is None or low <= 0.0:
            return "a fixed date" if low is None else "not known"
        ratio = high / low
        if self.basis == USUAL:
            return "a habit of the trade"
        return "well known" if ratio < 2.5 else "roughly known" if ratio < 6.0 else "hardly known"

    @property
    def earliest(self) -> datetime | None:
        """The early end of when it is due, None where it was never done."""
        return self._after(self.every.low)

    @property
    def latest(self) -> datetime | None:
        """The late end of when it is due."""
        return self._after(self.every.high)

    def _after(self, days: float | None) -> datetime | None:
        if self.last_done is None or days is None:
            return None
        return self.last_done + timedelta(days=days)

    @property
    def figures(self) -> tuple[Figure, ...]:
        """The interval, and what else was worked out."""
        return (self.every, *self.told)


@dataclass(frozen=True)
class CarePlan:
    """All jobs of a tank at a moment, the most pressing first."""

    now: datetime
    jobs: tuple[Job, ...]

    def job(self, key: str) -> Job:
        """Return a job by its key. Raises KeyError."""
        return {job.key: job for job in self.jobs}[key]

    @property
    def figures(self) -> tuple[Figure, ...]:
        """The figures of all jobs."""
        return tuple(figure for job in self.jobs for figure in job.figures)


_ORDER = [State.OVERDUE, State.TODAY, State.NEVER, State.SOON, State.LATER]


def in_order(jobs: list[Job], now: datetime) -> tuple[Job, ...]:
    """Return jobs by how pressing they are: what the record calls for, then by their days."""
    return tuple(
        sorted(
            jobs,
            key=lambda job: (
                not job.called,
                _ORDER.index(job.due.state),
                job.due.at or now,
                job.what,
            ),
        )
    )


def due_of(days: float, last_done: datetime | None, now: datetime, called: str = "") -> Due:
    """Return when a job is due; one that is called for is due today."""
    found = due(max(math.floor(days + 0.5), 1), last_done, now)
    if called and found.state in (State.SOON, State.LATER, State.NEVER):
        return Due(now, State.TODAY, "due now")
    return found
