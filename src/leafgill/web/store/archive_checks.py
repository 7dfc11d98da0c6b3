"""What an archive brings, held against what a tank may be; nothing is written before that."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

import numpy as np

from leafgill.diary import SENSORS, Entry
from leafgill.errors import InputError, quoted
from leafgill.tank.spec import Tank
from leafgill.tank.toml_file import tank_content
from leafgill.tank.writing import to_toml
from leafgill.web.ingest.parcel import MOST
from leafgill.web.store.archive_format import Kept, Sensor
from leafgill.web.store.archive_reader import Archive

_REPLIES = ("", "done", "not now", "fish")
_MOST_TASKS, _MOST_STEPS = 1_000, 200_000


@dataclass(frozen=True)
class Ready:
    """One tank of an archive, checked and ready to become rows; `sensors` are read once."""

    kept: Kept
    tank: Tank
    specs: list[tuple[datetime, str]]
    entries: list[tuple[Entry, dict[str, str]]]
    sensors: list[Sensor]


def ready_of(opened: Archive, number: int, name: str) -> Ready:
    """Return a tank of an archive, by its place, checked to the last reading.

    Raises InputError, in one line, for anything that could not be brought back.
    """
    kept = opened.tank(number)
    place = f"{name}: {quoted(kept.name)}"
    if not kept.specs:
        raise InputError("has no description", place)
    specs, tank = [], None
    for valid_from, text in kept.specs:
        tank = Tank.from_mapping(tank_content(text.encode(), place), where=place)
        specs.append((_moment(valid_from, place), to_toml(tank)))
    assert tank is not None
    if len(kept.tasks) > _MOST_TASKS or len(kept.steps) > _MOST_STEPS:
        raise InputError("has more tasks or steps than any tank", place)
    for task in kept.tasks:
        _check_task(task, place)
    for step in kept.steps:
        _check_step(step, place)
    sensors = [_checked_sensor(sensor, place) for sensor in kept.sensors()]
    if len({sensor.name for sensor in sensors}) < len(sensors):
        raise InputError("has one sensor twice", place)
    _moment(kept.created, place)
    return Ready(kept, tank, specs, _entries(kept, place), sensors)


def _entries(kept: Kept, place: str) -> list[tuple[Entry, dict[str, str]]]:
    found = []
    for line, row in enumerate(kept.entries, start=2):
        where = f"{place} entries.csv line {line}"
        try:
            entry = Entry(
                _moment(row["time"], where), row["kind"], row["value"], row["unit"], row["note"]
            )
        except InputError as wrong:
            raise InputError(wrong.message, where) from None
        _moment(row["made_at"], where)
        if row["removed_at"]:
            _moment(row["removed_at"], where)
        found.append((entry, row))
    return found


def _checked_sensor(sensor: Sensor, place: str) -> Sensor:
    info = SENSORS.get(sensor.kind)
    if info is None or len(sensor.name) > 40:
        raise InputError(f"has the sensor {quoted(sensor.kind)}, which is not known", place)
    low, high = info.accepted
    values, times_s = sensor.values, sensor.times_s
    # what is doubted may be anything that a sensor could send
    could_be = np.where(
        sensor.flags != 0, np.abs(values) <= MOST, (values >= low) & (values <= high)
    )
    if not bool(could_be.all()):
        raise InputError(f"has readings of {sensor.kind} that cannot be", place)
    if (np.diff(times_s) <= 0).any():
        raise InputError(f"has readings of {sensor.kind} out of order", place)
    return sensor


def _check_task(task: dict[str, Any], place: str) -> None:
    what, days = task.get("what"), task.get("every_days")
    fine = isinstance(what, str) and 0 < len(what) <= 120 and isinstance(task.get("note"), str)
    if not fine or not isinstance(days, int) or not 1 <= days <= 3650:
        raise InputError(f"has a task that cannot be meant: {quoted(what)}", place)
    if task.get("last_done") is not None:
        _moment(task["last_done"], place)


def _check_step(step: dict[str, Any], place: str) -> None:
    if step.get("reply") not in _REPLIES or not isinstance(step.get("payload"), dict):
        raise InputError("has a step that cannot be meant", place)
    _moment(step.get("made_at"), place)
    if step.get("replied_at") is not None:
        _moment(step["replied_at"], place)


def _moment(text: Any, place: str) -> datetime:
    """Return an aware time. Raises InputError for anything else."""
    try:
        when = datetime.fromisoformat(text)
    except (TypeError, ValueError):
        raise InputError(f"time {quoted(text)} cannot be read", place) from None
    if when.tzinfo is None or not 1970 <= when.year <= 2199:
        raise InputError(f"time {quoted(text)} cannot be meant", place)
    return when
