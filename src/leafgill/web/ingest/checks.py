"""What is odd about readings: a bit for each doubt, and the words for it. Pure; knows no store.

A doubted reading is kept as it was sent, with its doubts; what is believed does not stand on it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leafgill.diary import SENSORS
from leafgill.diary.plausible import CLOCK_SLACK, JUMP_WITHIN_S, STUCK_LEAST

Times = NDArray[np.int64]
Values = NDArray[np.float64]
Flags = NDArray[np.int64]

RANGE, RATE, STUCK, AHEAD, CLASH = 1, 2, 4, 8, 16
WORDS = {
    RANGE: "outside what such a sensor shows in water",
    RATE: "a jump that water does not make",
    STUCK: "one and the same figure for too long",
    AHEAD: "later than this machine's clock",
    CLASH: "another value came for the same second",
}
# A reading with one of these is no measure for the next one.
UNTRUSTED = RANGE | RATE | AHEAD
AHEAD_S = int(CLOCK_SLACK.total_seconds())


@dataclass(frozen=True, slots=True)
class Before:
    """What a sensor sent before some readings.

    `trusted` is the newest reading (epoch second, value) that could be right, None where there is
    none of the last minutes. `run_value` was the newest figure of all, shown without a change
    since `run_since_s` in `run_count` readings; None and 0 where nothing was sent before.
    """

    trusted: tuple[int, float] | None = None
    run_value: float | None = None
    run_since_s: int = 0
    run_count: int = 0


def doubts(kind: str, times_s: Times, values: Values, before: Before, now_s: float) -> Flags:
    """Return the flags [n] of a sensor's readings: epoch seconds [n], rising; values [n], finite.

    A jump is told by the newest reading before that was not doubted itself, so that one stray
    value is one doubt, and a step that stays is believed after five minutes.
    """
    low, high = SENSORS[kind].accepted
    flags = np.zeros(times_s.size, np.int64)
    flags[(values < low) | (values > high)] |= RANGE
    flags[times_s > now_s + AHEAD_S] |= AHEAD
    flags[_jumping(kind, times_s, values, flags == 0, before.trusted)] |= RATE
    flags[_stuck(kind, times_s, values, before)] |= STUCK
    return flags


def _jumping(
    kind: str,
    times_s: Times,
    values: Values,
    could_be: NDArray[np.bool_],
    trusted: tuple[int, float] | None,
) -> NDArray[np.intp]:
    """Return the indices of readings too far from the one that was trusted last."""
    at = np.flatnonzero(could_be)
    times, shown = times_s[at], values[at]
    if trusted is not None:
        times, shown = np.append(trusted[0], times), np.append(trusted[1], shown)
    jump = SENSORS[kind].jump
    near = np.diff(times) <= JUMP_WITHIN_S
    if not (near & (np.abs(np.diff(shown)) > jump)).any():
        return at[:0]
    found = []
    last_s, last = trusted if trusted is not None else (int(times[0]), float(shown[0]))
    for index in at.tolist():
        time_s, value = int(times_s[index]), float(values[index])
        if time_s - last_s <= JUMP_WITHIN_S and abs(value - last) > jump:
            found.append(index)
        else:
            last_s, last = time_s, value
    return np.array(found, np.intp)


def _stuck(kind: str, times_s: Times, values: Values, before: Before) -> NDArray[np.bool_]:
    """Return which readings [n] show a figure that has not changed for longer than it may."""
    if not times_s.size:
        return np.zeros(0, np.bool_)
    index = np.arange(times_s.size)
    changes = np.append(True, np.diff(values) != 0)
    starts = np.maximum.accumulate(np.where(changes, index, 0))
    since, count = times_s[starts], index - starts + 1
    if before.run_value is not None and values[0] == before.run_value:
        first = starts == 0
        since = np.where(first, before.run_since_s, since)
        count = np.where(first, count + before.run_count, count)
    long = times_s - since >= SENSORS[kind].stuck_h * 3600
    stuck: NDArray[np.bool_] = long & (count >= STUCK_LEAST)
    return stuck


def named(flag: int) -> list[str]:
    """Return a reading's doubts in words, none where it is not doubted."""
    return [words for bit, words in WORDS.items() if flag & bit]
