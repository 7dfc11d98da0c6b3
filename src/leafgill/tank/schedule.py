"""When gas, light and air are on.

A window is kept in wall time: something is on at a moment exactly when the tank's own clock then
reads a time inside the window. Where daylight saving skips an hour, what lies in it does not
happen; where an hour comes twice, so does what lies in it.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

import numpy as np
from numpy.typing import NDArray

from leafgill.tank.clock import DAY_S, offsets, seconds_of, zone
from leafgill.tank.window import NEVER, Window, parse_window

__all__ = [
    "NEVER",
    "Change",
    "Window",
    "fraction_on",
    "is_on",
    "next_off",
    "next_on",
    "on_spans",
    "open_hours",
    "open_spans",
    "parse_window",
    "period_at",
    "phase",
    "window_in_force",
]

FloatArray = NDArray[np.float64]
Spans = list[tuple[float, float]]

# Far enough to meet a time of day again, even when a day or two of it is skipped.
_LOOK_DAYS = 4
# Longer than any day by the clock, on which an hour may come twice.
_LONGEST_DAY_S = 25.5 * 3600.0


Change = tuple[float, Window | None]
Stretch = tuple[float, float, float, float]


def fraction_on(
    edges_s: NDArray[np.int64] | FloatArray, changes: Sequence[Change], timezone: str
) -> FloatArray:
    """Return which part of each step something is on, 0 to 1, shape [n].

    `edges_s` [n + 1] are the steps' edges, epoch seconds, increasing. `changes` are (epoch second,
    window) in any order: a window holds from its moment until the next change, the later in the
    list where two share a moment; None is off, and so is all before the first. `timezone` is the
    zone whose clock the windows are read on. Raises InputError for an unknown zone and ValueError
    for edges that do not increase.
    """
    edges = _edges(edges_s)
    lengths = np.diff(edges)
    if lengths.size == 0:
        return lengths
    origin = edges[0]
    spans = on_spans(origin, edges[-1], changes, timezone)
    if not spans:
        return np.zeros(lengths.size)
    # seconds on since the first edge: flat while off, one a second while on
    ends = np.array(spans) - origin
    total = np.cumsum(ends[:, 1] - ends[:, 0])
    before = np.concatenate(([0.0], total[:-1]))
    on_s = np.interp(edges - origin, ends.ravel(), np.column_stack((before, total)).ravel())
    share: FloatArray = np.minimum(np.diff(on_s) / lengths, 1.0)
    return share


def open_hours(
    edges_s: NDArray[np.int64] | FloatArray, changes: Sequence[Change], timezone: str
) -> FloatArray:
    """Return the time since it went on, at the end of each step's part that is on [h], shape [n].

    Where a step meets two openings, the later counts; 0 where it is off throughout. The arguments
    are those of `fraction_on`.
    """
    edges = _edges(edges_s)
    since = np.zeros(np.diff(edges).size)
    for low, high, on, _ in _stretches(edges, changes, timezone):
        first = int(np.searchsorted(edges, low, side="right")) - 1
        last = int(np.searchsorted(edges, high, side="left"))
        since[first:last] = (np.minimum(edges[first + 1 : last + 1], high) - on) / 3600.0
    return since


def phase(
    edges_s: NDArray[np.int64] | FloatArray, changes: Sequence[Change], timezone: str
) -> FloatArray:
    """Return the part of its time on that is gone at each step's middle, 0 to 1, shape [n].

    0 while it is off, and while it is on around the clock, which has no beginning. The arguments
    are those of `fraction_on`.
    """
    edges = _edges(edges_s)
    middle = 0.5 * (edges[1:] + edges[:-1])
    gone = np.zeros(middle.size)
    for low, high, on, off in _stretches(edges, changes, timezone):
        if off - on < _LONGEST_DAY_S:
            first, last = np.searchsorted(middle, [low, high])
            gone[first:last] = (middle[first:last] - on) / (off - on)
    return gone


def _stretches(edges: FloatArray, changes: Sequence[Change], timezone: str) -> list[Stretch]:
    return open_spans(edges[0], edges[-1], changes, timezone) if edges.size > 1 else []


def _edges(edges_s: NDArray[np.int64] | FloatArray) -> FloatArray:
    edges = np.asarray(edges_s, dtype=np.float64)
    if edges.ndim != 1:
        raise ValueError(f"edges_s has shape {edges.shape}; it is a row of times")
    if not (np.diff(edges) > 0.0).all():
        raise ValueError("edges_s must increase")
    return edges


def open_spans(
    first_s: float, last_s: float, changes: Sequence[Change], timezone: str
) -> list[Stretch]:
    """Return (from, to, on, off) of each stretch it is on between two epoch seconds, in order.

    `on` and `off` are when the stretch begins and ends in truth, up to two days outside; `from`
    and `to` are those cut at the two moments. `changes` are those of `fraction_on`.
    """
    reach = 2.0 * DAY_S
    around = on_spans(first_s - reach, last_s + reach, changes, timezone)
    cut = ((max(on, first_s), min(off, last_s), on, off) for on, off in around)
    return [stretch for stretch in cut if stretch[0] < stretch[1]]


def on_spans(start_s: float, end_s: float, changes: Sequence[Change], timezone: str) -> Spans:
    """Return the stretches (from, to) in which something is on, epoch seconds, in order.

    They do not touch each other and lie within start_s to end_s. The arguments are those of
    `fraction_on`.
    """
    ordered = sorted(changes, key=lambda change: change[0])
    spans: Spans = []
    for i, (since_s, window) in enumerate(ordered):
        until_s = ordered[i + 1][0] if i + 1 < len(ordered) else end_s
        low, high = max(start_s, since_s), min(end_s, until_s)
        if window is None or window.never or low >= high:
            continue
        for a, b, offset_s in offsets(low, high, timezone):
            spans += _clock_spans(a, b, offset_s, window)
    return _joined(spans)


def _clock_spans(start_s: float, end_s: float, offset_s: float, window: Window) -> Spans:
    """Return the spans between two epoch seconds with one clock offset throughout."""
    on, length = seconds_of(window.on), window.hours * 3600.0
    # a window of the day before may reach past midnight
    first = int((start_s + offset_s) // DAY_S) - 1
    last = int((end_s + offset_s) // DAY_S)
    begins = (day * DAY_S + on - offset_s for day in range(first, last + 1))
    clipped = ((max(b, start_s), min(b + length, end_s)) for b in begins)
    return [(a, b) for a, b in clipped if a < b]


def _joined(spans: Spans) -> Spans:
    joined: Spans = []
    for a, b in spans:
        if joined and a <= joined[-1][1]:
            joined[-1] = (joined[-1][0], max(b, joined[-1][1]))
        else:
            joined.append((a, b))
    return joined


def window_in_force(changes: Sequence[Change], at: datetime | float) -> Window | None:
    """Return the window that holds at a moment, given as an aware datetime or epoch seconds.

    None when the last change before it was to off, or when there is none before it.
    """
    at_s = _epoch(at)
    found: tuple[float, Window | None] = (-np.inf, None)
    for since_s, window in changes:
        if found[0] <= since_s <= at_s:
            found = (since_s, window)
    return found[1]


def is_on(at: datetime, window: Window | None, timezone: str) -> bool:
    """Return whether a window kept on the zone's clock is on at an aware moment."""
    _epoch(at)
    return window is not None and window.covers(at.astimezone(zone(timezone)).time())


def next_on(after: datetime, window: Window | None, timezone: str) -> datetime | None:
    """Return the first moment after `after` at which the window goes from off to on.

    Aware, in the zone. None when it never does: no window, an empty one, or around the clock.
    """
    return _next(after, window, timezone, 0)


def next_off(after: datetime, window: Window | None, timezone: str) -> datetime | None:
    """Return the first moment after `after` at which the window goes from on to off.

    Aware, in the zone. None when it never does: no window, an empty one, or around the clock.
    """
    return _next(after, window, timezone, 1)


def period_at(
    at: datetime, window: Window | None, timezone: str
) -> tuple[datetime, datetime] | None:
    """Return (on, off) of the period that an aware moment falls in, None while it is off.

    Around the clock has no beginning and no end: None as well.
    """
    at_s = _epoch(at)
    for a, b in _around(at_s, window, timezone):
        if a <= at_s < b:
            inside = a > at_s - _LOOK_DAYS * DAY_S and b < at_s + _LOOK_DAYS * DAY_S
            return (_moment(a, timezone), _moment(b, timezone)) if inside else None
    return None


def _next(after: datetime, window: Window | None, timezone: str, end: int) -> datetime | None:
    after_s = _epoch(after)
    # the spans are cut at the limits of the look-around, which are not moments of switching
    beyond = after_s + _LOOK_DAYS * DAY_S
    for span in _around(after_s, window, timezone):
        if after_s < span[end] < beyond:
            return _moment(span[end], timezone)
    return None


def _around(at_s: float, window: Window | None, timezone: str) -> Spans:
    reach = _LOOK_DAYS * DAY_S
    return on_spans(at_s - reach, at_s + reach, [(at_s - reach, window)], timezone)


def _moment(epoch_s: float, timezone: str) -> datetime:
    return datetime.fromtimestamp(epoch_s, zone(timezone))


def _epoch(at: datetime | float) -> float:
    if not isinstance(at, datetime):
        return float(at)
    if at.tzinfo is None:
        raise ValueError(f"time {at} has no zone")
    return at.timestamp()
