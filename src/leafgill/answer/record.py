"""A stretch of a tank's diary told as a report: counts, ranges, and the picture of it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, time, timedelta
from typing import NamedTuple

import numpy as np

from leafgill.charts.record_picture import FloatArray, Read, RecordPicture, stretches
from leafgill.diary import Diary, Entry, Kind
from leafgill.tank.clock import zone
from leafgill.tank.spec import Tank

_DAY_S = 86_400.0
_READ_WITH = {
    Kind.PH_PROBE: "electrode",
    Kind.PH: "hand test",
    Kind.DEGASSED_PH: "degassed sample",
}
# More names than this do not fit beneath a chart.
_MOST_TICKS = 12


class Range(NamedTuple):
    """A row of the summary: what, lowest, highest, newest, the unit, and how often it was read."""

    what: str
    low: float
    high: float
    newest: float
    unit: str
    times: int


_RANGED: tuple[tuple[Kind, str], ...] = (
    (Kind.PH_PROBE, "pH, electrode"),
    (Kind.PH, "pH, hand test"),
    (Kind.DEGASSED_PH, "pH, degassed sample"),
    (Kind.KH, "Carbonate hardness"),
    (Kind.GH, "Total hardness"),
    (Kind.TEMPERATURE, "Temperature"),
    (Kind.BUBBLE_RATE, "Needle valve set"),
    (Kind.CYLINDER_MASS, "Cylinder on the scale"),
)


def ends_of(first: date, last: date, timezone: str) -> tuple[datetime, datetime]:
    """Return midnight before the first day and midnight after the last, by the zone's clock."""
    here = zone(timezone)
    after = last + timedelta(days=1)
    return datetime.combine(first, time(0), here), datetime.combine(after, time(0), here)


def within(diary: Diary, first: datetime, last: datetime) -> list[Entry]:
    """Return the entries of a localised diary from one moment until just before another."""
    return [entry for entry in diary.entries if first <= entry.time < last]


def ranges(entries: Sequence[Entry]) -> list[Range]:
    """Return lowest, highest and newest of what was read, one row a kind."""
    rows = []
    for kind, what in _RANGED:
        read = [entry for entry in entries if entry.kind is kind]
        if read:
            numbers = [entry.number for entry in read]
            unit = read[-1].unit
            rows.append(Range(what, min(numbers), max(numbers), numbers[-1], unit, len(read)))
    return rows


def not_normal(entries: Sequence[Entry]) -> list[Entry]:
    """Return the entries that tell of animals in distress."""
    return [e for e in entries if e.kind is Kind.FISH and e.value != "normal"]


def picture_of(
    tank: Tank, diary: Diary, first: date, last: date, now: datetime
) -> RecordPicture | None:
    """Return the picture of some days of a localised diary, None where nothing can be drawn.

    Nothing is drawn that lies after `now`, which is aware.
    """
    begin, end = ends_of(first, last, tank.timezone)
    start_s = begin.timestamp()
    length = (end.timestamp() - start_s) / _DAY_S

    def day(when: datetime) -> float:
        return (when.timestamp() - start_s) / _DAY_S

    entries = within(diary, begin, end)
    readings = tuple(
        Read(day(e.time), e.number, _READ_WITH[e.kind]) for e in entries if e.kind in _READ_WITH
    )
    logged = _logged(diary, start_s, length)
    rates = _rates(diary, start_s, min(length, day(now)))
    if not readings and not rates and not logged[0].size:
        return None
    return RecordPicture(
        title=f"{tank.name}: the record",
        subtitle=f"{first.day} {first:%B %Y} to {last.day} {last:%B %Y}, by the tank's clock",
        length_days=length,
        ticks=_ticks(first, last, begin),
        logged_from=logged[0],
        logged_to=logged[1],
        logged_low=logged[2],
        logged_high=logged[3],
        readings=readings,
        rates=rates,
        changes=tuple((day(e.time), e.number) for e in entries if e.kind is Kind.WATER_CHANGE),
    )


def _logged(diary: Diary, start_s: float, length: float) -> tuple[FloatArray, ...]:
    stream = diary.streams.get("ph")
    if stream is None:
        return stretches(np.empty(0), np.empty(0), length)
    part = stream.between(start_s, start_s + length * _DAY_S)
    days = (part.times_s - start_s) / _DAY_S
    return stretches(days.astype(np.float64), part.values, length)


def _rates(diary: Diary, start_s: float, length: float) -> tuple[tuple[float, float, float], ...]:
    """Return (from, to, rate) of the valve's settings, the one in force at the start included."""
    set_at = [
        ((e.time.timestamp() - start_s) / _DAY_S, e.number) for e in diary.of(Kind.BUBBLE_RATE)
    ]
    set_at = [(day, rate) for day, rate in set_at if day < length]
    spans = []
    for nth, (day, rate) in enumerate(set_at):
        until = set_at[nth + 1][0] if nth + 1 < len(set_at) else length
        if until > 0.0:
            spans.append((max(day, 0.0), until, rate))
    return tuple(spans)


def _ticks(first: date, last: date, begin: datetime) -> tuple[tuple[float, str], ...]:
    """Return (day, name) of at most a dozen midnights, evenly apart."""
    count = (last - first).days + 1
    every = next(n for n in (1, 2, 7, 14, 28, 56, 91, 182, 365, count) if count / n <= _MOST_TICKS)
    found = []
    for nth in range(0, count, every):
        at = first + timedelta(days=nth)
        midnight = datetime.combine(at, time(0), begin.tzinfo)
        found.append(((midnight.timestamp() - begin.timestamp()) / _DAY_S, f"{at.day} {at:%b}"))
    return tuple(found)
