"""The emergency page as plain data: what to do in which order, and how fast each way helps."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from leafgill.advise.gas_safety import by_topic
from leafgill.answer import figures
from leafgill.answer.card import IN_DANGER
from leafgill.tank.spec import Tank
from leafgill.web.forms.habits import Habits
from leafgill.web.page_figures import interval_of, minutes_of
from leafgill.web.page_words import page_words
from leafgill.web.working.reading import Told

# Which way out each line of the order is, by its place.
_WAYS = ("gas_shut", "with_air", "with_change")
# Common practice, no source.
NOT_TO_DO = (
    "Do not feed.",
    "Do not add anything that is to raise pH or hardness: the animals are harmed by a second jump.",
    "Do not stop the filter. Leave the light on where it is on: plants in light give oxygen.",
    "Do not change all of the water at once, nor for water of another warmth.",
    "Do not open the gas again today because the animals look better; write down that they are "
    "normal first, and follow the step then.",
)
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
class Emergency:
    """The page: the order of what to do, what is believed, what not to do, what people mind."""

    order: tuple[Do, ...]
    not_to_do: tuple[str, ...]
    people: tuple[str, ...]
    believed: str = ""
    of: str = ""
    below: bool = False


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
