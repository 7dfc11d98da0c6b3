"""Reading a diary file row by row, naming what is wrong and what was forgiven."""

from __future__ import annotations

import re
from collections.abc import Iterable

from leafgill.diary.entry import Entry
from leafgill.diary.finding import ERROR, Finding, some_lines, warning
from leafgill.diary.kinds import KINDS, TEXT
from leafgill.diary.sensors import sensor_column
from leafgill.diary.table import Table, header_shown, read_table
from leafgill.diary.times import date_order
from leafgill.diary.words import plain, shown
from leafgill.errors import InputError

COLUMNS = ("time", "kind", "value", "unit", "note")
HEADER = ",".join(COLUMNS)
_TITLES = {
    "time": ("time", "date", "datetime", "date time", "timestamp", "when"),
    "kind": ("kind", "type"),
    "value": ("value", "reading"),
    "unit": ("unit", "units"),
    "note": ("note", "notes", "comment", "comments", "remark", "remarks"),
}
_COLUMN = {title: column for column, titles in _TITLES.items() for title in titles}
_DIGITS = re.compile(r"[-+]?\d{1,6}")
_FRACTION = re.compile(r"\d{1,4}")
# Kinds whose value is words, in which quotes are the keeper's own.
_FREE_TEXT = {kind.value for kind, info in KINDS.items() if info.form == TEXT}
_QUOTES = "'‘’“”\"`"


def read_diary(text: str, name: str = "diary.csv") -> tuple[list[Entry], list[Finding]]:
    """Return a diary file's entries in the order of its lines, and everything noticed.

    Wrong rows become findings of level "error", one each; a file that is no diary at all raises
    InputError.
    """
    _not_another_file(text, name)
    table = read_table(text, name)
    where = _columns(table)
    order = date_order([cells[where["time"]] for _, cells in table.rows if cells])
    findings = table.findings
    entries: list[Entry] = []
    notes: list[Finding] = []
    seen: dict[Entry, int] = {}
    for line, cells in table.rows:
        try:
            typed = _row(cells, where, table, line, notes)
            entry = Entry(*typed, line=line, date_order=order)
        except InputError as wrong:
            findings.append(Finding(ERROR, line, wrong.message, "wrong-row", file=name))
            continue
        if entry in seen:
            notes.append(warning("repeated-row", f"repeats line {seen[entry]}; kept once", line))
            continue
        seen[entry] = line
        entries.append(entry)
        notes.extend(caution.in_file(name, line) for caution in entry.cautions)
    findings.extend(grouped(notes, name))
    return entries, findings


def _row(
    cells: list[str], where: dict[str, int], table: Table, line: int, notes: list[Finding]
) -> tuple[str, str, str, str, str]:
    """Return one row's five cells, mending what an unquoted comma split."""
    cells = _mended(cells, where, table, line, notes)
    found: list[str] = []
    for column in COLUMNS:
        index = where.get(column, -1)
        text = cells[index] if 0 <= index < len(cells) else ""
        free = column == "note" or (column == "value" and plain(found[1]) in _FREE_TEXT)
        if len(text) > 1 and text[0] in _QUOTES and text[-1] in _QUOTES and not free:
            text = text.strip(_QUOTES + " ")
            message = f'{column} "{shown(text)}" had quotes of its own; left out'
            notes.append(warning("quoted-value", message, line))
        found.append(text)
    return found[0], found[1], found[2], found[3], found[4]


def _mended(
    cells: list[str], where: dict[str, int], table: Table, line: int, notes: list[Finding]
) -> list[str]:
    width, value, count = len(table.titles), where["value"], len(cells)
    if _comma_split_value(cells, value, width):
        cells = [*cells[:value], f"{cells[value]},{cells[value + 1]}", *cells[value + 2 :]]
    if not any(cells[width:]):
        return cells
    if where.get("note") == width - 1:
        note = (table.separator + " ").join(cells[width - 1 :])
        message = f'the note "{shown(note)}" has a comma but no quotes; kept whole'
        notes.append(warning("unquoted-note", message, line))
        return [*cells[: width - 1], note]
    raise InputError(
        f"{count} cells under {width} titles; a value with a comma needs quotes, or a point"
    )


def _comma_split_value(cells: list[str], value: int, width: int) -> bool:
    """Return whether a decimal comma was taken for a separator: "6,8" made two cells of digits."""
    return (
        (len(cells) > width or len(cells) == value + 2)
        and len(cells) > value + 1
        and _DIGITS.fullmatch(cells[value]) is not None
        and _FRACTION.fullmatch(cells[value + 1]) is not None
    )


def _not_another_file(text: str, name: str) -> None:
    head = text.lstrip()[:2000]
    if re.match(r"\[[a-z_]+\]\s*\n", head) or re.search(r"^\[tank\]", head, re.MULTILINE):
        raise InputError(
            f"this is a tank file, not a diary; a diary is CSV with the header {HEADER}", name
        )
    if head[:1] in "{<":
        raise InputError(f"this is not CSV; a diary is CSV with the header {HEADER}", name)


def _columns(table: Table) -> dict[str, int]:
    """Return where each column stands. Raises InputError when the header is not a diary's."""
    where: dict[str, int] = {}
    unknown: list[str] = []
    place = f"{table.name} line {table.header_line}"
    header = f'header "{header_shown(table.titles)}"'
    for index, title in enumerate(table.titles):
        column = _COLUMN.get(plain(title.strip(_QUOTES)))
        if column is None:
            unknown.append(title)
        elif column in where:
            both = "; write date and time in one column" if column == "time" else ""
            raise InputError(f"{header} has {column} twice{both}; accepted: {HEADER}", place)
        else:
            where[column] = index
    missing = [column for column in COLUMNS[:3] if column not in where]
    if missing:
        if "time" in where and any(sensor_column(title) for title in unknown):
            raise InputError(
                f"{header} is that of a probe file, not of a diary; give it as the probe file; "
                f"accepted: {HEADER}",
                place,
            )
        if re.match(r"\d{1,4}[-/.]\d", table.titles[0]):
            raise InputError(f"{header} is a row, the header is missing; accepted: {HEADER}", place)
        raise InputError(f"{header} has no column {', '.join(missing)}; accepted: {HEADER}", place)
    named = [shown(title) for title in unknown if title]
    if named:
        message = f"column {', '.join(named)} is not read"
        finding = warning("unknown-column", message, table.header_line, file=table.name)
        table.findings.append(finding)
    return where


_ONE_FOR_ALL = {
    "date-form": "dates are not written with hyphens",
    "day-first-date": "dates are written day first",
    "month-first-date": "dates are written month first",
    "time-with-space": "times have a space in place of the T",
    "time-with-offset": "times have Z or an offset, and are that moment",
    "decimal-comma": "numbers have a comma; taken as the decimal sign, or as thousands",
    "quoted-value": "cells had quotes of their own; left out",
}


def grouped(notes: Iterable[Finding], name: str) -> list[Finding]:
    """Return findings with those about mere form gathered into one each, naming the lines."""
    single: list[Finding] = []
    by_kind: dict[str, list[Finding]] = {}
    for note in notes:
        if note.kind in _ONE_FOR_ALL:
            by_kind.setdefault(note.kind, []).append(note)
        else:
            single.append(note.in_file(name))
    for kind, notes_of_kind in by_kind.items():
        lines = [note.line for note in notes_of_kind if note.line is not None]
        if len(notes_of_kind) == 1:
            single.append(notes_of_kind[0].in_file(name))
        else:
            message = f"{_ONE_FOR_ALL[kind]} ({some_lines(lines)})"
            single.append(warning(kind, message, lines=lines, file=name))
    return single
