"""The diary as a page lists it: by day, the newest first, with what was noticed beside each row."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from leafgill.diary import Entry, Finding, Kind, check_entries
from leafgill.diary.diary import Diary
from leafgill.diary.plausible import check_future
from leafgill.web.forms.entry_form import said
from leafgill.web.forms.entry_kinds import TITLES
from leafgill.web.forms.habits import Habits
from leafgill.web.forms.tank_words import capital

# How many older entries are looked at to judge a page's oldest ones (a cylinder heavier than the
# last time it was weighed).
LOOK_BACK = 60


@dataclass(frozen=True, slots=True)
class Line:
    """One entry as the page shows it; `number` is what its links carry."""

    number: int
    clock: str
    kind: Kind
    title: str
    said: str
    note: str
    by: str
    findings: tuple[str, ...]
    removed: bool = False


@dataclass(frozen=True, slots=True)
class DayLines:
    """A day and its entries, the newest first."""

    day: date
    heading: str
    lines: tuple[Line, ...]


@dataclass(frozen=True, slots=True)
class Listed:
    """An entry of the store with its number, and who wrote it down."""

    number: int
    entry: Entry
    by: str = ""
    removed: bool = False


def by_day(
    listed: Sequence[Listed],
    older: Sequence[Entry],
    now: datetime,
    habits: Habits,
    *,
    relative: bool = True,
) -> list[DayLines]:
    """Return entries, the newest first, by the day of `now`'s clock.

    `older` are entries just before the last of them, which are not shown. With `relative` the
    headings name today and yesterday as such.
    """
    noticed = _noticed([*(item.entry for item in listed if not item.removed), *older], now)
    days: dict[date, list[Line]] = {}
    for item in listed:
        entry = item.entry
        line = Line(
            number=item.number,
            clock=f"{entry.time:%H:%M}",
            kind=entry.kind,
            title=TITLES[entry.kind],
            said=said(entry, habits),
            note=entry.note,
            by=item.by,
            findings=() if item.removed else tuple(_about(entry, noticed, habits)),
            removed=item.removed,
        )
        days.setdefault(entry.time.date(), []).append(line)
    return [
        DayLines(day, heading(day, now.date(), relative=relative), tuple(lines))
        for day, lines in days.items()
    ]


def heading(day: date, today: date, *, relative: bool = True) -> str:
    """Return a day as a heading says it: "Today, Saturday 8 March"."""
    name = {0: "Today, ", 1: "Yesterday, "}.get((today - day).days, "") if relative else ""
    year = f" {day.year}" if day.year != today.year else ""
    return f"{name}{day:%A} {day.day} {day:%B}{year}"


def _noticed(entries: Iterable[Entry], now: datetime) -> list[Finding]:
    """Return what does not hang together among aware entries, in wall time."""
    # the messages name moments, and at the tank those are the clock's
    wall = sorted((e.at(e.time.replace(tzinfo=None)) for e in entries), key=lambda e: e.time)
    found = [f for f in check_entries(wall) if f.kind != "far-from-others"]
    return found + check_future(Diary(wall), now.replace(tzinfo=None))


def _about(entry: Entry, noticed: list[Finding], habits: Habits) -> Iterable[str]:
    wall = entry.time.replace(tzinfo=None)
    for finding in (*entry.cautions, *noticed):
        mine = finding in entry.cautions or (finding.time == wall and _names(finding, entry))
        if mine and finding.kind not in _OF_THE_FILE:
            yield habits.text(_in_words(finding, entry))


def _in_words(finding: Finding, entry: Entry) -> str:
    """Return a finding as it stands beside the entry it is about."""
    if finding.kind == "in-the-future":
        return "This is later than now; it is not used until then."
    text = _MOMENT.sub(_told_moment, finding.message)
    kind, _, rest = text.partition(" ")
    return f"{TITLES[entry.kind]} {rest}" if kind == entry.kind else capital(text)


def _told_moment(found: re.Match[str]) -> str:
    when = datetime.fromisoformat(found[0])
    return f"{when.day} {when:%B %Y %H:%M}"


_MOMENT = re.compile(r"\b\d{4}-\d\d-\d\dT\d\d:\d\d(?::\d\d)?\b")
# What a form or a file's way of writing gave rise to says nothing about the entry itself.
_OF_THE_FILE = {
    "decimal-comma",
    "date-form",
    "day-first-date",
    "month-first-date",
    "time-with-space",
    "time-with-offset",
}


def _names(finding: Finding, entry: Entry) -> bool:
    if finding.kind == "heavier-cylinder":
        return entry.kind is Kind.CYLINDER_MASS
    return finding.message.startswith(f"{entry.kind} ")
