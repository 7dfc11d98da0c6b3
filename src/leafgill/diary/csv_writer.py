"""Writing diary and probe files that read back to what they were written from."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Mapping
from datetime import datetime

import numpy as np

from leafgill.diary.csv_reader import COLUMNS
from leafgill.diary.entry import Entry, written
from leafgill.diary.stream import Stream
from leafgill.diary.times import write_time
from leafgill.errors import InputError


def entries_to_csv(entries: Iterable[Entry]) -> str:
    """Return entries as a diary file's text, which reads back to equal entries."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(COLUMNS)
    for entry in entries:
        writer.writerow(
            (write_time(entry.time), entry.kind.value, written(entry), entry.unit, entry.note)
        )
    return out.getvalue()


def streams_to_csv(streams: Mapping[str, Stream]) -> str:
    """Return streams as a probe file's text, one row a moment, which reads back to equal ones.

    Raises InputError when there is nothing to write, or when some streams are in real time and
    others in wall time.
    """
    if not streams:
        raise InputError("there are no readings to write to a probe file")
    if len({stream.local for stream in streams.values()}) > 1:
        raise InputError("some readings have a time zone and others none; localise the diary first")
    local = next(iter(streams.values())).local
    if all((np.diff(stream.times_s) > 0).all() for stream in streams.values()):
        return _at_once(streams, local)
    rows: dict[tuple[int, int], dict[str, str]] = {}
    for name, stream in streams.items():
        nth, before = 0, None
        for t, value in zip(stream.times_s.tolist(), stream.values.tolist(), strict=True):
            nth = nth + 1 if t == before else 0
            before = t
            rows.setdefault((t, nth), {})[name] = repr(value)
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(("time", *streams))
    walls = np.array([t for t, _ in rows], dtype="datetime64[s]").astype(datetime)
    lines = zip(rows.items(), walls, strict=True)
    for (_, cells), when in sorted(lines, key=lambda line: line[0][0]):
        time = write_time(when) + ("" if local else "Z")
        writer.writerow((time, *(cells.get(name, "") for name in streams)))
    return out.getvalue()


def _at_once(streams: Mapping[str, Stream], local: bool) -> str:
    """Return the same text for streams with one reading a moment, all rows at once."""
    import polars as pl  # only here: it is slow to load

    moments = np.unique(np.concatenate([stream.times_s for stream in streams.values()]))
    columns = {"time": pl.Series((moments * 1000).astype("datetime64[ms]"))}
    for name, stream in streams.items():
        values = np.full(moments.shape, np.nan)
        values[np.searchsorted(moments, stream.times_s)] = stream.values
        columns[name] = pl.Series(values, nan_to_null=True)
    table = pl.DataFrame(columns)
    # seconds stand only where there are any, as in write_time
    form = "%Y-%m-%dT%H:%M:%S" if (moments % 60).any() else "%Y-%m-%dT%H:%M"
    return table.write_csv(datetime_format=form + ("" if local else "Z"))
