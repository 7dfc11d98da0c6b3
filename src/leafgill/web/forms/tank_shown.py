"""A tank's description as pages show it: in inputs, and in words."""

from __future__ import annotations

import tomllib
from typing import Any

from leafgill.tank.fields import FIELDS
from leafgill.tank.fields import Field as FileField
from leafgill.tank.spec import Tank
from leafgill.tank.writing import to_toml
from leafgill.web.forms.habits import Habits
from leafgill.web.forms.parts import Key, Part, input_name
from leafgill.web.forms.tank_words import label, word_choices

Typed = dict[str, Any]
Sections = dict[str, dict[str, Any]]

# Hours come in pairs; a tick stands for the whole day, which a clock's input cannot say.
ALL_DAY = {"lights_off": "lights_all", "gas_off": "gas_all", "air_off": "air_all"}
MIDNIGHT, DAY_END = "00:00", "24:00"


def held(tank: Tank) -> Sections:
    """Return what a tank's file would hold, by section and key."""
    return tomllib.loads(to_toml(tank))


def shown_values(sections: Sections, habits: Habits) -> Typed:
    """Return what the inputs show for the content of a tank file."""
    typed: Typed = {}
    for section, content in sections.items():
        for key, value in content.items():
            typed[input_name((section, key))] = _shown(value, FIELDS[section][key], habits)
    for off, tick in ALL_DAY.items():
        on_name, off_name = f"day-{off.replace('_off', '_on')}", f"day-{off}"
        if (typed.get(on_name), typed.get(off_name)) == (MIDNIGHT, DAY_END):
            typed[f"day-{tick}"] = "on"
            typed[on_name] = typed[off_name] = ""
    return typed


def _shown(value: Any, at: FileField, habits: Habits) -> Any:
    if at.sort == "number" and not isinstance(value, str):
        return habits.number(value, at.unit)
    if at.sort == "truth":
        return "yes" if value else "no"
    if at.sort in ("salts", "bottles") and not isinstance(value, str):
        return "; ".join(str(line) for line in value)
    if at.sort == "words":
        return [str(word) for word in ([value] if isinstance(value, str) else value)]
    return str(value)


def part_rows(part: Part, sections: Sections, habits: Habits) -> list[tuple[str, str]]:
    """Return (label, value in words) of what is known of a part, for a review."""
    rows = []
    for key in part.keys:
        value = sections.get(key[0], {}).get(key[1])
        if value is None:
            continue
        rows.append((label(key), in_words(key, value, habits)))
    return rows


def in_words(key: Key, value: Any, habits: Habits) -> str:
    """Return a value of a tank file as a page says it: with its unit, words in plain spelling."""
    at = FIELDS[key[0]][key[1]]
    if at.sort == "number" and not isinstance(value, str):
        return f"{habits.words(value, at.unit)} {habits.shown_unit(at.unit)}".strip()
    shown = _shown(value, at, habits)
    if at.sort == "word":
        return next((c.label for c in word_choices(key) if c.value == shown), str(shown))
    if isinstance(shown, list):
        return ", ".join(word.replace("-", " ") for word in shown)
    return str(shown)
