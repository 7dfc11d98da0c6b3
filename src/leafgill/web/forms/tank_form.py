"""A part of a tank's description as a form: what it shows, and what was typed into it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from leafgill.errors import InputError
from leafgill.tank.fields import FIELDS
from leafgill.tank.fields import Field as FileField
from leafgill.tank.reading import section_values
from leafgill.tank.spec import Tank
from leafgill.web.forms.field import Choice, FormField, zone_names
from leafgill.web.forms.habits import Habits
from leafgill.web.forms.parts import Key, Part, input_name
from leafgill.web.forms.tank_shown import (
    ALL_DAY,
    DAY_END,
    MIDNIGHT,
    Sections,
    Typed,
    shown_values,
)
from leafgill.web.forms.tank_words import (
    help_text,
    in_page_words,
    label,
    place_of,
    word_choices,
)

_CLOCK = re.compile(r"([01]\d|2[0-3]):[0-5]\d(:[0-5]\d)?")
_FILE = "tank"
# Enough of a tank for the checks of one part that say nothing about its size.
_STAND_IN = {"name": "tank", "volume_l": 100.0}
_LONGEST = 300
# Bottles stand in one line after the other.
_LONGEST_LINES = 4000


@dataclass
class Checked:
    """What a part's typed words came to: values by section, faults and doubts by input name.

    `general` are faults that belong to no single input.
    """

    sections: Sections = field(default_factory=dict)
    errors: dict[str, str] = field(default_factory=dict)
    doubts: dict[str, str] = field(default_factory=dict)
    general: list[str] = field(default_factory=list)

    @property
    def fine(self) -> bool:
        """Whether nothing was refused."""
        return not self.errors and not self.general


def read_typed(part: Part, post: Any) -> Typed:
    """Return what was sent for a part's inputs; `post` is a QueryDict."""
    typed: Typed = {}
    for key in part.keys:
        name = input_name(key)
        if FIELDS[key[0]][key[1]].sort == "words":
            typed[name] = [word[:_LONGEST] for word in post.getlist(name) if word]
        else:
            longest = _LONGEST_LINES if FIELDS[key[0]][key[1]].sort == "bottles" else _LONGEST
            typed[name] = post.get(name, "").strip()[:longest]
        if tick := ALL_DAY.get(key[1]):
            typed[f"day-{tick}"] = "on" if post.get(f"day-{tick}") else ""
    return typed


def form_fields(part: Part, typed: Typed, habits: Habits, checked: Checked) -> list[FormField]:
    """Return a part's fields as they are shown, in order."""
    found = []
    for key in part.keys:
        found.append(_form_field(key, typed, habits, checked))
        if tick := ALL_DAY.get(key[1]):
            name = f"day-{tick}"
            what = {"lights": "Lights", "gas": "Gas", "air": "Aeration"}[tick.split("_")[0]]
            text = f"{what} around the clock"
            found.append(FormField(name, text, "tick", str(typed.get(name, ""))))
    return found


_WIDGETS = {"number": "number", "whole": "number", "word": "choice", "words": "several"}


def _form_field(key: Key, typed: Typed, habits: Habits, checked: Checked) -> FormField:
    at, name = FIELDS[key[0]][key[1]], input_name(key)
    value = typed.get(name, [] if at.sort == "words" else "")
    shown = FormField(
        name,
        label(key),
        _WIDGETS.get(at.sort, "text"),
        tuple(value) if isinstance(value, list) else str(value),
        unit=habits.shown_unit(at.unit),
        help=help_text(key, habits),
        error=checked.errors.get(name, ""),
        doubt=checked.doubts.get(name, ""),
        required=key == ("tank", "name"),
    )
    if at.sort in ("word", "words"):
        empty = () if at.sort == "words" else (Choice("", _empty(at)),)
        return replace(shown, choices=(*empty, *word_choices(key)))
    if at.sort == "truth":
        words = (Choice("", _empty(at)), Choice("yes", "yes"), Choice("no", "no"))
        return replace(shown, widget="choice", choices=words)
    if at.sort == "time" and (not value or _CLOCK.fullmatch(str(value))):
        return replace(shown, widget="time")
    if at.sort == "zone":
        return replace(shown, widget="zone", suggestions=zone_names())
    return shown


def _empty(at: FileField) -> str:
    return {"unknown": "not known", "false": "no"}.get(at.default, at.default)


def check(part: Part, typed: Typed, habits: Habits, current: Sections | None = None) -> Checked:
    """Return what a part's typed words mean, with every fault beside its input.

    A value that reads as the form showed it for `current` stays that value to its last digit.
    """
    checked = Checked()
    before = current or {}
    was_shown = shown_values(before, habits)
    for key in part.keys:
        value = _meant(key, typed, habits)
        if value is None:
            continue
        name = input_name(key)
        kept = before.get(key[0], {}).get(key[1])
        if kept is not None and was_shown.get(name) == typed.get(name):
            value = kept
        try:
            section_values({key[0]: {key[1]: value}}, _FILE)
        except InputError as wrong:
            checked.errors[name] = in_page_words(wrong.message, key, habits)
        else:
            checked.sections.setdefault(key[0], {})[key[1]] = value
    if checked.fine:
        _check_together(part, checked, habits)
    return checked


def _meant(key: Key, typed: Typed, habits: Habits) -> Any:
    """Return the value as a tank file would hold it, None where nothing was typed."""
    at = FIELDS[key[0]][key[1]]
    value = typed.get(input_name(key), "")
    if at.sort == "time":
        return _hour(key[1], str(value), typed) or None
    if not value:
        return None
    if at.sort == "number":
        return habits.typed(str(value), at.unit)
    if at.sort == "whole":
        return int(value) if re.fullmatch(r"[+-]?\d{1,9}", value) else value
    if at.sort == "truth":
        return {"yes": True, "no": False}.get(value, value)
    return value


def _hour(key: str, typed_hour: str, typed: Typed) -> str:
    if typed.get(f"day-{key.rsplit('_', 1)[0]}_all"):
        return DAY_END if key.endswith("_off") else MIDNIGHT
    return typed_hour


def _check_together(part: Part, checked: Checked, habits: Habits) -> None:
    """Check a part's values against each other, and note what is doubtful about them."""
    data: Sections = {"tank": {}, **checked.sections}
    if not any(key == ("tank", "name") for key in part.keys):
        data["tank"] = {**_STAND_IN, **data["tank"]}
    elif missing := _missing(data["tank"]):
        checked.errors.update(missing)
        return
    try:
        tank = Tank.from_mapping(data, _FILE)
    except InputError as wrong:
        _put(str(wrong), checked.errors, checked.general, habits)
        return
    for doubt in tank.findings:
        _put(doubt, checked.doubts, [], habits)


def _missing(tank: Mapping[str, Any]) -> dict[str, str]:
    """Return what a tank cannot be without."""
    found = {}
    if "name" not in tank:
        found["tank-name"] = 'Give it a name, as "Living room".'
    lengths = [key for key in ("length_cm", "width_cm", "height_cm") if key not in tank]
    if "volume_l" not in tank and lengths:
        others = "length, width and height" if len(lengths) == 3 else "the other lengths"
        found["tank-volume_l"] = f"Give the water in it, or {others}."
    return found


def _put(line: str, into: dict[str, str], else_: list[str], habits: Habits) -> None:
    key, message = place_of(line)
    text = in_page_words(message, key, habits)
    if key is None:
        else_.append(text)
    else:
        into[input_name(key)] = text


def merged(parts: Mapping[str, Sections]) -> Sections:
    """Return the content of a tank file from that of its parts."""
    data: Sections = {}
    for sections in parts.values():
        for section, content in sections.items():
            data.setdefault(section, {}).update(content)
    return data


def with_part(current: Sections, part: Part, sections: Sections) -> Sections:
    """Return a tank file's content with one part's keys replaced by those of `sections`."""
    data = {
        section: {k: v for k, v in content.items() if (section, k) not in part.keys}
        for section, content in current.items()
    }
    for section, content in sections.items():
        data.setdefault(section, {}).update(content)
    return {section: content for section, content in data.items() if content}


def tank_of(sections: Sections, habits: Habits) -> tuple[Tank | None, dict[str, str], list[str]]:
    """Return the tank a whole description makes, its doubts by input name, and what is wrong.

    The tank is None where something is wrong.
    """
    doubts: dict[str, str] = {}
    wrong: list[str] = []
    try:
        tank = Tank.from_mapping(sections, _FILE)
    except InputError as fault:
        key, message = place_of(str(fault))
        text = in_page_words(message, key, habits)
        return None, doubts, [f"{label(key)}: {text}" if key else text]
    for doubt in tank.findings:
        _put(doubt, doubts, wrong, habits)
    return tank, doubts, []
