"""A tank file coming in: what it changes in the description."""

from __future__ import annotations

from typing import NamedTuple

from leafgill.errors import InputError
from leafgill.tank.fields import FIELDS
from leafgill.tank.spec import Tank
from leafgill.tank.toml_file import tank_content
from leafgill.web.forms.habits import Habits
from leafgill.web.forms.tank_shown import Sections, held, in_words
from leafgill.web.forms.tank_words import label

LARGEST = 1_000_000


class Difference(NamedTuple):
    """One key that differs: its words, what it says now and what it would say; "" for nothing."""

    label: str
    now: str
    new: str


def read_file(data: bytes, name: str) -> Tank:
    """Return the tank in an uploaded file. Raises InputError as `Tank.load` does."""
    if len(data) > LARGEST:
        raise InputError("is larger than 1 MB; that is no tank file", name)
    return Tank.from_mapping(tank_content(data, name), where=name)


def differences(now: Tank, new: Tank, habits: Habits) -> list[Difference]:
    """Return what a new description changes, in the order of the tank file."""
    before, after = held(now), held(new)
    found = []
    for section, keys in FIELDS.items():
        for key in keys:
            old = _words(before, section, key, habits)
            changed = _words(after, section, key, habits)
            if before.get(section, {}).get(key) != after.get(section, {}).get(key):
                found.append(Difference(label((section, key)), old, changed))
    return found


def _words(sections: Sections, section: str, key: str, habits: Habits) -> str:
    value = sections.get(section, {}).get(key)
    return "" if value is None else in_words((section, key), value, habits)
