"""A probe file coming in: its readings in real time, and how they compare with those there."""

from __future__ import annotations

import io
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from leafgill.diary import Finding, Stream, read_probe
from leafgill.diary.probe_mapping import Mapping
from leafgill.errors import InputError

Times = NDArray[np.int64]
Values = NDArray[np.float64]


@dataclass(frozen=True)
class ProbeFile:
    """A probe file's streams in real time by sensor, and what was noticed while reading it."""

    streams: dict[str, Stream]
    findings: tuple[Finding, ...]


def read_file(data: bytes, name: str, timezone: str, mapping: Mapping | None = None) -> ProbeFile:
    """Return what a probe file holds. Raises InputError when it is none, or has no reading."""
    streams, findings = read_probe(data, name, mapping)
    local = {}
    for sensor, stream in streams.items():
        local[sensor], found = stream.localised(timezone)
        findings += [finding.in_file(name) for finding in found]
    full = {sensor: stream for sensor, stream in local.items() if len(stream)}
    if not full:
        raise InputError("no reading in it can be used", name)
    return ProbeFile(full, tuple(dict.fromkeys(findings)))


def packed(streams: dict[str, Stream]) -> bytes:
    """Return streams in real time as bytes that `unpacked` reads back."""
    out = io.BytesIO()
    arrays: dict[str, NDArray[Any]] = {}
    for sensor, stream in streams.items():
        arrays[f"{sensor}.times_s"], arrays[f"{sensor}.values"] = stream.times_s, stream.values
    np.savez(out, allow_pickle=False, **arrays)
    return out.getvalue()


def unpacked(data: bytes) -> dict[str, tuple[Times, Values]]:
    """Return (times, values) by sensor, as `packed` wrote them."""
    with np.load(io.BytesIO(data), allow_pickle=False) as arrays:
        sensors = [name.removesuffix(".times_s") for name in arrays if name.endswith(".times_s")]
        return {name: (arrays[f"{name}.times_s"], arrays[f"{name}.values"]) for name in sensors}


@dataclass(frozen=True, slots=True)
class Compared:
    """One sensor's readings against those there already.

    Times are epoch seconds. `new` have no reading at their time, `there` have the same value
    already, `changed` another one, which the file's would replace.
    """

    sensor: str
    count: int
    first_s: int
    last_s: int
    low: float
    high: float
    new: int
    there: int
    changed: int


def compared(
    sensor: str, times_s: Times, values: Values, old_times_s: Times, old_values: Values
) -> Compared:
    """Return how readings [n] compare with those there [m]; both are in rising order of time."""
    at = np.searchsorted(old_times_s, times_s)
    inside = at < len(old_times_s)
    same_time = np.zeros(len(times_s), dtype=np.bool_)
    same_time[inside] = old_times_s[at[inside]] == times_s[inside]
    equal = np.zeros(len(times_s), dtype=np.bool_)
    equal[same_time] = old_values[at[same_time]] == values[same_time]
    return Compared(
        sensor,
        len(times_s),
        int(times_s[0]),
        int(times_s[-1]),
        float(values.min()),
        float(values.max()),
        int((~same_time).sum()),
        int(equal.sum()),
        int((same_time & ~equal).sum()),
    )
