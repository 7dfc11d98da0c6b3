"""All that was seen and done, in order of time."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import datetime
from pathlib import Path

import numpy as np
from numpy.typing import ArrayLike

from leafgill.diary.csv_reader import read_diary
from leafgill.diary.csv_writer import entries_to_csv, streams_to_csv
from leafgill.diary.entry import Entry
from leafgill.diary.finding import ERROR, Finding, some_lines, warning
from leafgill.diary.kinds import Kind
from leafgill.diary.localised import localised_entries
from leafgill.diary.plausible import check_entries, check_jumps, sort_key
from leafgill.diary.probe_reader import read_probe
from leafgill.diary.sensors import SENSORS
from leafgill.diary.stream import GrowingStream, Stream, Times, seconds_of
from leafgill.diary.table import decode, read_bytes
from leafgill.diary.times import write_time
from leafgill.diary.wall import localise, to_epoch
from leafgill.errors import InputError
from leafgill.units import shown_unit


class Diary:
    """Entries sorted by time, sensors' streams, and what was noticed while reading them.

    `findings` are the entries' own cautions unless others are given. `timezone` is None while
    naive times are the tank's wall time, and the zone's name once `localised` has resolved them.
    """

    def __init__(
        self,
        entries: Iterable[Entry] = (),
        streams: Mapping[str, Stream] | None = None,
        findings: Iterable[Finding] | None = None,
        *,
        timezone: str | None = None,
    ) -> None:
        self._entries = sorted(entries, key=lambda entry: sort_key(entry.time))
        self._keys = [sort_key(entry.time) for entry in self._entries]
        self._growing = {name: GrowingStream(s.in_order()) for name, s in (streams or {}).items()}
        self._by_kind: dict[Kind, list[Entry]] = {}
        if findings is None:
            findings = (caution for entry in self._entries for caution in entry.cautions)
        self.findings = list(findings)
        self.timezone = timezone

    # -- reading and writing

    @classmethod
    def load(
        cls,
        path: str | Path,
        probe: str | Path | None = None,
        timezone: str | None = None,
    ) -> Diary:
        """Return the diary in a CSV file, with the readings of a probe file.

        With `timezone` the times are resolved at once. Raises InputError, in one line naming file,
        line, column and value, for the first row that cannot be meant, and for a file that is none.
        """
        readings = read_bytes(probe) if probe is not None else None
        name = Path(probe).name if probe is not None else ""
        return cls.read(read_bytes(path), readings, Path(path).name, name, timezone)

    @classmethod
    def read(
        cls,
        data: bytes | str,
        probe: bytes | str | None = None,
        name: str = "diary.csv",
        probe_name: str = "probe.csv",
        timezone: str | None = None,
    ) -> Diary:
        """Return the diary in a file's content, as `load` does from files."""
        text, findings = decode(_bytes(data), name)
        entries, found = read_diary(text, name)
        _refuse([f for f in found if f.level == ERROR], name)
        findings += found
        keys = [sort_key(entry.time) for entry in entries]
        late = next((i for i in range(1, len(keys)) if keys[i] < keys[i - 1]), None)
        if late is not None:
            line = entries[late].line
            message = f"rows are not in order of time (first at line {line}); sorted"
            findings.append(warning("unsorted-rows", message, line).in_file(name))
        streams: dict[str, Stream] = {}
        if probe is not None:
            streams, found = read_probe(_bytes(probe), probe_name)
            findings += found
        diary = cls(entries, streams, findings)
        diary.findings += [f.in_file(name) for f in check_entries(diary.entries)]
        for stream in streams.values():
            diary.findings += [f.in_file(probe_name) for f in check_jumps(stream, entries)]
        return diary.localised(timezone) if timezone else diary

    def save(self, path: str | Path, probe: str | Path | None = None) -> None:
        """Write the entries to a CSV file, and the streams to a probe file where one is named."""
        Path(path).write_text(entries_to_csv(self._entries), encoding="utf-8", newline="")
        if probe is not None:
            Path(probe).write_text(streams_to_csv(self.streams), encoding="utf-8", newline="")

    # -- looking

    @property
    def entries(self) -> Sequence[Entry]:
        """The entries in order of time; not to be changed from outside."""
        return self._entries

    @property
    def streams(self) -> dict[str, Stream]:
        """Each sensor's readings so far, by the sensor's name."""
        return {name: growing.stream() for name, growing in self._growing.items()}

    def of(self, *kinds: Kind | str) -> list[Entry]:
        """Return the entries of one kind, or of several, in order of time."""
        if len(kinds) != 1:
            wanted = {Kind(kind) for kind in kinds}
            return [entry for entry in self._entries if entry.kind in wanted]
        kind = Kind(kinds[0])
        if kind not in self._by_kind:
            self._by_kind[kind] = [entry for entry in self._entries if entry.kind is kind]
        return list(self._by_kind[kind])

    def until(self, now: datetime) -> Diary:
        """Return what was known at `now`: entries and readings up to and with that moment.

        Entries and readings are shared, not copied; adding to either diary leaves the other as it
        is. Raises InputError when only one of `now` and the diary has a time zone.
        """
        limit = self.comparable(now)
        count = bisect_right(self._keys, limit)
        view = object.__new__(Diary)
        view._entries, view._keys = self._entries[:count], self._keys[:count]
        view._growing = {
            name: GrowingStream(growing.stream().until(limit))
            for name, growing in self._growing.items()
        }
        view._by_kind = {}
        view.findings = list(self.findings)
        view.timezone = self.timezone
        return view

    def comparable(self, when: datetime) -> float:
        """Return `when` on the scale the diary is sorted by [s].

        Raises InputError when only one of the two has a time zone.
        """
        if self.timezone is not None:
            return localise(when, self.timezone).timestamp()
        local = {entry.time.tzinfo is None for entry in self._ends()}
        local |= {growing.local for growing in self._growing.values()}
        if (when.tzinfo is None) not in local and local:
            has = "no time zone" if when.tzinfo is not None else "a time zone"
            raise InputError(
                f"time {write_time(when)} cannot be compared: the diary's times have {has}; "
                "localise the diary first"
            )
        return sort_key(when)

    def _ends(self) -> list[Entry]:
        return [self._entries[0], self._entries[-1]] if self._entries else []

    def __len__(self) -> int:
        return len(self._entries)

    def __iter__(self) -> Iterator[Entry]:
        return iter(self._entries)

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Diary):
            return NotImplemented
        return self._entries == other._entries and self.streams == other.streams

    __hash__ = None  # type: ignore[assignment]

    def __repr__(self) -> str:
        streams = ", ".join(f"{name} x{len(s)}" for name, s in self.streams.items())
        return f"Diary({len(self)} entries" + (f"; {streams})" if streams else ")")

    # -- growing

    def add(self, entry: Entry) -> None:
        """Put an entry in its place in time, after any of the same moment."""
        if self.timezone is not None:
            (entry,), found = localised_entries([entry], self.timezone)
            self.findings += found
        key = sort_key(entry.time)
        if not self._keys or key >= self._keys[-1]:
            self._entries.append(entry)
            self._keys.append(key)
        else:
            at = bisect_right(self._keys, key)
            self._entries.insert(at, entry)
            self._keys.insert(at, key)
        self._by_kind.pop(entry.kind, None)
        self.findings.extend(entry.cautions)

    def add_readings(self, sensor: str, times: Times, values: ArrayLike) -> None:
        """Add a sensor's readings; adding in order of time costs little.

        `times` [n] are datetimes, ISO strings, or seconds since 1970 (real time once the diary is
        localised, else the wall clock's); `values` [n] are in the sensor's unit. Raises InputError
        for an unknown sensor, for unequal lengths, and for a value that cannot be.
        """
        if sensor not in SENSORS:
            raise InputError(f'sensor "{sensor}" is not known; accepted: ' + ", ".join(SENSORS))
        seconds, local = seconds_of(times)
        numbers = np.atleast_1d(np.asarray(values, dtype=np.float64))
        if seconds.shape != numbers.shape:
            raise InputError(f"{sensor}: {seconds.size} times but {numbers.size} values")
        low, high = SENSORS[sensor].accepted
        wrong = ~((numbers >= low) & (numbers <= high))
        if wrong.any():
            raise InputError(
                f"{sensor}: value {numbers[wrong][0]:g} is not accepted; "
                f"accepted: {low:g} to {high:g} {shown_unit(SENSORS[sensor].unit)}".rstrip()
            )
        growing = self._growing.get(sensor)
        wall = self.timezone is None
        if self.timezone is not None and local is True:
            seconds, local = to_epoch(seconds, self.timezone)[0], False
        if growing is None:
            is_local = wall if local is None else local
            empty = Stream(sensor, np.empty(0, np.int64), np.empty(0), is_local)
            growing = self._growing[sensor] = GrowingStream(empty)
        if local is not None and local != growing.local:
            has = "no time zone" if growing.local else "a time zone"
            raise InputError(f"{sensor}: the readings so far have {has}, the new ones differ")
        growing.extend(seconds, numbers)

    # -- real time

    def localised(self, timezone: str) -> Diary:
        """Return the diary with all times resolved in `timezone`; this one stays as it is.

        Naive times are the tank's wall time. One in the hour the clocks skip is moved later by
        that hour, one in the hour they repeat is taken as the first of the two; both are noted.
        Raises InputError for an unknown time zone.
        """
        entries, found = localised_entries(self._entries, timezone)
        findings = self.findings + found
        streams = {}
        for name, stream in self.streams.items():
            streams[name], found = stream.localised(timezone)
            findings += found
        return Diary(entries, streams, findings, timezone=timezone)


def _bytes(data: bytes | str) -> bytes:
    return data.encode() if isinstance(data, str) else data


def _refuse(wrong: list[Finding], name: str) -> None:
    """Raise InputError for the first wrong row, telling where the others are."""
    if not wrong:
        return
    first, others = wrong[0], [f.line for f in wrong[1:] if f.line is not None]
    also = f"; also wrong: {some_lines(others)}" if others else ""
    raise InputError(f"{first.message}{also}", first.where)
