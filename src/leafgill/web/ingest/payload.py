"""The reading in one message: a number, or a place within JSON."""

from __future__ import annotations

import json
import re
from typing import Any

from leafgill.errors import InputError, quoted

LARGEST = 65_536
_LONGEST_NUMBER = 40
_NUMBER = re.compile(r"[-+]?([0-9]+([.,][0-9]*)?|[.,][0-9]+)([eE][-+]?[0-9]{1,3})?", re.ASCII)
_STEP = re.compile(r"[^.\[\]]+|\[[0-9]{1,4}\]")
_DEEPEST = 12


def number_of(given: Any, what: str = "value") -> float:
    """Return the number that a text or a JSON value is. Raises InputError where it is none."""
    if isinstance(given, bool) or given is None:
        raise InputError(f"{what} {quoted(json.dumps(given))} is no number")
    if isinstance(given, int | float):
        try:
            return float(given)
        except OverflowError:
            raise InputError(f"{what} {quoted(given)} is no number that can be read") from None
    if isinstance(given, str):
        text = given.strip()
        if len(text) <= _LONGEST_NUMBER and _NUMBER.fullmatch(text):
            return float(text.replace(",", "."))
    raise InputError(f"{what} {quoted(given)} is no number")


def text_of(data: bytes) -> str:
    """Return a message as text. Raises InputError for one too large, empty, or of other bytes."""
    if len(data) > LARGEST:
        raise InputError(f"a message of {len(data)} bytes is too large; accepted: {LARGEST}")
    try:
        text = data.decode("utf-8").lstrip("\ufeff").strip()
    except UnicodeDecodeError:
        raise InputError("the message is no text (UTF-8)") from None
    if not text:
        raise InputError("the message is empty")
    return text


def json_of(text: str) -> Any:
    """Return what JSON says. Raises InputError for what is none, NaN and Infinity included."""
    try:
        return json.loads(text, parse_constant=_no_constant)
    except (ValueError, RecursionError):
        raise InputError(f"{quoted(text)} is no JSON") from None


def _no_constant(name: str) -> Any:
    raise ValueError(name)


def steps_of(path: str) -> tuple[str | int, ...]:
    """Return the steps of a path such as `water.ph` or `readings[0].value`.

    Raises InputError for one that is none.
    """
    steps: list[str | int] = []
    rest = path.strip()
    while rest:
        found = _STEP.match(rest)
        if found is None or len(steps) == _DEEPEST:
            raise InputError(f"path {quoted(path)} is none; accepted: water.ph or readings[0].ph")
        part = found[0]
        steps.append(int(part[1:-1]) if part.startswith("[") else part.strip())
        rest = rest[found.end() :]
        if rest.startswith(".") and len(rest) > 1 and rest[1] not in ".[]":
            rest = rest[1:]
        elif rest and not rest.startswith("["):
            raise InputError(f"path {quoted(path)} is none; accepted: water.ph or readings[0].ph")
    return tuple(steps)


def at_path(content: Any, steps: tuple[str | int, ...], path: str) -> Any:
    """Return what stands at a path. Raises InputError where there is nothing."""
    for step in steps:
        # a list may be stepped into by a bare number as well
        index = int(step) if isinstance(step, str) and step.isdecimal() and len(step) < 5 else step
        if isinstance(content, dict) and str(step) in content:
            content = content[str(step)]
        elif isinstance(content, list) and isinstance(index, int) and index < len(content):
            content = content[index]
        else:
            raise InputError(f"there is nothing at {quoted(path)}")
    return content
