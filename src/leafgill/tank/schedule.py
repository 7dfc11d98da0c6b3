"""When gas, light and air are on, by the tank's own clock and through its changes of time."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from leafgill.errors import InputError
from leafgill.science.compiled import FloatArray

_DAY = timedelta(days=1)
_TEXT = re.compile(r"\s*(\d{1,2})[:.](\d{2})\s*(?:-|–|to)\s*(\d{1,2})[:.](\d{2})\s*")


@dataclass(frozen=True, slots=True)
class Window:
    """Hours of the day: from `on` to `off`, through midnight when off is the earlier.

    Equal times mean never. Wall-clock times: on the night the clocks change the window is an
    hour shorter or longer.
    """

    on: time
    off: time

    @property
    def never(self) -> bool:
        """Whether it never starts."""
        return self.on == self.off

    @property
    def hours(self) -> float:
        """Length on an ordinary day [h]."""
        minutes = (self.off.hour - self.on.hour) * 60 + self.off.minute - self.on.minute
        return (minutes % 1440) / 60.0

    def __str__(self) -> str:
        return "off" if self.never else f"{self.on:%H:%M}-{self.off:%H:%M}"


def parse_window(text: str) -> Window:
    """Return the hours written as "08:30-17:30" (or "off"). Raises InputError."""
    if text.strip().lower() in ("off", "none", "never"):
        return Window(time(0), time(0))
    match = _TEXT.fullmatch(text)
    if match:
        h1, m1, h2, m2 = (int(part) for part in match.groups())
        if (h2, m2) == (24, 0):
            h2 = 0
        if h1 < 24 and h2 < 24 and m1 < 60 and m2 < 60:
            return Window(time(h1, m1), time(h2, m2))
    raise InputError(f'hours "{text}" are not of the form 08:30-17:30 (00:00 to 24:00) or off')


def spans(
    window: Window | None, first_s: float, last_s: float, timezone: str
) -> list[tuple[float, float]]:
    """Return the epoch seconds (on, off) of each time the window is open near [first, last]."""
    if window is None or window.never:
        return []
    zone = ZoneInfo(timezone)
    day: date = datetime.fromtimestamp(first_s, zone).date() - _DAY
    end: date = datetime.fromtimestamp(last_s, zone).date() + _DAY
    found = []
    while day <= end:
        close = day if window.off > window.on else day + _DAY
        on = datetime.combine(day, window.on, zone).timestamp()
        off = datetime.combine(close, window.off, zone).timestamp()
        if off > on:
            found.append((on, off))
        day += _DAY
    return found


Change = tuple[float, Window | None]


def open_spans(
    first_s: float, last_s: float, changes: Sequence[Change], timezone: str
) -> list[tuple[float, float, float, float]]:
    """Return (from, to, on, off) of each stretch it is on, cut at the changes of schedule.

    `changes` are (epoch seconds, hours from then on) in order of time; before the first, it is
    off. `on` and `off` are those of the uncut window.
    """
    cut = []
    for k, (start, window) in enumerate(changes):
        stop = changes[k + 1][0] if k + 1 < len(changes) else last_s
        low, high = max(start, first_s), min(stop, last_s)
        if high <= low:
            continue
        for on, off in spans(window, low, high, timezone):
            if min(off, high) > max(on, low):
                cut.append((max(on, low), min(off, high), on, off))
    return cut


def fraction_on(
    edges_s: NDArray[np.int64] | FloatArray, changes: Sequence[Change], timezone: str
) -> FloatArray:
    """Part of each step during which it is on, [n] for the n + 1 edges (epoch seconds).

    `changes` are (epoch seconds, hours from that moment on); before the first, it is off.
    """
    edges = np.asarray(edges_s, dtype=np.float64)
    on_s = np.zeros(edges.size)
    for low, high, _, _ in open_spans(edges[0], edges[-1], changes, timezone):
        on_s += np.clip(edges, low, high) - low
    share: FloatArray = np.diff(on_s) / np.diff(edges)
    return share


def phase(
    edges_s: NDArray[np.int64] | FloatArray, changes: Sequence[Change], timezone: str
) -> FloatArray:
    """Part of the window gone by at each step's middle, [n]; 0 while it is off."""
    edges = np.asarray(edges_s, dtype=np.float64)
    middle = 0.5 * (edges[1:] + edges[:-1])
    gone = np.zeros(middle.size)
    for low, high, on, off in open_spans(edges[0], edges[-1], changes, timezone):
        inside = (middle >= low) & (middle <= high)
        gone[inside] = (middle[inside] - on) / (off - on)
    return gone


def _next(after: datetime, window: Window | None, timezone: str, which: int) -> datetime | None:
    now = after.timestamp()
    zone = ZoneInfo(timezone)
    moments = [span[which] for span in spans(window, now, now + 2 * 86400, timezone)]
    later = [moment for moment in moments if moment > now]
    return datetime.fromtimestamp(min(later), zone) if later else None


def next_on(after: datetime, window: Window | None, timezone: str) -> datetime | None:
    """Return when the window next opens after `after` (aware), in the zone; None for never."""
    return _next(after, window, timezone, 0)


def next_off(after: datetime, window: Window | None, timezone: str) -> datetime | None:
    """Return when the window next closes after `after` (aware), in the zone; None for never."""
    return _next(after, window, timezone, 1)


def is_on(at: datetime, window: Window | None, timezone: str) -> bool:
    """Whether the window is open at `at` (aware)."""
    now = at.timestamp()
    return any(on <= now < off for on, off in spans(window, now, now, timezone))
