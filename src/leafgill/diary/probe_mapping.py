"""Reading a probe file whose titles are not ours: which column is what, told by the keeper."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime

from leafgill.diary.finding import Finding, warning
from leafgill.diary.probe_fast import TIME_TITLES
from leafgill.diary.sensors import SENSORS, sensor_column
from leafgill.diary.table import Table
from leafgill.diary.times import DAY_FIRST, MONTH_FIRST, date_order, parse_time
from leafgill.diary.words import plain, shown
from leafgill.errors import InputError

AS_WRITTEN, EPOCH_S, EPOCH_MS = "as written", "seconds since 1970", "milliseconds since 1970"
TIME_FORMS = (AS_WRITTEN, f"{DAY_FIRST} first", f"{MONTH_FIRST} first", EPOCH_S, EPOCH_MS)

_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_NAMED = re.compile(
    rf"(\d{{1,2}})[\s./-]+({'|'.join(_MONTHS)})[a-z]*[\s.,/-]+(\d{{4}}|\d{{2}})(?!\d)(.*)",
    re.IGNORECASE | re.DOTALL,
)
_MONTH_NAMED_FIRST = re.compile(
    rf"({'|'.join(_MONTHS)})[a-z]*[\s.-]+(\d{{1,2}})[\s,.-]+(\d{{4}})(?!\d)(.*)",
    re.IGNORECASE | re.DOTALL,
)
_SHORT_YEAR = re.compile(r"(\d{1,2}[./-]\d{1,2}[./-])(\d{2})(?!\d)(.*)", re.DOTALL)
_CLOCK_ONLY = re.compile(r"\d{1,2}[:.]\d{2}([:.]\d{2})?(\s*[ap]\.?m\.?)?", re.IGNORECASE)
_NUMBER = re.compile(r"[-+]?\d+([.,]\d+)?")
_YEARS = (1990, 2199)
# Seconds since 1970 between 2001 and 2286 have ten digits, milliseconds thirteen.
_EPOCH_DIGITS = {10: EPOCH_S, 13: EPOCH_MS}


@dataclass(frozen=True, slots=True)
class Mapping:
    """Which column of a file is what.

    `time` is the column of the date, or of date and time; `clock` that of the time alone, where it
    stands apart. `form` is one of TIME_FORMS; `utc` tells that times are Greenwich time and not
    the tank's wall clock. `sensors` has (column, sensor, unit) of each that is read. `titled` is
    False where the file starts with readings.
    """

    time: int
    sensors: tuple[tuple[int, str, str], ...]
    clock: int | None = None
    form: str = AS_WRITTEN
    utc: bool = False
    titled: bool = True


def mapped(table: Table, mapping: Mapping) -> Table:
    """Return a table as a probe file has it: time and the sensors, each row on its own line.

    Raises InputError for a mapping that names no sensor, one twice, or a column that is not there,
    and for a time that cannot be read.
    """
    _check(table, mapping)
    rows = table.rows if mapping.titled else [(table.header_line, table.titles), *table.rows]
    columns = [index for index, _, _ in mapping.sensors]
    typed = [_joined(cells, mapping) for _, cells in rows]
    when = _reader(mapping, typed)
    found = []
    for (line, cells), text in zip(rows, typed, strict=True):
        try:
            moment = when(text)
        except InputError as wrong:
            raise InputError(wrong.message, f"{table.name} line {line}, column time") from None
        values = [cells[index] if index < len(cells) else "" for index in columns]
        found.append((line, [moment, *values]))
    titles = [f"{sensor} ({unit})" if unit else sensor for _, sensor, unit in mapping.sensors]
    # the cells are settled, so no comma can have split one
    return replace(table, titles=["time", *titles], rows=found, separator="\t")


def _check(table: Table, mapping: Mapping) -> None:
    if not mapping.sensors:
        raise InputError("no column is named as a sensor's; choose at least one", table.name)
    used = [mapping.time, *(index for index, _, _ in mapping.sensors)]
    used += [] if mapping.clock is None else [mapping.clock]
    if len(set(used)) < len(used):
        raise InputError("one column is chosen for two things", table.name)
    if not all(0 <= index < len(table.titles) for index in used):
        raise InputError("a column is chosen that the file has not", table.name)
    named = [sensor for _, sensor, _ in mapping.sensors]
    for sensor in named:
        if sensor not in SENSORS:
            raise InputError(f"sensor {shown(sensor)} is not known", table.name)
    if len(set(named)) < len(named):
        raise InputError("one sensor is chosen for two columns", table.name)


def _joined(cells: Sequence[str], mapping: Mapping) -> str:
    def cell(index: int) -> str:
        return cells[index].strip(" '\"") if index < len(cells) else ""

    if mapping.clock is None:
        return cell(mapping.time)
    # a spreadsheet may have put midnight after a date that stands alone
    day = re.sub(r"[T ]00:00(:00)?$", "", cell(mapping.time))
    return f"{day} {cell(mapping.clock)}"


def _reader(mapping: Mapping, typed: Sequence[str]) -> Callable[[str], str]:
    """Return what turns a file's time into ISO 8601, with Z where it is no wall time."""
    if mapping.form in (EPOCH_S, EPOCH_MS):
        return lambda text: _of_epoch(text, 1000.0 if mapping.form == EPOCH_MS else 1.0)
    if mapping.form == AS_WRITTEN:
        order = date_order([_spelt(text) for text in typed])
    else:
        order = mapping.form.split(" ", 1)[0]

    def read(text: str) -> str:
        when = _iso(text)
        if when is None:
            when, _ = parse_time(_spelt(text), order)
        if when.tzinfo is None and mapping.utc:
            when = when.replace(tzinfo=UTC)
        if when.tzinfo is None:
            return when.isoformat(timespec="seconds")
        return when.astimezone(UTC).replace(tzinfo=None).isoformat(timespec="seconds") + "Z"

    return read


def _iso(text: str) -> datetime | None:
    """Return a time in the commonest forms, quickly; None for any other."""
    if len(text) not in (16, 19) or text[4:5] != "-" or text[10:11] not in "T ":
        return None
    try:
        when = datetime.fromisoformat(text)
    except ValueError:
        return None
    return when if _YEARS[0] <= when.year <= _YEARS[1] else None


def _of_epoch(text: str, per_s: float) -> str:
    try:
        when = datetime.fromtimestamp(round(float(text.replace(",", ".")) / per_s), UTC)
    except (ValueError, OverflowError, OSError):
        raise InputError(f'time "{shown(text)}" is no number of seconds since 1970') from None
    if not _YEARS[0] <= when.year <= _YEARS[1]:
        raise InputError(
            f'time "{shown(text)}" counted since 1970 is in the year {when.year}; '
            f"accepted: {_YEARS[0]} to {_YEARS[1]}"
        )
    return when.strftime("%Y-%m-%dT%H:%M:%SZ")


def _spelt(text: str) -> str:
    """Return a time with its month as a number and its year in four digits."""
    found = _NAMED.fullmatch(text.strip())
    if found:
        month = _MONTHS.index(found[2].lower()) + 1
        return f"{_year(found[3])}-{month:02d}-{int(found[1]):02d}{found[4]}"
    found = _MONTH_NAMED_FIRST.fullmatch(text.strip())
    if found:
        month = _MONTHS.index(found[1].lower()) + 1
        return f"{found[3]}-{month:02d}-{int(found[2]):02d}{found[4]}"
    found = _SHORT_YEAR.fullmatch(text.strip())
    return f"{found[1]}{_year(found[2])}{found[3]}" if found else text


def _year(digits: str) -> str:
    return digits if len(digits) == 4 else f"20{digits}"


def guess(table: Table) -> Mapping:
    """Return what the columns seem to be, by their titles and their first cells.

    What cannot be told is left out; the keeper sees it and chooses.
    """
    titled = not any(_is_time(cell) for cell in table.titles)
    sample = table.rows[0][1] if titled and table.rows else table.titles
    first = [sample[i] if i < len(sample) else "" for i in range(len(table.titles))]
    words = [plain(title) for title in table.titles]
    time = next((i for i, word in enumerate(words) if word in TIME_TITLES), None)
    if time is None:
        time = next((i for i, cell in enumerate(first) if _is_time(cell)), 0)
    clock = None
    if not re.search(r"\d[:.]\d\d\b", _spelt(first[time])[8:]) and not _epoch(first[time]):
        clocks = (i for i, cell in enumerate(first) if i != time and _CLOCK_ONLY.fullmatch(cell))
        clock = next(clocks, None)
    sensors: list[tuple[int, str, str]] = []
    for index, title in enumerate(table.titles):
        known = _sensor(title) if titled and index not in (time, clock) else None
        if known and known[0] not in [sensor for _, sensor, _ in sensors]:
            sensors.append((index, *known))
    form = _epoch(first[time]) or AS_WRITTEN
    return Mapping(time, tuple(sensors), clock, form, titled=titled)


# Words in a title that name a sensor well enough to propose it.
_LIKE: tuple[tuple[str, set[str], set[str]], ...] = (
    ("room_co2", {"room", "air", "ambient"}, {"co2"}),
    ("co2", {"co2"}, set()),
    ("o2", {"o2", "oxygen", "do"}, set()),
    ("temperature", {"temp", "temperature", "t"}, set()),
    ("ph", {"ph"}, set()),
)


def _sensor(title: str) -> tuple[str, str] | None:
    """Return (sensor, unit) for a title that names one outright or among other words."""
    known = sensor_column(title)
    if known:
        return known
    words = set(re.findall(r"[a-z0-9]+", plain(title)))
    for sensor, names, also in _LIKE:
        if words & names and words >= also:
            fahrenheit = sensor == "temperature" and words & {"f", "fahrenheit"}
            return sensor, "°F" if fahrenheit else ""
    return None


def _is_time(cell: str) -> bool:
    if _epoch(cell):
        return True
    spelt = _spelt(cell.strip(" '\""))
    return re.match(r"\d{1,4}[-/.]\d{1,2}[-/.]\d{1,4}", spelt) is not None


def _epoch(cell: str) -> str:
    """Return which count since 1970 a cell seems to be, "" for none."""
    if not _NUMBER.fullmatch(cell):
        return ""
    return _EPOCH_DIGITS.get(len(re.split("[.,]", cell)[0]), "")


def told(table: Table, mapping: Mapping) -> list[Finding]:
    """Return a finding for the columns that are not read."""
    used = {mapping.time, mapping.clock, *(index for index, _, _ in mapping.sensors)}
    left = [shown(title) for i, title in enumerate(table.titles) if i not in used and title]
    if not left or not mapping.titled:
        return []
    message = f"column {', '.join(left)} is not read"
    return [warning("unknown-column", message, table.header_line, file=table.name)]
