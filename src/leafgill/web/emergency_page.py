"""The emergency page as plain data: what to do in which order, and how fast each way helps."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from leafgill.advise.emergency import NOT_TO_DO
from leafgill.advise.gas_safety import by_topic
from leafgill.answer import emergency_said, figures
from leafgill.answer.card import IN_DANGER
from leafgill.estimate.belief import Interval
from leafgill.tank.spec import Tank
from leafgill.web.forms.habits import Habits
from leafgill.web.page_figures import interval_of, minutes_of
from leafgill.web.page_words import page_words
from leafgill.web.working.reading import Told

# The columns of the minutes, and the two tables.
_TABLES = (("co2_mg_l", "CO2, mg/L"), ("o2_mg_l", "Oxygen where it is least, mg/L"))
# Which way out each line of the order is, by its place.
_WAYS = ("gas_shut", "with_air", "with_change")
SEEN = (
    ("gasping", "Gasping", "at the surface, or lying on their side"),
    ("fast-breathing", "Breathing fast", "but swimming as usual"),
    ("dead", "Some are dead", ""),
    ("normal", "Normal again", ""),
)


@dataclass(frozen=True, slots=True)
class Do:
    """One thing to do: its head, its words, and what it brings ("" where that is not known)."""

    head: str
    words: str
    until_below: str = ""
    then: str = ""


@dataclass(frozen=True, slots=True)
class Minutes:
    """CO2 and oxygen minute by minute: titles, then (title, rows of (minute, its cells)).

    A cell is (middle, ends). `outcomes` say of each way when all is well, `notes` how it is meant.
    """

    titles: tuple[str, ...]
    tables: tuple[tuple[str, tuple[tuple[str, tuple[tuple[str, str], ...]], ...]], ...]
    outcomes: tuple[tuple[str, str], ...]
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Emergency:
    """The page: the order of what to do, what is believed, what not to do, what people mind."""

    order: tuple[Do, ...]
    not_to_do: tuple[str, ...]
    people: tuple[str, ...]
    believed: str = ""
    of: str = ""
    below: bool = False
    minutes: Minutes | None = None


def emergency_of(tank: Tank | None, told: Told | None, habits: Habits) -> Emergency:
    """Return the page of a tank; without one, what holds for every tank."""
    ways = told.payload.get("emergency") if told is not None and told.payload else None
    return Emergency(
        order=tuple(_do(nth, line, ways, habits) for nth, line in enumerate(IN_DANGER)),
        not_to_do=NOT_TO_DO,
        people=_people(tank, habits),
        believed=_believed(ways, habits) if ways else "",
        of="" if told is None or not ways else _of(told),
        below=ways is not None and ways["co2_mg_l"]["high"] < ways["limit_mg_l"],
        minutes=_minutes(ways["minutes"], habits) if ways and "minutes" in ways else None,
    )


def _minutes(told: Mapping[str, Any], habits: Habits) -> Minutes:
    """Return the minutes of an answer as tables."""
    shown = emergency_said.SHOWN
    ways = told["ways"]
    tables = []
    for what, title in _TABLES:
        rows = []
        for k, minute in enumerate(told["minutes"]):
            cells = (emergency_said.cell(Interval(*ways[key][what][k])) for key in shown)
            rows.append((str(minute), tuple((habits.text(a), habits.text(b)) for a, b in cells)))
        tables.append((title, tuple(rows)))
    return Minutes(
        tuple(shown.values()),
        tuple(tables),
        tuple((words, habits.text(text)) for words, text in told["outcomes"]),
        tuple(habits.text(line) for line in (told["ph_rise"], told["clock"]) if line),
    )


def _do(nth: int, line: str, ways: Mapping[str, Any] | None, habits: Habits) -> Do:
    head, _, words = line.partition(": ")
    if not words:
        head, words = "", line
    if ways is None or nth >= len(_WAYS):
        return Do(head, words)
    way = ways[_WAYS[nth]]
    limit = f"{ways['limit_mg_l']:.3g} mg/L"
    minutes = minutes_of(way["minutes"])
    until = f"Below {limit} at once." if minutes == "at once" else f"Below {limit} after {minutes}."
    then = f"CO2 a quarter of an hour on: {interval_of(way['co2_mg_l'])}."
    return Do(head, words, habits.text(until), habits.text(then))


def _believed(ways: Mapping[str, Any], habits: Habits) -> str:
    text = (
        f"CO2 is believed at {interval_of(ways['co2_mg_l'])}; the animals' limit is "
        f"{ways['limit_mg_l']:.3g} mg/L."
    )
    return habits.text(text)


def _of(told: Told) -> str:
    if told.asked_for is None:
        return ""
    at = figures.moment(told.asked_for, told.now)
    return f"These figures are of {at}" + (
        "." if told.fresh else ", and older than what is written."
    )


def _people(tank: Tank | None, habits: Habits) -> tuple[str, ...]:
    """Return what people mind when it is the gas itself that escapes."""
    if tank is None:
        topics = by_topic(None, None, 20.0)
    else:
        rig, room = tank.rig, tank.room.volume_m3
        topics = by_topic(rig.cylinder_kg, room, tank.temperature_c, water_l=rig.cylinder_water_l)
    return tuple(habits.text(page_words(topics[topic])) for topic in ("ventilate", "room"))
