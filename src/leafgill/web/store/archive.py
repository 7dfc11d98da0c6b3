"""Tanks into an archive and back: everything the store has of them, history included."""

from __future__ import annotations

import io
from collections.abc import Iterable, Iterator
from datetime import datetime
from importlib.metadata import version
from typing import IO, Any

import numpy as np
from django.db import transaction

from leafgill.diary import SENSORS, written
from leafgill.errors import InputError
from leafgill.web.models import (
    EntryRow,
    Keeper,
    ReadingRow,
    SensorRow,
    SpecRow,
    StepRow,
    TankRow,
    TaskRow,
)
from leafgill.web.store.archive_checks import Ready, ready_of
from leafgill.web.store.archive_format import Kept, Sensor
from leafgill.web.store.archive_reader import Archive
from leafgill.web.store.archive_writer import write
from leafgill.web.store.readings import put
from leafgill.web.store.tanks import create_tank, touch

# -- out


def save(rows: Iterable[TankRow], out: IO[bytes], now: datetime) -> None:
    """Write tanks with all there is of them to an archive."""
    write((_kept(row) for row in rows), out, now.isoformat(), version("leafgill"))


def _kept(row: TankRow) -> Kept:
    return Kept(
        name=row.name,
        created=row.created.isoformat(),
        archived_at=_iso(row.archived_at),
        specs=[
            (at.valid_from.isoformat(), at.toml)
            for at in SpecRow.objects.filter(tank=row).order_by("valid_from", "pk")
        ],
        entries=[_entry_columns(at) for at in _entry_rows(row)],
        sensors=lambda: _sensors(row),
        tasks=[
            {
                "what": task.what,
                "every_days": task.every_days,
                "last_done": _iso(task.last_done),
                "note": task.note,
            }
            for task in TaskRow.objects.filter(tank=row).order_by("pk")
        ],
        steps=[
            {
                "made_at": step.made_at.isoformat(),
                "payload": step.payload,
                "reply": step.reply,
                "replied_at": _iso(step.replied_at),
            }
            for step in StepRow.objects.filter(tank=row).order_by("made_at", "pk")
        ],
    )


def _entry_rows(row: TankRow) -> Iterable[EntryRow]:
    return EntryRow.objects.filter(tank=row).select_related("made_by").order_by("time", "pk")


def _entry_columns(at: EntryRow) -> dict[str, str]:
    return {
        "time": at.time.isoformat(),
        "kind": at.kind,
        "value": at.value,
        "unit": at.unit,
        "note": at.note,
        "made_by": at.made_by.username if at.made_by else "",
        "made_at": at.made_at.isoformat(),
        "removed_at": _iso(at.removed_at) or "",
    }


def _sensors(row: TankRow) -> Iterator[Sensor]:
    for sensor in SensorRow.objects.filter(tank=row).order_by("pk"):
        found = ReadingRow.objects.filter(sensor=sensor).order_by("time_s")
        rows = list(found.values_list("time_s", "value", "flag"))
        yield Sensor(
            sensor.name,
            sensor.kind,
            sensor.unit,
            np.array([time_s for time_s, _, _ in rows], dtype=np.int64),
            np.array([value for _, value, _ in rows], dtype=np.float64),
            np.array([flag for _, _, flag in rows], dtype=np.int16),
        )


def _iso(when: datetime | None) -> str | None:
    return None if when is None else when.isoformat()


# -- back


def look(data: bytes, name: str) -> dict[str, Any]:
    """Return what an archive holds, in plain data, after reading all of it.

    Raises InputError, in one line, for anything that could not be brought back.
    """
    opened = Archive(io.BytesIO(data), name)
    tanks = []
    for number in range(len(opened.tanks)):
        ready = ready_of(opened, number, name)
        tanks.append(
            {
                "name": ready.tank.name,
                "specs": len(ready.specs),
                "entries": len(ready.entries),
                "sensors": len(ready.sensors),
                "readings": sum(len(sensor.times_s) for sensor in ready.sensors),
                "tasks": len(ready.kept.tasks),
                "steps": len(ready.kept.steps),
            }
        )
    if not tanks:
        raise InputError("holds no tank", name)
    return {"made_at": opened.made_at[:10], "tanks": tanks}


def restore(data: bytes, name: str, keeper: Keeper, now: datetime) -> list[TankRow]:
    """Bring the tanks of an archive back as a keeper's own; all of them or none.

    Raises InputError as `look` does.
    """
    opened = Archive(io.BytesIO(data), name)
    with transaction.atomic():
        return [
            _restored(ready_of(opened, number, name), keeper, now)
            for number in range(len(opened.tanks))
        ]


def _restored(ready: Ready, keeper: Keeper, now: datetime) -> TankRow:
    row = create_tank(keeper, ready.tank)
    SpecRow.objects.filter(tank=row).delete()
    SpecRow.objects.bulk_create(
        SpecRow(tank=row, valid_from=valid_from, toml=text) for valid_from, text in ready.specs
    )
    row.created = datetime.fromisoformat(ready.kept.created)
    if ready.kept.archived_at:
        row.archived_at = now
    row.save(update_fields=["created", "archived_at"])
    _restore_entries(row, ready, keeper)
    for sensor in ready.sensors:
        _restore_sensor(row, sensor, now)
    TaskRow.objects.bulk_create(
        TaskRow(
            tank=row,
            what=task["what"],
            every_days=task["every_days"],
            last_done=_maybe(task.get("last_done")),
            note=task["note"],
        )
        for task in ready.kept.tasks
    )
    StepRow.objects.bulk_create(
        StepRow(
            tank=row,
            made_at=datetime.fromisoformat(step["made_at"]),
            payload=step["payload"],
            reply=step["reply"],
            replied_at=_maybe(step.get("replied_at")),
        )
        for step in ready.kept.steps
    )
    return row


def _maybe(text: str | None) -> datetime | None:
    return None if text is None else datetime.fromisoformat(text)


def _restore_entries(row: TankRow, ready: Ready, keeper: Keeper) -> None:
    """Bring the diary back; who wrote what is known only of the keeper who brings it back."""
    EntryRow.objects.bulk_create(
        (
            EntryRow(
                tank=row,
                time=entry.time,
                kind=entry.kind.value,
                value=written(entry),
                unit=entry.unit,
                note=entry.note,
                made_by=keeper if columns["made_by"] == keeper.username else None,
                made_at=datetime.fromisoformat(columns["made_at"]),
                removed_at=_maybe(columns["removed_at"] or None),
            )
            for entry, columns in ready.entries
        ),
        batch_size=1000,
    )


def _restore_sensor(row: TankRow, sensor: Sensor, now: datetime) -> None:
    made = SensorRow.objects.create(
        tank=row, name=sensor.name, kind=sensor.kind, unit=SENSORS[sensor.kind].unit, made_at=now
    )
    count = len(sensor.times_s)
    put(np.full(count, made.pk), sensor.times_s, sensor.values, sensor.flags.astype(np.int64))
    if count:
        touch(row)
