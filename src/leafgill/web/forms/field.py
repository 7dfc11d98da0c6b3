"""One field of a form as the templates show it: label, input, help, and what is wrong beside it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from typing import NamedTuple
from zoneinfo import available_timezones


class Choice(NamedTuple):
    """One thing to choose: what is sent, and the words beside it."""

    value: str
    label: str


@dataclass(frozen=True, slots=True)
class FormField:
    """What a template needs to show one field, and to show it again as it was typed.

    `widget` is "text", "number", "time", "date", "moment" (date and clock), "zone" (of time),
    "choice" (one of `choices`, a list that opens), "radio" (one of them, all in sight), "colours"
    (the same, with the colours), "several" (any of them), "tick" (yes or nothing), "area" or
    "password". `value` is what was typed, or for "several" the
    chosen values. `unit` stands behind the input; `help` below it; `error` says why the value was
    refused, `doubt` that it is unusual and kept. `suggestions` are words offered while typing.
    """

    name: str
    label: str
    widget: str = "text"
    value: str | tuple[str, ...] = ""
    unit: str = ""
    help: str = ""
    error: str = ""
    doubt: str = ""
    choices: tuple[Choice, ...] = ()
    suggestions: tuple[str, ...] = ()
    required: bool = False
    autocomplete: str = ""
    # what sets its id apart where a page has several forms
    apart: str = ""

    @property
    def field_id(self) -> str:
        """The id of the input, to which label, help and error point."""
        return f"f-{self.apart}-{self.name}" if self.apart else f"f-{self.name}"

    @property
    def described_by(self) -> str:
        """The ids of what is said about the input, for those who hear the page."""
        parts = [("help", self.help), ("doubt", self.doubt), ("error", self.error)]
        return " ".join(f"{self.field_id}-{part}" for part, text in parts if text)


@cache
def zone_names() -> tuple[str, ...]:
    """Return the time zones to offer while one is typed: those named after a place, and UTC."""
    places = (name for name in available_timezones() if "/" in name)
    return ("UTC", *sorted(name for name in places if not name.startswith(_NO_PLACES)))


_NO_PLACES = ("Etc/", "posix/", "right/", "SystemV/", "US/", "Canada/", "Brazil/", "Mexico/")


def choices(words: Iterable[str], empty: str | None = None) -> tuple[Choice, ...]:
    """Return words as choices, each its own label; with `empty`, first the choice of none."""
    first = () if empty is None else (Choice("", empty),)
    return (*first, *(Choice(word, word.replace("_", " ")) for word in words))
