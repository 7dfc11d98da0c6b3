"""Care in words: each function gives lines that a screen lays out."""

from __future__ import annotations

from datetime import datetime

from leafgill.advise.care.due import State, done_words
from leafgill.advise.care.job import USUAL, CarePlan, Job
from leafgill.advise.figure import Figure
from leafgill.answer.explain import amount, ends_of, shown
from leafgill.answer.said import sentence

URGENT = (State.OVERDUE, State.TODAY)
# Whole weeks, months and years are said as such from here on [days].
_MONTHS_FROM, _YEARS_FROM, _MONTH = 75.0, 700.0, 30.44


def headline(plan: CarePlan) -> str:
    """Say how much is due."""
    due = [job for job in plan.jobs if urgent(job)]
    if not due:
        first = min((job for job in plan.jobs if job.due.at), default=None, key=_when)
        if first is None:
            return "Nothing is written down yet; begin with what is listed first."
        return f"Nothing is due. Next: {first.what[:1].lower()}{first.what[1:]}, {first.due.words}."
    if len(due) == 1:
        return f"One thing is due: {due[0].what[:1].lower()}{due[0].what[1:]}."
    return f"{len(due)} things are due."


def _when(job: Job) -> float:
    assert job.due.at is not None, "only those with a day"
    return job.due.at.timestamp()


def urgent(job: Job) -> bool:
    """Return whether a job is due by its days or by what the record shows."""
    return bool(job.called) or job.due.state in URGENT


def every(job: Job) -> str:
    """Return how often: "every 38 days, 17 to 100"; the date alone for what has one."""
    if job.key == "stamp" and job.due.at is not None and job.every.inputs:
        return job.due.words
    text = f"every {_span(job.every.value)}"
    ends = _ends(job.every)
    return f"{text}, {ends}" if ends else text


def _span(days: float) -> str:
    if days >= _YEARS_FROM:
        return f"{amount(days / 365.25, 2)} years"
    if days >= _MONTHS_FROM:
        return f"{amount(days / _MONTH, 1)} months"
    whole = max(round(days), 1)
    return "day" if whole == 1 else f"{whole} days"


def _ends(figure: Figure) -> str:
    if figure.low is None or figure.high is None:
        return ""
    if figure.value >= _YEARS_FROM:
        return ends_of(figure, 2, 1.0 / 365.25)
    if figure.value >= _MONTHS_FROM:
        return ends_of(figure, 1, 1.0 / _MONTH)
    low, high = max(round(figure.low), 1), max(round(figure.high), 1)
    return "" if low == high else f"{low} to {high}"


def due_words(job: Job) -> str:
    """Return when it is due, and why where the record calls for it."""
    words = sentence(job.due.words)
    return f"{words}: {job.called}" if job.called else words


def when(job: Job, plan: CarePlan) -> str:
    """Return when it was done, and between which days it comes due next."""
    text = f"Done last: {done_words(job.last_done, plan.now)}"
    early, late = job.earliest, job.latest
    if early is None or late is None or late <= plan.now:
        return f"{text}."
    return f"{text}; next between {_day(early, plan)} and {_day(late, plan)}."


def _day(at: datetime, plan: CarePlan) -> str:
    there = max(at, plan.now).astimezone(plan.now.tzinfo)
    if there.date() == plan.now.date():
        return "today"
    year = f" {there.year}" if there.year != plan.now.year else ""
    return f"{there.day} {there:%b}{year}"


def grounds(job: Job) -> str:
    """Return what the interval rests on, and how sure it is."""
    sure = "" if job.basis == USUAL else f"; {job.sure}"
    return f"{sentence(job.reason)} ({job.basis}{sure})."


def told(job: Job) -> list[str]:
    """Return the figures that belong to a job, one line each."""
    return [f"{figure.label}: {_value(figure)}" for figure in job.told]


def _value(figure: Figure) -> str:
    if figure.key != "diffuser_lost_share":
        return shown(figure)
    ends = ends_of(figure, 2, 100.0)
    return f"{100.0 * figure.value:.0f} %" + (f", {ends}" if ends else "")
