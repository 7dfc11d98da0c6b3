"""The columns of a probe file as the keeper sees them, and what the keeper said of them."""

from __future__ import annotations

from typing import Any

from leafgill.diary import SENSORS
from leafgill.diary.probe_mapping import TIME_FORMS, Mapping, guess
from leafgill.diary.table import Table, decode, read_table
from leafgill.diary.words import plain
from leafgill.errors import InputError
from leafgill.units import units_for

TIME, CLOCK, LEAVE = "time", "clock", ""
# The first rows of a file are enough to tell what its columns are.
_SAMPLE_BYTES, _SAMPLE_ROWS = 20_000, 6
MOST_COLUMNS = 60
_FORMS = {
    TIME_FORMS[0]: "as it stands (the year in front, or a day over 12 somewhere)",
    TIME_FORMS[1]: "day first, as 25.03.2025",
    TIME_FORMS[2]: "month first, as 3/25/2025",
    TIME_FORMS[3]: "seconds since 1970, as 1741075200",
    TIME_FORMS[4]: "milliseconds since 1970, as 1741075200000",
}
Chosen = dict[str, Any]


def shown_choices(data: bytes, name: str, chosen: Chosen | None = None) -> dict[str, Any]:
    """Return what the page of columns shows: each column with its first cells and its choice.

    `chosen` is what the keeper said, the guess where nothing was said yet. Raises InputError where
    the file is no table with a time and something beside it.
    """
    table = _sample(data, name)
    if chosen is None:
        chosen = _of_mapping(guess(table))
    titled = chosen["titled"]
    rows = [cells for _, cells in table.rows[:_SAMPLE_ROWS]]
    if not titled:
        rows = [table.titles, *rows[:-1]]
    columns = []
    for index, title in enumerate(table.titles):
        columns.append(
            {
                "index": index,
                "title": title if titled and title else f"Column {index + 1}",
                "cells": [cells[index] if index < len(cells) else "" for cells in rows],
                "is": chosen["columns"].get(str(index), LEAVE),
                "unit": chosen["units"].get(str(index), ""),
            }
        )
    return {
        "columns": columns,
        "uses": [
            (LEAVE, "leave out"),
            (TIME, "the date, or date and time"),
            (CLOCK, "the time of day alone"),
            *((sensor.name, sensor.says) for sensor in SENSORS.values()),
        ],
        "forms": list(_FORMS.items()),
        "form": chosen["form"],
        "utc": chosen["utc"],
        "titled": titled,
        "units": sorted({u for s in SENSORS.values() if s.unit for u in _units(s.unit)}),
    }


def _units(unit: str) -> tuple[str, ...]:
    return tuple({"degC": "°C", "degF": "°F"}.get(name, name) for name in units_for(unit))


def _sample(data: bytes, name: str) -> Table:
    """Return the first rows of a file as a table; its last row may be cut, and is left."""
    text, _ = decode(data[:_SAMPLE_BYTES], name)
    if len(data) > _SAMPLE_BYTES:
        text = text.rsplit("\n", 1)[0]
    table = read_table(text, name)
    if len(table.titles) < 2:
        raise InputError("has one column only; a probe file has a time and a reading", name)
    if {"kind", "value"} <= {plain(title) for title in table.titles}:
        raise InputError("is a diary, not what a sensor sent; bring it in as the diary", name)
    if len(table.titles) > MOST_COLUMNS:
        raise InputError(f"has more than {MOST_COLUMNS} columns", name)
    return table


def _of_mapping(mapping: Mapping) -> Chosen:
    columns = {str(mapping.time): TIME}
    if mapping.clock is not None:
        columns[str(mapping.clock)] = CLOCK
    columns |= {str(index): sensor for index, sensor, _ in mapping.sensors}
    return {
        "columns": columns,
        "units": {str(index): unit for index, _, unit in mapping.sensors if unit},
        "form": mapping.form,
        "utc": mapping.utc,
        "titled": mapping.titled,
    }


def read_choices(post: Any) -> Chosen:
    """Return what the keeper said of the columns; `post` is a QueryDict."""
    numbers = [str(index) for index in range(MOST_COLUMNS)]
    return {
        "columns": {n: post[f"is-{n}"] for n in numbers if post.get(f"is-{n}")},
        "units": {n: post[f"unit-{n}"][:12] for n in numbers if post.get(f"unit-{n}")},
        "form": post.get("form", TIME_FORMS[0]),
        "utc": post.get("clock") == "utc",
        "titled": not post.get("untitled"),
    }


def mapping_of(chosen: Chosen) -> Mapping:
    """Return the mapping the keeper meant. Raises InputError where it cannot be meant."""
    uses: dict[str, str] = chosen["columns"]
    times = [int(n) for n, use in uses.items() if use == TIME]
    clocks = [int(n) for n, use in uses.items() if use == CLOCK]
    if len(times) != 1:
        what = "two columns are" if len(times) > 1 else "no column is"
        raise InputError(f"{what} said to be the date; it takes one")
    if len(clocks) > 1:
        raise InputError("two columns are said to be the time of day; it takes one")
    unknown = [use for use in uses.values() if use not in (TIME, CLOCK) and use not in SENSORS]
    if unknown or chosen["form"] not in TIME_FORMS:
        raise InputError("something was chosen that is not offered")
    sensors = tuple(
        (int(n), use, chosen["units"].get(n, "") if SENSORS[use].unit else "")
        for n, use in uses.items()
        if use in SENSORS
    )
    return Mapping(
        times[0],
        sensors,
        clocks[0] if clocks else None,
        chosen["form"],
        chosen["utc"],
        chosen["titled"],
    )
