"""Reading an archive that may have been made to do harm."""

from __future__ import annotations

import csv
import io
import json
import zipfile
from collections.abc import Iterator
from typing import IO, Any

from leafgill.errors import InputError, quoted
from leafgill.web.store.archive_format import (
    ENTRY_COLUMNS,
    FORMAT,
    LARGEST_MANIFEST,
    LARGEST_MEMBER,
    LARGEST_TOTAL,
    MANIFEST,
    MOST_ENTRIES,
    MOST_READINGS,
    MOST_SENSORS,
    MOST_SPECS,
    MOST_TANKS,
    VERSION,
    Flags,
    Kept,
    Sensor,
    Times,
    Values,
)


class Archive:
    """An archive opened for reading.

    Raises InputError, on opening and while reading, for anything that is no archive of ours, that
    is damaged, or that is larger than anything a tank needs.
    """

    def __init__(self, file: IO[bytes], name: str = "archive.zip") -> None:
        self.name = name
        self._left = LARGEST_TOTAL
        try:
            self._zip = zipfile.ZipFile(file)
        except (zipfile.BadZipFile, OSError, ValueError, NotImplementedError):
            raise InputError("is no zip file", name) from None
        names = self._zip.namelist()
        if len(names) != len(set(names)):
            raise InputError("holds a name twice", name)
        self._manifest = self._checked(self._data(MANIFEST, LARGEST_MANIFEST))

    # -- what is in it

    @property
    def made_at(self) -> str:
        """When it was made, as it says itself."""
        return str(self._manifest.get("made_at", ""))[:40]

    @property
    def tanks(self) -> list[dict[str, Any]]:
        """What the manifest tells of each tank."""
        return list(self._manifest["tanks"])

    def tank(self, number: int) -> Kept:
        """Return a tank by its place in `tanks`; its sensors are read when they are asked for."""
        told = self._manifest["tanks"][number]
        folder = _folder(told, self.name)
        specs = [
            (_text(spec, "valid_from", self.name), self._words(f"{folder}/spec-{nth}.toml"))
            for nth, spec in enumerate(_list(told, "specs", MOST_SPECS, self.name), start=1)
        ]
        return Kept(
            name=_text(told, "name", self.name),
            created=_text(told, "created", self.name),
            archived_at=told.get("archived_at") and _text(told, "archived_at", self.name),
            specs=specs,
            entries=self._entries(f"{folder}/entries.csv"),
            sensors=lambda: self._sensors(told, folder),
            tasks=self._dicts(f"{folder}/tasks.json"),
            steps=self._dicts(f"{folder}/steps.json"),
        )

    # -- its members

    def _checked(self, data: bytes) -> dict[str, Any]:
        manifest = self._parsed(data, MANIFEST)
        if not isinstance(manifest, dict) or manifest.get("format") != FORMAT:
            raise InputError("is no archive of tanks", self.name)
        version = manifest.get("version")
        if version != VERSION:
            raise InputError(
                f"is of version {quoted(version)}; this program reads version {VERSION}", self.name
            )
        for tank in _list(manifest, "tanks", MOST_TANKS, self.name):
            _folder(tank, self.name)
        return manifest

    def _data(self, member: str, most: int | None = None) -> bytes:
        """Return a member's bytes, counting what really comes out of it."""
        most = min(LARGEST_MEMBER if most is None else most, self._left)
        try:
            with self._zip.open(member) as opened:
                data = opened.read(most + 1)
        except KeyError:
            raise InputError(f"lacks {member}", self.name) from None
        except (zipfile.BadZipFile, OSError, EOFError, RuntimeError, ValueError) as wrong:
            # RuntimeError: encrypted; others: damaged
            raise InputError(f"{member} cannot be read ({wrong})", self.name) from None
        except Exception as wrong:  # zlib.error and its kin share no base with the others
            raise InputError(f"{member} is damaged ({type(wrong).__name__})", self.name) from None
        if len(data) > most:
            raise InputError(f"{member} is larger than anything a tank needs", self.name)
        self._left -= len(data)
        return data

    def _words(self, member: str) -> str:
        try:
            return self._data(member, LARGEST_MANIFEST).decode("utf-8")
        except UnicodeDecodeError:
            raise InputError(f"{member} is not UTF-8 text", self.name) from None

    def _parsed(self, data: bytes, member: str) -> Any:
        try:
            return json.loads(data)
        except (ValueError, RecursionError):
            raise InputError(f"{member} cannot be read", self.name) from None

    def _dicts(self, member: str) -> list[dict[str, Any]]:
        found = self._parsed(self._data(member), member)
        if not isinstance(found, list) or not all(isinstance(item, dict) for item in found):
            raise InputError(f"{member} is no list of things", self.name)
        return found

    def _entries(self, member: str) -> list[dict[str, str]]:
        try:
            text = self._data(member).decode("utf-8")
            rows = list(csv.DictReader(io.StringIO(text, newline="")))
        except (UnicodeDecodeError, csv.Error):
            raise InputError(f"{member} cannot be read", self.name) from None
        if len(rows) > MOST_ENTRIES:
            raise InputError(f"{member} has more rows than anything a tank needs", self.name)
        for nth, row in enumerate(rows, start=2):
            if set(row) != set(ENTRY_COLUMNS) or any(value is None for value in row.values()):
                raise InputError(f"{member} line {nth} has not the columns of a diary", self.name)
        return rows

    def _sensors(self, told: dict[str, Any], folder: str) -> Iterator[Sensor]:
        for nth, sensor in enumerate(_list(told, "sensors", MOST_SENSORS, self.name), start=1):
            member = f"{folder}/readings-{nth}.csv"
            times_s, values, flags = self._readings(self._data(member), member)
            yield Sensor(
                _text(sensor, "name", self.name),
                _text(sensor, "kind", self.name),
                _text(sensor, "unit", self.name),
                times_s,
                values,
                flags,
            )

    def _readings(self, data: bytes, member: str) -> tuple[Times, Values, Flags]:
        import polars as pl

        schema: dict[str, type[pl.DataType]] = {
            "time_s": pl.Int64,
            "value": pl.Float64,
            "flag": pl.Int16,
        }
        try:
            table = pl.read_csv(io.BytesIO(data), schema=schema)
        except pl.exceptions.PolarsError:
            raise InputError(f"{member} cannot be read", self.name) from None
        if table.height > MOST_READINGS or table.null_count().sum_horizontal().item():
            raise InputError(f"{member} cannot be meant", self.name)
        times_s = table["time_s"].to_numpy()
        return times_s, table["value"].to_numpy(), table["flag"].to_numpy()


def _folder(told: Any, name: str) -> str:
    """Return a tank's folder; a number and nothing else after "tanks/"."""
    folder = told.get("folder") if isinstance(told, dict) else None
    if not isinstance(folder, str) or not folder.startswith("tanks/"):
        raise InputError("names a tank without its folder", name)
    number = folder.removeprefix("tanks/")
    if not (number.isascii() and number.isdigit() and len(number) < 6):
        raise InputError(f"names the folder {quoted(folder)}", name)
    return folder


def _list(told: dict[str, Any], key: str, most: int, name: str) -> list[dict[str, Any]]:
    found = told.get(key)
    if not isinstance(found, list) or not all(isinstance(item, dict) for item in found):
        raise InputError(f"{MANIFEST} has no list of {key}", name)
    if len(found) > most:
        raise InputError(f"{MANIFEST} lists more than {most} {key}", name)
    return found


def _text(told: dict[str, Any], key: str, name: str) -> str:
    found = told.get(key)
    if not isinstance(found, str) or len(found) > 200:
        raise InputError(f"{MANIFEST}: {key} {quoted(found)} cannot be meant", name)
    return found
