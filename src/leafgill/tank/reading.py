"""From TOML text to the values of a tank file, each fault one clear error."""

import difflib
import math
import tomllib
from datetime import time
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from leafgill.errors import InputError
from leafgill.tank.fields import FIELDS, Field
from leafgill.units import quantity

_HINTS = {
    "kh_dkh": "a value like this is usually in ppm; write kh_dkh = \"{value:g} ppm\"",
    "gh_dgh": "a value like this is usually in ppm; write gh_dgh = \"{value:g} ppm\"",
    "temperature_c": "in Fahrenheit write temperature_c = \"{value:g} °F\"",
}


def read_toml(path: Path) -> dict[str, Any]:
    """Return a TOML file's content. Raises InputError when there is none to read."""
    try:
        raw = path.read_bytes()
    except FileNotFoundError:
        raise InputError(f"{path.name}: no such file") from None
    except IsADirectoryError:
        raise InputError(f"{path.name} is a folder, not a tank file") from None
    except OSError as error:
        raise InputError(f"{path.name} cannot be read: {error.strerror}") from None
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        raise InputError(f"{path.name} line {line} is not UTF-8 text") from None
    if text.lstrip().lower().startswith("time,kind"):
        raise InputError(f"{path.name} is a diary; a tank file starts with [tank]")
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise InputError(f"{path.name} is not TOML: {error}") from None


def section_values(data: dict[str, Any], where: str) -> dict[str, dict[str, Any]]:
    """Return every section's values in the units inside. Raises InputError."""
    values: dict[str, dict[str, Any]] = {section: {} for section in FIELDS}
    for section, content in data.items():
        if section not in FIELDS:
            raise InputError(f"[{section}] is not known{_nearest(section, FIELDS)}", where)
        if not isinstance(content, dict):
            raise InputError(f"{section} = {content!r} must be a section, [{section}]", where)
        for key, value in content.items():
            field = FIELDS[section].get(key)
            if field is None:
                known = FIELDS[section]
                raise InputError(f"[{section}] {key} is not known{_nearest(key, known)}", where)
            values[section][key] = _READERS[field.sort](value, field, f"[{section}] {key}", where)
    _known_zone(values["tank"].get("timezone"), where)
    return values


def as_windows(day: dict[str, Any], where: str) -> None:
    """Check that hours come in pairs. Raises InputError."""
    for on, off in (("lights_on", "lights_off"), ("gas_on", "gas_off"), ("air_on", "air_off")):
        for here, there in ((on, off), (off, on)):
            if here in day and there not in day:
                raise InputError(f"[day] {here} = {day[here]:%H:%M} needs {there} too", where)


def _nearest(word: str, known: Any) -> str:
    close = difflib.get_close_matches(word, known, n=1, cutoff=0.5)
    return f"; did you mean {close[0]}?" if close else "; known: " + ", ".join(known)


def _number(value: Any, field: Field, what: str, where: str) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        raise InputError(f"{what} = {_shown(value)} is not a number in {_unit(field)}", where)
    try:
        number = quantity(value, field.unit, what=what)
    except InputError as error:
        raise InputError(str(error), where) from None
    assert field.accepted is not None
    low, high = field.accepted
    if not (math.isfinite(number) and low <= number <= high):
        key = what.rsplit(" ", 1)[-1]
        hint = _HINTS.get(key) if number > high and not isinstance(value, str) else None
        message = f"{what} = {_shown(value)}; accepted: {low:g} to {high:g} {_unit(field)}".rstrip()
        raise InputError(f"{message}; {hint.format(value=number)}" if hint else message, where)
    return number


def _whole(value: Any, field: Field, what: str, where: str) -> int:
    assert field.accepted is not None
    low, high = field.accepted
    if isinstance(value, bool) or not isinstance(value, int) or not low <= value <= high:
        raise InputError(f"{what} = {_shown(value)}; accepted: a whole number, {low:g} to {high:g}",
                         where)
    return value


def _words(value: Any, field: Field, what: str, where: str) -> str:
    if not isinstance(value, str) or value not in field.choices:
        near = _nearest(value, field.choices) if isinstance(value, str) else ""
        guess = near if near.startswith("; did") else ""
        raise InputError(
            f"{what} = {_shown(value)}; accepted: {', '.join(field.choices)}{guess}", where
        )
    return value


def _text(value: Any, field: Field, what: str, where: str) -> str:
    if not isinstance(value, str) or not value.strip() or not value.isprintable():
        raise InputError(f"{what} = {_shown(value)} is not a line of text ({field.meaning})", where)
    return value.strip()


def _truth(value: Any, field: Field, what: str, where: str) -> bool:
    if not isinstance(value, bool):
        raise InputError(f"{what} = {_shown(value)}; accepted: true or false", where)
    return value


def _time(value: Any, field: Field, what: str, where: str) -> time:
    if isinstance(value, time):
        return value.replace(second=0, microsecond=0)
    if isinstance(value, str):
        hours, _, minutes = value.strip().partition(":")
        if hours.isdecimal() and minutes.isdecimal() and len(minutes) == 2:
            if (int(hours), int(minutes)) == (24, 0):
                return time(0)
            if int(hours) < 24 and int(minutes) < 60:
                return time(int(hours), int(minutes))
    raise InputError(f"{what} = {_shown(value)}; accepted: a time of day such as \"12:30\"", where)


def _list(value: Any, field: Field, what: str, where: str) -> tuple[str, ...]:
    if not isinstance(value, list):
        raise InputError(f'{what} = {_shown(value)}; accepted: a list such as ["fish"]', where)
    return tuple(_words(item, field, what, where) for item in value)


_READERS = {
    "number": _number,
    "whole": _whole,
    "words": _words,
    "text": _text,
    "truth": _truth,
    "time": _time,
    "list": _list,
}


def _known_zone(name: str | None, where: str) -> None:
    if name is None:
        return
    try:
        ZoneInfo(name)
    except (ValueError, OSError, LookupError):
        raise InputError(
            f'[tank] timezone = "{name}" is not known; accepted: a zone such as Europe/Berlin '
            "or UTC",
            where,
        ) from None


def _shown(value: Any) -> str:
    if isinstance(value, str):
        return f'"{value}"'
    return str(value).lower() if isinstance(value, bool) else str(value)


def _unit(field: Field) -> str:
    return {"degC": "°C"}.get(field.unit, field.unit)
