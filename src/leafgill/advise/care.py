"""Work that comes round: when it is due, and a list to begin with."""

from __future__ import annotations

from datetime import datetime, timedelta
from enum import StrEnum
from typing import NamedTuple

from leafgill.tank.animals import PRACTICE
from leafgill.tank.spec import Tank

BASIS = PRACTICE


class Starter(NamedTuple):
    """A task to begin with: what to do, every how many days, and why."""

    what: str
    every_days: int
    why: str


_ALWAYS = (
    Starter("Change part of the water", 7, "Takes out what gathers, brings hardness back."),
    Starter("Test carbonate hardness", 14, "pH tells of CO2 only together with it, and it drifts."),
    Starter(
        "Fill the drop checker afresh", 28, "Its water takes up and gives off; old colours lie."
    ),
    Starter("Clean the filter", 42, "A slow filter spreads gas badly and takes up oxygen."),
    Starter("Trim the plants", 14, "Dense growth shades itself and stops the water."),
)
_GAS = (
    Starter("Clean the diffuser", 28, "A clogged one needs more pressure and makes big bubbles."),
    Starter(
        "Leak test with soapy water",
        90,
        "And at every change of cylinder; most gas that is lost is lost at a joint.",
    ),
    Starter(
        "Look at hose and check valve",
        180,
        "A hose hardens, a check valve lets water through to the regulator.",
    ),
)
_CYLINDER = (
    Starter(
        "Weigh the cylinder",
        7,
        "The gauge says nothing until the liquid is gone; the scale does.",
    ),
    Starter(
        "Look at the cylinder's test date and its strap",
        180,
        "A supplier refuses one whose date is past; one that falls can break its valve.",
    ),
)
_PROBE = (
    Starter("Calibrate the electrode", 28, "It drifts; an offset of 0.1 is a quarter of the CO2."),
)


def starters(tank: Tank, probe: bool) -> tuple[Starter, ...]:
    """Return what a tank's keeper may begin with; `probe` tells whether an electrode hangs in it.

    Intervals are common practice; no publication stands behind them.
    """
    gas = _GAS if tank.rig.source != "yeast" else _GAS[:1]
    cylinder = _CYLINDER if tank.rig.source == "cylinder" else ()
    return (*_ALWAYS, *gas, *cylinder, *(_PROBE if probe else ()))


class State(StrEnum):
    """How near a task is to being due."""

    NEVER = "never done"
    OVERDUE = "overdue"
    TODAY = "due today"
    SOON = "soon"
    LATER = "later"


class Due(NamedTuple):
    """When a task is due: its day (None where it was never done), how near, and in words."""

    at: datetime | None
    state: State
    words: str


_SOON_DAYS = 2


def due(every_days: int, last_done: datetime | None, now: datetime) -> Due:
    """Return when a task is due, by the days of `now`'s clock; both times are aware."""
    if last_done is None:
        return Due(None, State.NEVER, "not done yet; do it when you can")
    at = last_done.astimezone(now.tzinfo) + timedelta(days=every_days)
    days = (at.date() - now.date()).days
    if days < 0:
        return Due(at, State.OVERDUE, f"overdue by {_days(-days)}")
    if days == 0:
        return Due(at, State.TODAY, "due today")
    when = "tomorrow" if days == 1 else f"in {_days(days)}, {at:%a} {at.day} {at:%b}"
    return Due(at, State.SOON if days <= _SOON_DAYS else State.LATER, f"due {when}")


def done_words(last_done: datetime | None, now: datetime) -> str:
    """Return when something was done last: "today", "3 days ago, Wed 5 Mar", "never"."""
    if last_done is None:
        return "never"
    there = last_done.astimezone(now.tzinfo)
    days = (now.date() - there.date()).days
    if days <= 0:
        return "today"
    if days == 1:
        return "yesterday"
    year = f" {there.year}" if there.year != now.year else ""
    return f"{_days(days)} ago, {there:%a} {there.day} {there:%b}{year}"


def _days(count: int) -> str:
    return "1 day" if count == 1 else f"{count} days"
