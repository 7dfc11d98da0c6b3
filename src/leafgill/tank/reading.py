"""From what a tank file holds to checked values in the units inside; each fault one clear line."""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import time
from typing import Any

from leafgill.errors import InputError, quoted
from leafgill.tank.bottle import Bottle, bottle_of
from leafgill.tank.clock import nearest_zone, parse_clock, zone
from leafgill.tank.fields import FIELDS, Field
from leafgill.units import example_of, number_in, shown_unit, split

_LONGEST_NAME = 80


@dataclass(frozen=True)
class Place:
    """Where a value stands: the file's name, the section and the key."""

    file: str
    section: str = ""
    key: str = ""

    def __str__(self) -> str:
        inside = f"[{self.section}] {self.key}".rstrip() if self.section else self.key
        return f"{self.file}: {inside}" if inside else self.file

    def refuse(self, message: str) -> InputError:
        """Return the error that tells what is wrong here."""
        return InputError(message, str(self))


@dataclass(frozen=True)
class Values:
    """The values of a tank file by section, and what is doubtful about single ones."""

    sections: dict[str, dict[str, Any]]
    findings: tuple[str, ...] = ()


def section_values(data: Mapping[str, Any], file: str) -> Values:
    """Return every section's values in the units inside.

    `data` is what a TOML file holds; `file` is the name errors start with. Raises InputError for
    an unknown section or key, a wrong type, and a value outside what is accepted.
    """
    values: dict[str, dict[str, Any]] = {section: {} for section in FIELDS}
    findings: list[str] = []
    for section, content in data.items():
        if section not in FIELDS:
            raise _unknown_section(Place(file), section, content)
        if not isinstance(content, Mapping):
            raise Place(file, section).refuse(
                f"{quoted(content)} is not a section; write [{section}] and its keys below"
            )
        for key, value in content.items():
            field = FIELDS[section].get(key)
            place = Place(file, section, key)
            if field is None:
                raise _unknown_key(place)
            values[section][key] = _READERS[field.sort](value, field, place)
            findings += _doubts(value, values[section][key], field, place)
    return Values(values, tuple(findings))


def _unknown_section(place: Place, section: str, content: object) -> InputError:
    if not isinstance(content, Mapping):
        homes = _homes(section)
        home = f"[{homes[0]}]" if homes else "its section, as [tank]"
        return Place(place.file, "", section).refuse(f"this key must stand below {home}")
    like = nearest(section, FIELDS)
    hint = f" (did you mean [{like}]?)" if like else ""
    known = ", ".join(f"[{name}]" for name in FIELDS)
    return Place(place.file, section).refuse(f"unknown section{hint}; accepted: {known}")


def _unknown_key(place: Place) -> InputError:
    known = FIELDS[place.section]
    homes = _homes(place.key)
    if homes:
        return place.refuse(f"this key belongs below {' or '.join(f'[{h}]' for h in homes)}")
    like = nearest(place.key, known)
    if not like:
        # the right word may stand in another section, the first of them before the rest
        everywhere = {key: s for s, keys in reversed(FIELDS.items()) for key in keys}
        other = nearest(place.key, everywhere)
        like = f"{other} below [{everywhere[other]}]" if other else ""
    hint = f" (did you mean {like}?)" if like else ""
    return place.refuse(f"unknown key{hint}; accepted: {', '.join(known)}")


def _homes(key: str) -> list[str]:
    return [section for section, keys in FIELDS.items() if key in keys]


def nearest(word: str, known: Iterable[str]) -> str:
    """Return the known word most like `word`, or "" when none is like it.

    A word is also like one that it begins, or begins with: vol, volume and volume_l.
    """
    plain = {_slug(name).replace("-", "_"): name for name in known}
    wanted = _slug(word).replace("-", "_")
    for name, real in plain.items():
        begins = len(wanted) > 2 and name.startswith(wanted)
        if begins or (wanted and name.startswith(f"{wanted}_")) or wanted.startswith(f"{name}_"):
            return real
    found = difflib.get_close_matches(wanted, plain, n=1, cutoff=0.6)
    return plain[found[0]] if found else ""


def _slug(text: str) -> str:
    return re.sub(r"[\s_/–-]+", "-", text.strip().lower()).strip("-.")


def _number(value: Any, field: Field, place: Place) -> float:
    example = example_of(field.unit)
    try:
        number = number_in(value, field.unit)
    except InputError as wrong:
        with_unit = f', or with its unit, as "{example}"' if example else ""
        raise place.refuse(f"{wrong}; accepted: {field.told}{with_unit}") from None
    assert field.accepted is not None
    low, high = field.accepted
    if not low <= number <= high:
        meant = slip(value, field, field.usual or field.accepted)
        typed = _typed(value, number, field)
        raise place.refuse(f"{typed} is not accepted; accepted: {field.told}{meant}")
    return number


def _typed(value: Any, number: float, field: Field) -> str:
    """Return a number as it was typed, with what it was turned into where that is another."""
    if not isinstance(value, str) or split(value)[0] == number:
        return quoted(value)
    return f"{quoted(value)} ({number:.4g} {shown_unit(field.unit)})"


def slip(value: Any, field: Field, within: tuple[float, float]) -> str:
    """Return the unit that would explain an odd bare number, as a question; "" for none."""
    if isinstance(value, str):
        return ""
    for unit in field.slips:
        text = f"{value:.15g} {shown_unit(unit)}"
        number = number_in(text, field.unit)
        if within[0] <= number <= within[1]:
            return f' (did you mean "{text}", {number:.4g} {shown_unit(field.unit)}?)'
    return ""


def _doubts(value: Any, number: Any, field: Field, place: Place) -> list[str]:
    if field.usual is None or field.usual[0] <= number <= field.usual[1]:
        return []
    low, high = field.usual
    usual = f"{low:g} to {high:g} {shown_unit(field.unit)}".rstrip()
    typed = _typed(value, number, field)
    meant = slip(value, field, field.usual)
    return [f"{place}: {typed} is unusual, and kept; usual: {usual}{meant}"]


def _whole(value: Any, field: Field, place: Place) -> int:
    assert field.accepted is not None
    low, high = field.accepted
    whole = isinstance(value, int) and not isinstance(value, bool)
    if not whole or not low <= value <= high:
        raise place.refuse(f"{quoted(value)} is not accepted; accepted: {field.told}")
    return int(value)


def _word(value: Any, field: Field, place: Place) -> str:
    words = dict(field.words)
    meant = words.get(_slug(value)) if isinstance(value, str) else None
    if meant is None:
        like = nearest(value, words) if isinstance(value, str) else ""
        hint = f" (did you mean {words[like]}?)" if like else ""
        raise place.refuse(f"{quoted(value)} is not known{hint}; accepted: {field.told}")
    return meant


def _words(value: Any, field: Field, place: Place) -> tuple[str, ...]:
    if isinstance(value, str):
        value = [word for word in value.split(",") if word.strip()] or [value]
    if not isinstance(value, list | tuple):
        raise place.refuse(f"{quoted(value)} is not accepted; accepted: {field.told}")
    return tuple(dict.fromkeys(_word(word, field, place) for word in value))


def _lines(value: Any, field: Field, place: Place, parted: str) -> list[str]:
    """Return a list of lines; one text may hold several, parted by one of the signs."""
    if isinstance(value, str):
        value = re.split(parted, value)
    if not isinstance(value, list | tuple) or not all(isinstance(line, str) for line in value):
        raise place.refuse(f"{quoted(value)} is not accepted; accepted: {field.told}")
    return [line.strip() for line in value if line.strip()]


def _salts(value: Any, field: Field, place: Place) -> tuple[str, ...]:
    # loaded only where salts are named: the table of molar masses takes long
    from leafgill.science.salts import salt_of

    found: dict[str, None] = {}
    for line in _lines(value, field, place, "[,;]"):
        try:
            found[salt_of(line).key] = None
        except ValueError as wrong:
            raise place.refuse(f"{wrong}; accepted: {field.told}") from None
    return tuple(found)


def _bottles(value: Any, field: Field, place: Place) -> tuple[Bottle, ...]:
    found: dict[str, Bottle] = {}
    for line in _lines(value, field, place, ";"):
        try:
            bottle = bottle_of(line)
        except InputError as wrong:
            raise place.refuse(str(wrong)) from None
        if bottle.name.casefold() in found:
            raise place.refuse(f'two bottles are called "{bottle.name}"; each needs its own name')
        found[bottle.name.casefold()] = bottle
    return tuple(found.values())


def _text(value: Any, field: Field, place: Place) -> str:
    text = " ".join(value.split()) if isinstance(value, str) else ""
    if not text or not text.isprintable() or len(text) > _LONGEST_NAME:
        raise place.refuse(f"{quoted(value)} is not accepted; accepted: {field.told}")
    return text


def _zone(value: Any, field: Field, place: Place) -> str:
    try:
        return zone(value if isinstance(value, str) else "").key
    except InputError:
        like = nearest_zone(value) if isinstance(value, str) else ""
        hint = f" (did you mean {like}?)" if like else ""
        raise place.refuse(f"{quoted(value)} is not known{hint}; accepted: {field.told}") from None


def _truth(value: Any, field: Field, place: Place) -> bool:
    if not isinstance(value, bool):
        raise place.refuse(f"{quoted(value)} is not accepted; accepted: {field.told}")
    return value


def _time(value: Any, field: Field, place: Place) -> time:
    if isinstance(value, time) and value.tzinfo is None:
        return value
    try:
        if isinstance(value, str):
            return parse_clock(value, end_of_day=place.key.endswith("_off"))
    except InputError:
        pass
    raise place.refuse(f"{quoted(value)} is not accepted; accepted: {field.told}")


_READERS: dict[str, Callable[[Any, Field, Place], Any]] = {
    "number": _number,
    "whole": _whole,
    "word": _word,
    "words": _words,
    "text": _text,
    "zone": _zone,
    "truth": _truth,
    "time": _time,
    "salts": _salts,
    "bottles": _bottles,
}
