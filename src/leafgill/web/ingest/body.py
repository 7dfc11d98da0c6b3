"""What a sensor posts: a number, JSON or CSV, as moments and values in the sensor's unit."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

import numpy as np

from leafgill.diary import read_probe
from leafgill.diary.sensors import converted
from leafgill.errors import InputError, quoted
from leafgill.tank.clock import zone
from leafgill.web.ingest.moments import moment_s, wall_s
from leafgill.web.ingest.parcel import MOST_WHY
from leafgill.web.ingest.payload import json_of, number_of, text_of

LARGEST = 1_000_000
MOST_READINGS = 20_000
_KEYS = {"value", "time", "unit"}


@dataclass
class Sent:
    """Readings as sent: `times_s` [n] and `values` [n]; how many cannot be read, and why."""

    times_s: list[float] = field(default_factory=list)
    values: list[float] = field(default_factory=list)
    refused: int = 0
    why: list[str] = field(default_factory=list)

    def refuse(self, wrong: InputError) -> None:
        """Count a reading that cannot be read."""
        self.refused += 1
        if len(self.why) < MOST_WHY and str(wrong) not in self.why:
            self.why.append(str(wrong))


def read_body(data: bytes, content_type: str, kind: str, timezone: str, now: datetime) -> Sent:
    """Return the readings of a body; `kind` and `timezone` are the sensor's.

    One that has nothing but a value was taken now. Raises InputError where nothing can be read.
    """
    if len(data) > LARGEST:
        raise InputError(f"{len(data)} bytes are too many; accepted: {LARGEST} at once")
    if "csv" in content_type or _is_table(data):
        return _of_table(data, kind, timezone, now)
    text = text_of(data) if len(data) < 65_536 else _long_text(data)
    if text[0] in "[{":
        return _of_json(json_of(text), kind, timezone, now)
    if text[0] == '"' and "json" in content_type:
        text = str(json_of(text))
    return Sent([now.timestamp()], [number_of(text)])


def _long_text(data: bytes) -> str:
    try:
        return data.decode("utf-8").lstrip("\ufeff").strip() or "?"
    except UnicodeDecodeError:
        raise InputError("the body is no text (UTF-8)") from None


def _of_json(content: Any, kind: str, timezone: str, now: datetime) -> Sent:
    if isinstance(content, dict) and isinstance(content.get("readings"), list):
        rows: Iterable[Any] = content["readings"]
    else:
        rows = content if isinstance(content, list) else [content]
    sent, here = Sent(), zone(timezone)
    for index, row in enumerate(rows):
        if index == MOST_READINGS:
            raise InputError(f"more than {MOST_READINGS} readings at once")
        try:
            given, value, unit = _parts(row)
            number = number_of(value)
            if unit:
                number = float(converted(np.array([number]), kind, unit)[0])
            moment = moment_s(given, here, now)
        except InputError as wrong:
            sent.refuse(wrong)
        else:
            sent.times_s.append(moment)
            sent.values.append(number)
    if not sent.times_s:
        raise InputError("; ".join(sent.why) or "there is no reading in it")
    return sent


def _parts(row: Any) -> tuple[Any, Any, str]:
    """Return (time or None, value, unit) of one reading in JSON."""
    if isinstance(row, list) and len(row) == 2:
        return row[0], row[1], ""
    if not isinstance(row, dict):
        return None, row, ""
    if "value" not in row or not set(row) <= _KEYS:
        raise InputError(
            f"{quoted(', '.join(map(str, row)) or 'nothing')} is no reading; accepted: "
            '{"value": 6.8, "time": "2025-03-08T12:10:00Z"}'
        )
    unit = row.get("unit") or ""
    if not isinstance(unit, str) or len(unit) > 16:
        raise InputError(f"unit {quoted(unit)} is none")
    return row.get("time"), row["value"], unit


def _is_table(data: bytes) -> bool:
    """Return whether a body starts with a row of titles."""
    first = data[:200].lstrip(b"\xef\xbb\xbf \r\n\t").lower()
    return first.startswith((b"time,", b"time;", b"time\t", b"date", b"when,"))


def _of_table(data: bytes, kind: str, timezone: str, now: datetime) -> Sent:
    """Return the column of a CSV that is the sensor's; a column `value` is."""
    head, newline, rest = data.partition(b"\n")
    titles = [title.strip().lower() for title in head.split(b",")]
    if b"value" in titles:
        data = head.lower().replace(b"value", kind.encode(), 1) + newline + rest
    streams, findings = read_probe(data, "the body", keep_outside=True)
    stream = streams.get(kind)
    if stream is None:
        raise InputError(f"there is no column {kind} in it, but {', '.join(streams) or 'nothing'}")
    if not len(stream):
        raise InputError("there is no reading in it")
    if len(stream) > MOST_READINGS:
        raise InputError(f"more than {MOST_READINGS} readings at once")
    lost = [f for f in findings if f.kind in ("not-a-number", "probe-outside")]
    times = stream.times_s.astype(np.float64).tolist()
    if stream.local and stream.second_pass is None:
        here = zone(timezone)
        times = [wall_s(stream.time(index), here, now) for index in range(len(stream))]
    elif stream.local:
        stream = stream.localised(timezone)[0]
        times = stream.times_s.astype(np.float64).tolist()
    why = [f.message for f in lost][:MOST_WHY]
    return Sent(times, stream.values.tolist(), sum(max(1, len(f.lines)) for f in lost), why)
