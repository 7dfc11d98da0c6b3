"""What is planned as a calendar's file (RFC 5545)."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any

from icalendar import Alarm, Calendar, Event

from leafgill.web.calendar_events import Planned

_PROGRAM = "-//Leaf & Gill//Calendar//EN"
_NAME = "Leaf & Gill"
# How often whoever follows it may ask again (RFC 7986, 5.7).
REFRESH = timedelta(hours=1)
_LOOK_TAKES = timedelta(minutes=15)


@dataclass(frozen=True, slots=True)
class TanksPlan:
    """A tank's plans, with its public id, its name and the address of its page."""

    public_id: str
    name: str
    url: str
    plans: tuple[Planned, ...]


def calendar_of(tanks: Iterable[TanksPlan]) -> bytes:
    """Return the calendar of some tanks."""
    made = Calendar()
    made.add("prodid", _PROGRAM)
    made.add("version", "2.0")
    made.add("calscale", "GREGORIAN")
    for name in ("name", "x-wr-calname"):
        made.add(name, _NAME)
    made.add("refresh-interval", REFRESH, parameters={"value": "DURATION"})
    made.add("x-published-ttl", REFRESH)
    for tank in tanks:
        for plan in tank.plans:
            made.add_component(_event(tank, plan))
    written: bytes = made.to_ical()
    return written


def _event(tank: TanksPlan, plan: Planned) -> Any:
    event = Event()
    event.add("uid", f"{plan.key}.{tank.public_id}@leafgill")
    # of when what it tells is, so that the same file comes out as long as nothing has changed
    event.add("dtstamp", plan.known_at.astimezone(UTC).replace(microsecond=0))
    summary = f"{plan.title}: {tank.name}"
    event.add("summary", summary)
    if plan.words:
        event.add("description", plan.words)
    event.add("url", tank.url)
    # it takes nobody's day up
    event.add("transp", "TRANSPARENT")
    if isinstance(plan.begins, datetime):
        begins = plan.begins.astimezone(UTC).replace(microsecond=0)
        event.add("dtstart", begins)
        event.add("dtend", begins + _LOOK_TAKES)
        event.add_component(_alarm(summary))
    else:
        event.add("dtstart", plan.begins)
        # the end of a day is the next (RFC 5545, 3.6.1)
        event.add("dtend", plan.begins + timedelta(days=1))
    return event


def _alarm(words: str) -> Any:
    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("description", words)
    alarm.add("trigger", timedelta(0))
    return alarm
