"""Writing an archive."""

from __future__ import annotations

import csv
import io
import json
import zipfile
from collections.abc import Iterable
from typing import IO, Any

import numpy as np

from leafgill.web.store.archive_format import (
    ENTRY_COLUMNS,
    FORMAT,
    MANIFEST,
    VERSION,
    Kept,
    Sensor,
)


def write(tanks: Iterable[Kept], out: IO[bytes], made_at: str, program: str) -> None:
    """Write an archive; one tank and one sensor at a time are in memory."""
    listed = []
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for number, tank in enumerate(tanks, start=1):
            listed.append(_write_tank(archive, f"tanks/{number}", tank))
        manifest = {
            "format": FORMAT,
            "version": VERSION,
            "program": program,
            "made_at": made_at,
            "tanks": listed,
        }
        archive.writestr(MANIFEST, _json(manifest))


def _write_tank(archive: zipfile.ZipFile, folder: str, tank: Kept) -> dict[str, Any]:
    specs = []
    for nth, (valid_from, text) in enumerate(tank.specs, start=1):
        archive.writestr(f"{folder}/spec-{nth}.toml", text)
        specs.append({"valid_from": valid_from, "file": f"spec-{nth}.toml"})
    table = io.StringIO()
    writer = csv.DictWriter(table, ENTRY_COLUMNS, lineterminator="\n")
    writer.writeheader()
    writer.writerows(tank.entries)
    archive.writestr(f"{folder}/entries.csv", table.getvalue())
    sensors = []
    for nth, sensor in enumerate(tank.sensors(), start=1):
        name = f"readings-{nth}.csv"
        archive.writestr(f"{folder}/{name}", _readings_text(sensor))
        sensors.append(
            {
                "name": sensor.name,
                "kind": sensor.kind,
                "unit": sensor.unit,
                "file": name,
                "readings": len(sensor.times_s),
            }
        )
    archive.writestr(f"{folder}/tasks.json", _json(tank.tasks))
    archive.writestr(f"{folder}/steps.json", _json(tank.steps))
    return {
        "folder": folder,
        "name": tank.name,
        "created": tank.created,
        "archived_at": tank.archived_at,
        "specs": specs,
        "entries": len(tank.entries),
        "sensors": sensors,
        "tasks": len(tank.tasks),
        "steps": len(tank.steps),
    }


def _json(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False, indent=1)


def _readings_text(sensor: Sensor) -> bytes:
    import polars as pl  # only here: it is slow to load

    table = pl.DataFrame(
        {"time_s": sensor.times_s, "value": sensor.values, "flag": sensor.flags.astype(np.int16)}
    )
    return table.write_csv().encode()
