"""Reading a probe file in which nothing has to be forgiven: all columns at once."""

from __future__ import annotations

import io
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leafgill.diary.finding import Finding, warning
from leafgill.diary.sensors import converted, sensor_column
from leafgill.diary.words import plain

TIME_TITLES = ("time", "date", "datetime", "date time", "timestamp", "when")
# The forms of a time that are read all at once, by their length.
ISO_FORMATS = {
    16: "%Y-%m-%dT%H:%M",
    17: "%Y-%m-%dT%H:%MZ",
    19: "%Y-%m-%dT%H:%M:%S",
    20: "%Y-%m-%dT%H:%M:%SZ",
}


# The years that a time may be in (1990 to 2199), as `times.parse_time` has them.
_FIRST_S, _LAST_S = 631_152_000, 7_258_118_399


@dataclass
class Readings:
    """One sensor's column as read.

    `times_s` [n] are seconds since 1970, of the wall clock where `local`; `values` [n] are in the
    sensor's unit; `lines` [n] say where they stand; `second_pass` [n] is as in Stream.
    """

    sensor: str
    times_s: NDArray[np.int64]
    values: NDArray[np.float64]
    lines: NDArray[np.int64]
    local: bool = True
    second_pass: NDArray[np.bool_] | None = None


def _titles(titles: list[str]) -> list[tuple[str, str]] | None:
    """Return the sensors of a plain header that starts with the time, None for any other."""
    if len(titles) < 2 or plain(titles[0]) not in TIME_TITLES:
        return None
    found = [sensor_column(title) for title in titles[1:]]
    known = [sensor for sensor in found if sensor is not None]
    distinct = {sensor for sensor, _ in known}
    return known if len(known) == len(titles) - 1 == len(distinct) else None


def read_fast(data: bytes, name: str) -> tuple[list[Readings], list[Finding]] | None:
    """Return the columns of a file in which nothing has to be mended, None for any other."""
    data = data.replace(b"\r\n", b"\n")
    if b"\r" in data or b'"' in data or data[:1] == b"\xef":
        return None
    header, _, body = data.partition(b"\n")
    try:
        sensors = _titles(header.decode("ascii").split(","))
    except UnicodeDecodeError:
        return None
    time_format = ISO_FORMATS.get(len(body.partition(b",")[0]))
    if sensors is None or time_format is None:
        return None
    import polars as pl  # only here: it is slow to load

    schema: dict[str, type[pl.DataType]] = {"time": pl.String}
    schema |= {sensor: pl.Float64 for sensor, _ in sensors}
    try:
        table = pl.read_csv(io.BytesIO(body), has_header=False, schema=schema)
        times = table["time"].str.to_datetime(time_format, time_unit="us", strict=False)
    except pl.exceptions.PolarsError:
        return None
    rows = body.count(b"\n") + (0 if body.endswith(b"\n") else 1)
    times_s = times.dt.epoch("s").to_numpy()
    if table.height != rows or times.null_count() or (np.diff(times_s) <= 0).any():
        return None
    # in order, so the ends tell; a year that cannot be meant is named by who reads line by line
    if times_s.size and not _FIRST_S <= times_s[0] <= times_s[-1] <= _LAST_S:
        return None
    values = table.select([sensor for sensor, _ in sensors]).to_numpy().astype(np.float64)
    given = ~table.select(pl.exclude("time").is_null()).to_numpy()
    # an empty cell is no reading of that sensor, but an empty row is something to tell
    if not given.any(axis=1).all() or not np.isfinite(values[given]).all():
        return None
    columns = []
    for index, (sensor, unit) in enumerate(sensors):
        here = np.flatnonzero(given[:, index])
        column = converted(values[here, index], sensor, unit)
        times_here = times_s[here].astype(np.int64)
        columns.append(Readings(sensor, times_here, column, here + 2, time_format[-1] != "Z"))
    findings = []
    if time_format.endswith("Z"):
        message = "times have Z or an offset, and are that moment"
        findings.append(warning("time-with-offset", message, 2, file=name))
    return columns, findings
