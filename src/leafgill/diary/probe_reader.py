"""Reading probe files: thousands of readings fast, and odd files forgivingly."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime

import numpy as np

from leafgill.diary.csv_reader import grouped
from leafgill.diary.finding import Finding, some_lines, warning
from leafgill.diary.plausible import check_readings
from leafgill.diary.probe_fast import TIME_TITLES, Readings, read_fast
from leafgill.diary.probe_mapping import Mapping, mapped, told
from leafgill.diary.probe_order import in_order
from leafgill.diary.sensors import SENSORS, converted, sensor_column
from leafgill.diary.stream import Stream
from leafgill.diary.table import Table, decode, header_shown, read_table
from leafgill.diary.times import FIRST_YEAR, LAST_YEAR, date_order, parse_time
from leafgill.diary.wall import EPOCH
from leafgill.diary.words import plain, shown
from leafgill.errors import InputError

_NUMBER = re.compile(r"[-+]?\d*(?:[.,]\d*)?")
_ACCEPTED = "accepted: time and any of " + ", ".join(SENSORS)


@dataclass
class _Column:
    sensor: str
    unit: str
    times: list[int] = field(default_factory=list)
    values: list[float] = field(default_factory=list)
    lines: list[int] = field(default_factory=list)
    wrong: list[int] = field(default_factory=list)
    sample: str = ""

    def readings(self, local: bool) -> Readings:
        values = converted(np.array(self.values, dtype=np.float64), self.sensor, self.unit)
        times, lines = np.array(self.times, np.int64), np.array(self.lines, np.int64)
        return Readings(self.sensor, times, values, lines, local)


def read_probe(
    data: bytes,
    name: str = "probe.csv",
    mapping: Mapping | None = None,
    *,
    keep_outside: bool = False,
) -> tuple[dict[str, Stream], list[Finding]]:
    """Return a probe file's streams by sensor, and everything noticed.

    With a mapping the file's columns are what it says, whatever their titles. Numbers that the
    sensor cannot show are left out, unless `keep_outside` leaves that to whoever asks. Raises
    InputError when the file is empty, is no probe file, or its readings cannot be meant.
    """
    if not data.strip():
        raise InputError(f"the file is empty; {_ACCEPTED}", name)
    if mapping is not None:
        columns, findings = _by_mapping(data, name, mapping)
    else:
        columns, findings = read_fast(data, name) or _forgiving(data, name)
    streams: dict[str, Stream] = {}
    for read in columns:
        if keep_outside:
            streams[read.sensor] = Stream(
                read.sensor, read.times_s, read.values, read.local, read.second_pass
            )
            continue
        keep, found = check_readings(read.sensor, read.times_s, read.values, read.lines, name)
        findings += found
        passes = None if read.second_pass is None else read.second_pass[keep]
        streams[read.sensor] = Stream(
            read.sensor, read.times_s[keep], read.values[keep], read.local, passes
        )
    return streams, list(dict.fromkeys(findings))


def _forgiving(data: bytes, name: str) -> tuple[list[Readings], list[Finding]]:
    text, findings = decode(data, name)
    table = read_table(text, name)
    return _of_table(table, findings + table.findings)


def _by_mapping(data: bytes, name: str, mapping: Mapping) -> tuple[list[Readings], list[Finding]]:
    text, findings = decode(data, name)
    table = read_table(text, name)
    noticed = findings + table.findings + told(table, mapping)
    return _of_table(mapped(table, mapping), noticed)


def _of_table(table: Table, findings: list[Finding]) -> tuple[list[Readings], list[Finding]]:
    name = table.name
    time_at, columns = _columns(table.titles, table.header_line, name, findings)
    order = date_order([cells[time_at] for _, cells in table.rows if len(cells) > time_at])
    notes: list[Finding] = []
    local: bool | None = None
    split_by_comma = table.separator == "," and len(table.titles) == 2 and time_at == 0
    for line, cells in table.rows:
        row = _joined(cells) if split_by_comma and len(cells) == 3 else cells
        typed = row[time_at] if len(row) > time_at else ""
        when, forgiven = _time(typed, order, name, line)
        notes += [warning(kind, f'time "{shown(typed)}" is read', line) for kind in forgiven]
        is_local = when.tzinfo is None
        if local is not None and local != is_local:
            raise InputError(
                f'"{shown(typed)}" {"has no offset" if is_local else "has an offset"}, unlike the '
                "lines above; accepted: all with or all without",
                f"{name} line {line}, column time",
            )
        local = is_local
        seconds = round((when - EPOCH).total_seconds() if is_local else when.timestamp())
        _take(columns, row, seconds, line, notes)
    readings = []
    for column in columns.values():
        findings += _wrong_cells(column, name)
        tidy, found = in_order(column.readings(local is not False), name)
        readings.append(tidy)
        findings += found
    return readings, findings + grouped(notes, name)


def _joined(cells: list[str]) -> list[str]:
    """Return a row whose decimal comma was taken for a separator, mended."""
    if not (cells[1].lstrip("-+").isdigit() and cells[2].isdigit()):
        return cells
    return [cells[0], f"{cells[1]},{cells[2]}"]


def _columns(
    titles: Sequence[str], line: int, name: str, findings: list[Finding]
) -> tuple[int, dict[int, _Column]]:
    """Return where the time stands, and each sensor's column. Raises InputError without them."""
    words = [plain(title) for title in titles]
    where, header = f"{name} line {line}", f'header "{header_shown(titles)}"'
    if "kind" in words:
        raise InputError(f"{header} is that of a diary, not a probe file; {_ACCEPTED}", where)
    if titles[0].startswith("["):
        raise InputError(f"this is a tank file, not a probe file; {_ACCEPTED}", name)
    time_at = next((i for i, title in enumerate(words) if title in TIME_TITLES), None)
    if time_at is None:
        raise InputError(f"{header} has no column time; {_ACCEPTED}", where)
    columns: dict[int, _Column] = {}
    for index, title in enumerate(titles):
        sensor = sensor_column(title)
        if index == time_at or not title:
            continue
        if sensor is None:
            message = f'column "{shown(title)}" is no known sensor; not read'
            findings.append(warning("unknown-column", message, line, file=name))
        elif any(column.sensor == sensor[0] for column in columns.values()):
            raise InputError(f"{header} has the sensor {sensor[0]} twice; accepted: once", where)
        else:
            columns[index] = _Column(*sensor)
    if not columns:
        raise InputError(f"{header} has no sensor; {_ACCEPTED}", where)
    return time_at, columns


def _time(text: str, order: str | None, name: str, line: int) -> tuple[datetime, tuple[str, ...]]:
    if len(text) in (16, 19, 20) and text[10] == "T" and (len(text) < 20 or text[19] == "Z"):
        try:
            when = datetime.fromisoformat(text)
        except ValueError:
            pass  # parse_time says what is wrong with it
        else:
            if FIRST_YEAR <= when.year <= LAST_YEAR:
                return when, () if when.tzinfo is None else ("time-with-offset",)
    try:
        return parse_time(text, order)
    except InputError as wrong:
        raise InputError(wrong.message, f"{name} line {line}, column time") from None


def _take(
    columns: dict[int, _Column], cells: list[str], seconds: int, line: int, notes: list[Finding]
) -> None:
    """Add one row's readings to their columns; an empty cell among several is no reading."""
    several = len(columns) > 1 and any(i < len(cells) and cells[i] for i in columns)
    for index, column in columns.items():
        typed = cells[index].strip("'\"") if index < len(cells) else ""
        if not typed and several:
            continue
        value = _float(typed)
        if not math.isfinite(value):
            column.wrong.append(line)
            column.sample = column.sample or typed
            continue
        if "," in typed:
            notes.append(warning("decimal-comma", f'value "{typed}" has a comma', line))
        column.times.append(seconds)
        column.values.append(value)
        column.lines.append(line)


def _float(typed: str) -> float:
    """Return the number a cell spells, NaN when it spells none."""
    try:
        return float(typed.replace(",", ".") if _NUMBER.fullmatch(typed) else typed)
    except ValueError:
        return math.nan


def _wrong_cells(column: _Column, name: str) -> list[Finding]:
    count = len(column.wrong)
    if not count:
        return []
    sample = f'"{shown(column.sample)}"' if column.sample else "an empty cell"
    if count > len(column.values):
        raise InputError(
            f"{sample} is not a number, nor are {count - 1} more of {count + len(column.values)} "
            "readings; accepted: numbers",
            f"{name} line {column.wrong[0]}, column {column.sensor}",
        )
    rows = "1 row has" if count == 1 else f"{count} rows have"
    message = (
        f"{rows} no number for {column.sensor} (first: {sample}; {some_lines(column.wrong, 20)}); "
        "left out"
    )
    return [warning("not-a-number", message, lines=column.wrong, file=name)]
