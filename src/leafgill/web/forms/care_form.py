"""A care task as a form."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta, tzinfo
from typing import Any

from leafgill.web.forms.field import FormField

LONGEST_WHAT, LONGEST_NOTE, MOST_DAYS = 120, 1000, 3650
_NAMES = ("what", "every_days", "last_done", "note")


@dataclass
class ReadTask:
    """What was typed of a task, or what is wrong by field; `last_done` is aware."""

    what: str = ""
    every_days: int = 0
    last_done: datetime | None = None
    note: str = ""
    errors: dict[str, str] = field(default_factory=dict)


def task_fields(typed: dict[str, str], errors: dict[str, str]) -> list[FormField]:
    """Return the fields of a task's form."""
    told = {
        "what": FormField("what", "What to do", required=True),
        "every_days": FormField("every_days", "Every", "number", unit="days", required=True),
        "last_done": FormField("last_done", "Done last", "date", help="Left empty: never yet."),
        "note": FormField("note", "Note", "area"),
    }
    return [
        FormField(
            at.name,
            at.label,
            at.widget,
            typed.get(name, ""),
            unit=at.unit,
            help=at.help,
            error=errors.get(name, ""),
            required=at.required,
        )
        for name, at in told.items()
    ]


def typed_of(post: Any) -> dict[str, str]:
    """Return what was sent for a task."""
    return {name: post.get(name, "").strip()[: LONGEST_NOTE + 1] for name in _NAMES}


def read_task(typed: dict[str, str], here: tzinfo, today: date) -> ReadTask:
    """Return the task that was typed; days are those of the tank's clock."""
    read = ReadTask(what=" ".join(typed["what"].split()), note=typed["note"])
    if not read.what:
        read.errors["what"] = "Say what is to be done."
    elif len(read.what) > LONGEST_WHAT:
        read.errors["what"] = f"At most {LONGEST_WHAT} letters; the rest belongs into the note."
    if len(read.note) > LONGEST_NOTE:
        read.errors["note"] = f"At most {LONGEST_NOTE} letters."
    days = typed["every_days"]
    if days.isascii() and days.isdigit() and 1 <= int(days[:9]) <= MOST_DAYS:
        read.every_days = int(days)
    else:
        read.errors["every_days"] = f"A whole number of days, 1 to {MOST_DAYS}."
    if typed["last_done"]:
        _read_day(typed["last_done"], read, here, today)
    return read


def _read_day(text: str, read: ReadTask, here: tzinfo, today: date) -> None:
    try:
        day = date.fromisoformat(text)
    except ValueError:
        read.errors["last_done"] = "Write the day as 2025-03-04."
        return
    if not today - timedelta(days=20_000) <= day <= today:
        read.errors["last_done"] = "That day is not in the past."
        return
    read.last_done = datetime.combine(day, time(12), here)
