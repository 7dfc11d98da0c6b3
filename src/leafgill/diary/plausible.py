"""Does what the diary says hang together? Checks across entries and along sensors' series."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from leafgill.diary import notes
from leafgill.diary.entry import Entry, written
from leafgill.diary.finding import Finding, some_lines, warning
from leafgill.diary.kinds import KINDS, TEXT, Kind
from leafgill.diary.sensors import SENSORS
from leafgill.diary.stream import Stream
from leafgill.diary.times import write_time
from leafgill.diary.wall import EPOCH, wall_seconds
from leafgill.errors import InputError
from leafgill.units import shown_unit

if TYPE_CHECKING:
    from leafgill.diary.diary import Diary

# Two readings further apart than this do not tell a jump from a change of the water [s].
JUMP_WITHIN_S = 300
STUCK_LEAST = 30
# A kitchen scale is good to a few grams; a cylinder heavier by more than this was filled [g].
MASS_NOISE_G = 25.0
# What makes readings jump honestly, and how long around it they may [s].
_MOVES_READINGS = (Kind.WATER_CHANGE, Kind.CALIBRATION)
_MOVED_BEFORE_S, _MOVED_AFTER_S = 1800.0, 7200.0
CLOCK_SLACK = timedelta(minutes=5)
LONELY = timedelta(days=300)


def sort_key(when: datetime) -> float:
    """Return seconds to sort by: real time where known, else what the wall clock shows [s]."""
    return wall_seconds(when) if when.tzinfo is None else when.timestamp()


def check_entries(entries: Sequence[Entry]) -> list[Finding]:
    """Return what does not hang together among entries sorted by time."""
    return [
        *_two_values(entries),
        *_heavier_cylinder(entries),
        *_lonely(entries),
    ]


def _two_values(entries: Sequence[Entry]) -> Iterator[Finding]:
    first: dict[tuple[float, Kind, str], Entry] = {}
    for entry in entries:
        info = KINDS[entry.kind]
        if info.form == TEXT or entry.kind is Kind.DOSE:
            continue
        key = (sort_key(entry.time), entry.kind, entry.substance or entry.instrument)
        other = first.setdefault(key, entry)
        if other is not entry and other.value != entry.value:
            yield _at(
                entry,
                "two-values",
                f"{entry.kind} is {written(entry)} here and {written(other)} "
                f"{_place(other)} at the same time {write_time(entry.time)}; both kept",
            )


def _heavier_cylinder(entries: Sequence[Entry]) -> Iterator[Finding]:
    last: Entry | None = None
    told = False
    for entry in entries:
        if entry.kind is Kind.CYLINDER_MASS:
            told = told or notes.tells_of_refill(entry.note)
            gain = entry.number - last.number if last else 0.0
            if last and gain > MASS_NOISE_G and not told:
                yield _at(
                    entry,
                    "heavier-cylinder",
                    f"the cylinder weighs {gain:.15g} g more than {_place(last)} and no note "
                    'tells of a refill (write "refilled" in the note)',
                )
            last, told = entry, False
        elif entry.kind in (Kind.CARE, Kind.NOTE):
            text = f"{entry.value} {entry.note}".lower()
            if "cylinder" in text or "bottle" in text:
                told = told or notes.tells_of_refill(text)


def _lonely(entries: Sequence[Entry]) -> Iterator[Finding]:
    """Find an entry far from all others: most often a slip in the year."""
    if len(entries) < 5:
        return
    for this, next_one, end in ((0, 1, "before"), (-1, -2, "after")):
        lonely, other = entries[this], entries[next_one]
        apart = abs(sort_key(lonely.time) - sort_key(other.time))
        if apart > LONELY.total_seconds():
            yield _at(
                lonely,
                "far-from-others",
                f"{write_time(lonely.time)} is {apart / 86400:.0f} days {end} every other entry; "
                "is the year right?",
            )


def _at(entry: Entry, kind: str, message: str) -> Finding:
    return warning(kind, message, entry.line, time=entry.time)


def _place(entry: Entry) -> str:
    return f"on line {entry.line}" if entry.line is not None else f"at {write_time(entry.time)}"


def check_future(diary: Diary, now: datetime) -> list[Finding]:
    """Return a finding for each entry, and one for each stream, later than `now`.

    Five minutes are allowed for clocks that differ. Raises InputError when `now` and the diary's
    times cannot be compared because only one of them has a time zone.
    """
    limit = diary.comparable(now + CLOCK_SLACK)
    found = []
    for entry in diary.entries:
        if sort_key(entry.time) > limit:
            found.append(
                _at(
                    entry,
                    "in-the-future",
                    f"{entry.kind} {written(entry)} at {write_time(entry.time)} is later than now "
                    f"({write_time(now.replace(microsecond=0))}); not used until then",
                )
            )
    for sensor, stream in diary.streams.items():
        late = len(stream) - len(stream.until(limit))
        if late:
            message = (
                f"{late} readings of {sensor} up to {write_time(stream.time(-1))} are later than "
                f"now ({write_time(now.replace(microsecond=0))}); not used until then"
            )
            found.append(warning("in-the-future", message, time=stream.time(-1)))
    return found


def jumps(sensor: str, times_s: NDArray[np.int64], values: NDArray[np.float64]) -> NDArray[np.intp]:
    """Return the indices of readings that differ from the one before by more than water can.

    `times_s` and `values` have shape [n]; times are sorted [s].
    """
    close = np.diff(times_s) <= JUMP_WITHIN_S
    return np.flatnonzero(close & (np.abs(np.diff(values)) > SENSORS[sensor].jump)) + 1


def stuck(
    sensor: str, times_s: NDArray[np.int64], values: NDArray[np.float64]
) -> list[tuple[int, int]]:
    """Return (first, last) indices of stretches in which the sensor showed one figure for too long.

    `times_s` and `values` have shape [n]; times are sorted [s]. At least 30 readings are asked
    for, so that a few hand-made ones are no fault.
    """
    if len(values) < STUCK_LEAST:
        return []
    starts = np.concatenate([[0], np.flatnonzero(np.diff(values) != 0) + 1])
    ends = np.concatenate([starts[1:], [len(values)]]) - 1
    long = times_s[ends] - times_s[starts] >= SENSORS[sensor].stuck_h * 3600
    many = ends - starts + 1 >= STUCK_LEAST
    return [(int(a), int(b)) for a, b in zip(starts[long & many], ends[long & many], strict=True)]


def check_readings(
    sensor: str,
    times_s: NDArray[np.int64],
    values: NDArray[np.float64],
    lines: NDArray[np.int64],
    file: str,
) -> tuple[NDArray[np.bool_], list[Finding]]:
    """Return which readings to keep [n], and findings about impossible and stuck ones.

    Readings outside what is accepted are left out and listed. Raises InputError when more than
    half are, since then the column or its unit is not what its title says.
    """
    keep, found = _outside(sensor, values, lines, file)
    times_s, values, lines = times_s[keep], values[keep], lines[keep]
    for first, last in stuck(sensor, times_s, values):
        hours = (times_s[last] - times_s[first]) / 3600
        message = (
            f"{sensor} shows {values[first]:g} without a change for {hours:.1f} h from "
            f"{_time(times_s[first])} to {_time(times_s[last])}; kept"
        )
        line, since = int(lines[first]), _moment(times_s[first])
        found.append(warning("probe-stuck", message, line, time=since))
    return keep, [finding.in_file(file) for finding in found]


def _outside(
    sensor: str, values: NDArray[np.float64], lines: NDArray[np.int64], file: str
) -> tuple[NDArray[np.bool_], list[Finding]]:
    info = SENSORS[sensor]
    low, high = info.accepted
    keep = (values >= low) & (values <= high)
    wrong = np.flatnonzero(~keep)
    if not wrong.size:
        return keep, []
    unit = f" {shown_unit(info.unit)}" if info.unit else ""
    accepted = f"accepted: {low:g} to {high:g}{unit}"
    first = f"{values[wrong[0]]:g}"
    if wrong.size * 2 > values.size:
        raise InputError(
            f"{first}{unit} is not accepted, nor are {wrong.size - 1} more of {values.size} "
            f"readings; {accepted}{_slip(sensor, values[wrong])}",
            f"{file} line {lines[wrong[0]]}, column {sensor}",
        )
    listed = [int(line) for line in lines[wrong]]
    rows = "1 reading" if wrong.size == 1 else f"{wrong.size} readings"
    message = (
        f"{rows} of {sensor} cannot be (first: {first}{unit}; {some_lines(listed, 20)}); left out; "
        + accepted
    )
    return keep, [warning("probe-outside", message, lines=listed)]


def _slip(sensor: str, values: NDArray[np.float64]) -> str:
    middle = float(np.median(values))
    if sensor == "temperature" and 41 <= middle <= 104:
        return ' (did you mean °F? title the column "temperature (°F)")'
    if sensor == "ph" and 30 <= middle <= 110:
        return f" (did you mean {middle / 10:g}?)"
    if sensor == "ph" and 300 <= middle <= 1100:
        return f" (did you mean {middle / 100:g}?)"
    return ""


def _moment(time_s: np.int64) -> datetime:
    return EPOCH + timedelta(seconds=int(time_s))


def _time(time_s: np.int64) -> str:
    return write_time(_moment(time_s))


def check_jumps(stream: Stream, entries: Iterable[Entry]) -> list[Finding]:
    """Return a finding for a stream's jumps that no water change or calibration explains."""
    at = jumps(stream.sensor, stream.times_s, stream.values)
    if not at.size:
        return []
    explained = np.array(
        [sort_key(entry.time) for entry in entries if entry.kind in _MOVES_READINGS], dtype=float
    )
    after = stream.times_s[at][:, None] - explained[None, :]
    near = (after > -_MOVED_BEFORE_S) & (after < _MOVED_AFTER_S)
    at = at[~near.any(axis=1)]
    if not at.size:
        return []
    where = ", ".join(_time(t) for t in stream.times_s[at[:3]])
    more = f" and {at.size - 3} more times" if at.size > 3 else ""
    step = stream.values[at[0]] - stream.values[at[0] - 1]
    message = (
        f"{stream.sensor} jumps by {step:+.2f} at {where}{more} (more than "
        f"{SENSORS[stream.sensor].jump:g} within 5 minutes, and no water change or calibration "
        "is written down); kept"
    )
    return [warning("probe-jump", message, time=_moment(stream.times_s[at[0]]))]
