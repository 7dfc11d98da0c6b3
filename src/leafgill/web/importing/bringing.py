"""What an uploaded file would bring to a tank, in plain data, and bringing it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import asdict
from datetime import datetime
from typing import Any

from leafgill.diary import SENSORS, Entry
from leafgill.errors import InputError
from leafgill.tank.clock import zone
from leafgill.web.forms.entry_form import said
from leafgill.web.forms.entry_kinds import TITLES
from leafgill.web.forms.habits import Habits
from leafgill.web.importing import diary_file, probe_file, tank_file
from leafgill.web.importing.probe_columns import shown_choices
from leafgill.web.models import EntryRow, Keeper, TankRow
from leafgill.web.pending import Held
from leafgill.web.store.entries import add_entries, entry_of
from leafgill.web.store.readings import add_readings, readings_of_kind, sensor_for
from leafgill.web.store.tanks import change_spec, spec_of

# A preview lists this many rows and faults; the counts are of all.
SHOWN = 100


def look_at(
    kind: str, row: TankRow, name: str, data: bytes, habits: Habits
) -> tuple[dict[str, Any], dict[str, bytes]]:
    """Return what a file of a kind ("diary", "probe", "tank") would bring, and the files to keep.

    The columns of a probe file may have to be asked for: "columns_open" tells so. Raises
    InputError, in one line, for a file that is none.
    """
    about = _LOOK[kind](row, name, data, habits)
    files: dict[str, bytes] = about.pop("files", {"data": data})
    return about, files


def bring(kind: str, row: TankRow, held: Held, keeper: Keeper) -> None:
    """Bring in what was looked at."""
    _BRING[kind](row, held, keeper)


def streams_shown(held: Held, row: TankRow, habits: Habits) -> list[dict[str, Any]]:
    """Return the readings of a looked-at file as a page shows them."""
    here = zone(spec_of(row).timezone)
    shown = []
    for told in held.about.get("streams", []):
        info = SENSORS[told["sensor"]]
        ends = (datetime.fromtimestamp(told[key], here) for key in ("first_s", "last_s"))
        first, last = (f"{at:%Y-%m-%d %H:%M}" for at in ends)
        low, high = (habits.words(told[key], info.unit) for key in ("low", "high"))
        unit = habits.shown_unit(info.unit)
        shown.append(
            {**told, "says": info.says.split(",")[0], "first": first, "last": last}
            | {"range": f"{low} to {high} {unit}".strip()}
        )
    return shown


def _look_at_diary(row: TankRow, name: str, data: bytes, habits: Habits) -> dict[str, Any]:
    found = _diary_of(row, data, name)
    return {
        "new": len(found.new),
        "there": found.there,
        "removed": found.removed,
        "rows": [_row_told(entry, habits) for entry in found.new[:SHOWN]],
        "errors": [str(finding) for finding in found.errors[:SHOWN]],
        "error_count": len(found.errors),
        "findings": [str(finding) for finding in found.findings[:SHOWN]],
    }


def _diary_of(row: TankRow, data: bytes, name: str) -> diary_file.DiaryFile:
    timezone = spec_of(row).timezone
    here, rows = zone(timezone), EntryRow.objects.filter(tank=row)
    there = [entry_of(at, here) for at in rows.filter(removed_at__isnull=True)]
    removed = [entry_of(at, here) for at in rows.filter(removed_at__isnull=False)]
    return diary_file.read_file(data, name, timezone, there, removed)


def _row_told(entry: Entry, habits: Habits) -> dict[str, str]:
    return {
        "when": f"{entry.time:%Y-%m-%d %H:%M}",
        "title": TITLES[entry.kind],
        "said": said(entry, habits),
        "note": entry.note,
    }


def _look_at_probe(row: TankRow, name: str, data: bytes, habits: Habits) -> dict[str, Any]:
    timezone = spec_of(row).timezone
    try:
        found = probe_file.read_file(data, name, timezone)
    except InputError as wrong:
        # its columns may be anything; a file that is no table at all is refused here
        choices = shown_choices(data, name)
        return {"columns_open": True, "choices": choices, "why": str(wrong)}
    return {**streams_told(row, found), "files": _probe_files(data, found)}


def _probe_files(data: bytes, found: probe_file.ProbeFile) -> dict[str, bytes]:
    return {"data": data, "streams": probe_file.packed(found.streams)}


def streams_told(row: TankRow, found: probe_file.ProbeFile) -> dict[str, Any]:
    """Return how a file's readings compare with those there, in plain data."""
    told = []
    for sensor, stream in found.streams.items():
        first, last = int(stream.times_s[0]), int(stream.times_s[-1])
        old = readings_of_kind(row, sensor, first, last)
        told.append(asdict(probe_file.compared(sensor, stream.times_s, stream.values, *old)))
    return {
        "streams": told,
        "findings": [str(finding) for finding in found.findings[:SHOWN]],
        "columns_open": False,
    }


def _look_at_tank(row: TankRow, name: str, data: bytes, habits: Habits) -> dict[str, Any]:
    new = tank_file.read_file(data, name)
    return {
        "differences": [list(d) for d in tank_file.differences(spec_of(row), new, habits)],
        "findings": list(new.findings),
    }


_LOOK: dict[str, Callable[[TankRow, str, bytes, Habits], dict[str, Any]]] = {
    "diary": _look_at_diary,
    "probe": _look_at_probe,
    "tank": _look_at_tank,
}


def _bring_diary(row: TankRow, held: Held, keeper: Keeper) -> None:
    found = _diary_of(row, held.read("data"), held.about["name"])
    add_entries(row, found.new, keeper)


def _bring_probe(row: TankRow, held: Held, keeper: Keeper) -> None:
    for sensor, (times_s, values) in probe_file.unpacked(held.read("streams")).items():
        add_readings(sensor_for(row, sensor), times_s, values)


def _bring_tank(row: TankRow, held: Held, keeper: Keeper) -> None:
    change_spec(row, tank_file.read_file(held.read("data"), held.about["name"]), keeper)


_BRING: dict[str, Callable[[TankRow, Held, Keeper], None]] = {
    "diary": _bring_diary,
    "probe": _bring_probe,
    "tank": _bring_tank,
}
