"""A sensor's series of readings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta
from typing import Any

import numpy as np
from numpy.typing import NDArray

from leafgill.diary.finding import Finding, warning
from leafgill.diary.times import parse_time
from leafgill.diary.wall import EPOCH, to_epoch
from leafgill.errors import InputError


@dataclass(frozen=True, eq=False)
class Stream:
    """A sensor's readings in rising order of time.

    `times_s` is int64 [n], seconds since 1970: real time (epoch) where `local` is False, the
    tank's wall clock where it is True. `values` is float64 [n] in the sensor's unit, without NaN.
    `second_pass` [n], where known, marks readings taken after the clocks were put back.
    """

    sensor: str
    times_s: NDArray[np.int64]
    values: NDArray[np.float64]
    local: bool = True
    second_pass: NDArray[np.bool_] | None = field(default=None, repr=False)

    def __post_init__(self) -> None:
        for name, kind in (
            ("times_s", np.int64),
            ("values", np.float64),
            ("second_pass", np.bool_),
        ):
            given = getattr(self, name)
            if given is not None:
                array = np.asarray(given, dtype=kind).view()
                array.flags.writeable = False
                object.__setattr__(self, name, array)

    def __len__(self) -> int:
        return len(self.times_s)

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Stream):
            return NotImplemented
        return (
            self.sensor == other.sensor
            and self.local == other.local
            and np.array_equal(self.times_s, other.times_s)
            and np.array_equal(self.values, other.values)
        )

    __hash__ = None  # type: ignore[assignment]

    def time(self, index: int) -> datetime:
        """Return when reading `index` was taken: aware in UTC, or naive where `local`."""
        seconds = int(self.times_s[index])
        if self.local:
            return EPOCH + timedelta(seconds=seconds)
        return datetime.fromtimestamp(seconds, UTC)

    def until(self, seconds: float) -> Stream:
        """Return the readings up to and with `seconds`, sharing memory with this stream."""
        return self._slice(0, int(np.searchsorted(self.times_s, seconds, side="right")))

    def between(self, first_s: float, last_s: float) -> Stream:
        """Return the readings with first_s <= time <= last_s, sharing memory with this stream."""
        start = int(np.searchsorted(self.times_s, first_s, side="left"))
        return self._slice(start, int(np.searchsorted(self.times_s, last_s, side="right")))

    def _slice(self, start: int, stop: int) -> Stream:
        passes = None if self.second_pass is None else self.second_pass[start:stop]
        return replace(
            self,
            times_s=self.times_s[start:stop],
            values=self.values[start:stop],
            second_pass=passes,
        )

    def localised(self, timezone: str) -> tuple[Stream, list[Finding]]:
        """Return the stream in real time, and findings about hours skipped and repeated."""
        if not self.local:
            return self, []
        times, skipped, repeated = to_epoch(self.times_s, timezone, self.second_pass)
        found = []
        if skipped.any():
            found.append(
                warning(
                    "skipped-hour",
                    f"{int(skipped.sum())} {self.sensor} readings from "
                    f"{self.time(int(np.argmax(skipped))):%Y-%m-%dT%H:%M} on fall in the hour the "
                    f"clocks skip in {timezone}; moved later by that hour",
                )
            )
        if repeated.any() and self.second_pass is None:
            found.append(
                warning(
                    "repeated-hour",
                    f"{int(repeated.sum())} {self.sensor} readings from "
                    f"{self.time(int(np.argmax(repeated))):%Y-%m-%dT%H:%M} on fall in the hour the "
                    f"clocks repeat in {timezone}; taken as the first of the two",
                )
            )
        return Stream(self.sensor, times, self.values, local=False).in_order(), found

    def in_order(self) -> Stream:
        """Return the readings sorted by time; the stream itself when they are."""
        if not (np.diff(self.times_s) < 0).any():
            return self
        order = np.argsort(self.times_s, kind="stable")
        passes = None if self.second_pass is None else self.second_pass[order]
        return replace(
            self, times_s=self.times_s[order], values=self.values[order], second_pass=passes
        )


class GrowingStream:
    """A stream that readings are added to, with room to spare so that each costs little."""

    def __init__(self, stream: Stream) -> None:
        self._now = stream
        # the arrays the present stream is the head of; as long as it, there is no room to spare
        self._times, self._values = stream.times_s, stream.values

    @property
    def local(self) -> bool:
        """Whether the times are those of the wall clock."""
        return self._now.local

    def stream(self) -> Stream:
        """Return what is there now; it stays as it is when more is added."""
        return self._now

    def extend(self, times_s: NDArray[np.int64], values: NDArray[np.float64]) -> None:
        """Add readings, in any order of time."""
        if not times_s.size:
            return
        now, count = self._now, len(self._now)
        added = Stream(now.sensor, times_s, values, now.local).in_order()
        total = count + len(added)
        passes = now.second_pass
        if passes is not None:
            passes = np.concatenate([passes, np.zeros(len(added), np.bool_)])
        if count and added.times_s[0] < now.times_s[-1]:
            times = np.concatenate([now.times_s, added.times_s])
            numbers = np.concatenate([now.values, added.values])
            self._now = replace(now, times_s=times, values=numbers, second_pass=passes).in_order()
            self._times, self._values = self._now.times_s, self._now.values
            return
        if total > len(self._times):
            self._times = _with_room(now.times_s, 2 * total)
            self._values = _with_room(now.values, 2 * total)
        self._times[count:total], self._values[count:total] = added.times_s, added.values
        self._now = replace(
            now, times_s=self._times[:total], values=self._values[:total], second_pass=passes
        )


def _with_room(array: NDArray[Any], room: int) -> NDArray[Any]:
    roomy = np.empty(room, array.dtype)
    roomy[: len(array)] = array
    return roomy


Times = NDArray[np.int64] | NDArray[np.float64] | Sequence[datetime | str | float]


def seconds_of(times: Times) -> tuple[NDArray[np.int64], bool | None]:
    """Return `times` in whole seconds since 1970, and whether they are wall-clock times.

    Datetimes and ISO strings tell by their offset; numbers and numpy datetimes do not (None).
    Raises InputError when some have an offset and others none.
    """
    if isinstance(times, np.ndarray) and times.dtype.kind == "M":
        return times.astype("datetime64[s]").astype(np.int64), None
    if isinstance(times, np.ndarray):
        return np.round(times).astype(np.int64), None
    seconds = np.empty(len(times), np.int64)
    local: set[bool | None] = set()
    for i, given in enumerate(times):
        when = parse_time(given)[0] if isinstance(given, str) else given
        if isinstance(when, datetime):
            local.add(when.tzinfo is None)
            seconds[i] = round(
                (when - EPOCH).total_seconds() if when.tzinfo is None else when.timestamp()
            )
        else:
            local.add(None)
            seconds[i] = round(when)
    if len(local) > 1:
        raise InputError("time: some readings have an offset and others have none")
    return seconds, local.pop() if local else None
