"""What of a tank belongs into a calendar: the next look, care, a water change, more gas."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

from leafgill.advise.care import State, due
from leafgill.web.care_done import done_last

# What is past for so long is no next look any more.
_LOOK_STAYS = timedelta(hours=12)
# As the record's own plan of care calls it.
WATER_CHANGE = "Change part of the water"


@dataclass(frozen=True, slots=True)
class Planned:
    """Something to be done: a moment (aware) or a day of the tank's clock.

    `key` tells it from the tank's others for good: when it moves, a calendar moves it too.
    `known_at` is when what it rests on was written.
    """

    key: str
    begins: datetime | date
    title: str
    words: str
    known_at: datetime

    @property
    def is_moment(self) -> bool:
        """Whether it has a time of day."""
        return isinstance(self.begins, datetime)


@dataclass(frozen=True, slots=True)
class Care:
    """A task of the list: its number, what, every how many days, when last done and what note."""

    number: int
    what: str
    every_days: int
    last_done: datetime | None
    note: str


def planned(
    tasks: Iterable[Care], payload: Mapping[str, Any], made_at: datetime | None, now: datetime
) -> list[Planned]:
    """Return what is to be done at a tank, seen at `now` (aware, by the tank's clock).

    `payload` is what was last worked out, {} where nothing was, and `made_at` when.
    """
    known_at = made_at or now
    jobs = payload.get("care") or {}
    tasks = list(tasks)
    found = [_care(task, jobs.get(task.what), now) for task in tasks]
    if WATER_CHANGE not in {task.what for task in tasks}:
        found += _water_change(jobs.get(WATER_CHANGE), known_at, now)
    return [*_look(payload, known_at, now), *found, *_gas(payload.get("supply"), known_at, now)]


def _look(payload: Mapping[str, Any], known_at: datetime, now: datetime) -> list[Planned]:
    """Return when to look again, with what to read then."""
    told = (payload.get("step") or {}).get("look_at")
    if not told:
        return []
    at = datetime.fromisoformat(told).astimezone(now.tzinfo)
    if at < now - _LOOK_STAYS:
        return []
    said = payload.get("said") or {}
    lines = [f"{label}: {text}" for label, text in said.get("what_follows", ())]
    words = "\n".join([*filter(None, [said.get("what_to_do", "")]), *lines])
    return [Planned("look", at, "Look again", words, known_at)]


def _care(task: Care, job: Mapping[str, Any] | None, now: datetime) -> Planned:
    last = done_last(task.last_done, job)
    when = due(task.every_days, last, now)
    lines = [_capital(when.words), task.note, (job or {}).get("called_for", "")]
    day = _not_before(when.at, now)
    words = "\n".join(filter(None, lines))
    return Planned(f"care-{task.number}", day, task.what, words, last or now)


def _water_change(
    job: Mapping[str, Any] | None, known_at: datetime, now: datetime
) -> list[Planned]:
    """Return the next water change by the tank's own record, where no task is kept for it."""
    if not job or not job.get("last_done"):
        return []
    when = due(int(job["days"]), datetime.fromisoformat(job["last_done"]), now)
    assert when.state is not State.NEVER
    words = "\n".join(filter(None, [_capital(when.words), job.get("grounds", "")]))
    return [Planned("water-change", _not_before(when.at, now), WATER_CHANGE, words, known_at)]


def _gas(supply: Mapping[str, Any] | None, known_at: datetime, now: datetime) -> list[Planned]:
    """Return the day by which more gas is to be ordered."""
    if not supply or not supply.get("order_by"):
        return []
    by = datetime.fromisoformat(supply["order_by"]).astimezone(now.tzinfo)
    words = "\n".join([supply["headline"], supply["order"], *supply["lines"]])
    return [Planned("gas", _not_before(by, now), "Order gas", words, known_at)]


def _not_before(at: datetime | None, now: datetime) -> date:
    """Return the day of a moment; what is overdue, or has never been done, is for today."""
    today = now.date()
    return today if at is None else max(today, at.astimezone(now.tzinfo).date())


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
