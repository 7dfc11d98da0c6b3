"""A series of like water changes: what a substance does from one to the next, and where it ends.

Between two changes a substance gains (food, doses) or loses (plants) so much; then a part of the
water is replaced:  c' = (1-x)·(c + g) + x·n.  Its closed form after k changes is
c_k = c_end + (c_0 - c_end)·(1-x)^k  with  c_end = n + g·(1-x)/x.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from leafgill.science.compiled import FloatArray


class Series(NamedTuple):
    """Levels just before and just after each change, [k+1] from the start on; units as given.

    `before[0]` and `after[0]` are both the start.
    """

    before: FloatArray
    after: FloatArray


def step_by_step(start: float, new: float, part: float, gain: float, count: int) -> Series:
    """Return levels over `count` changes of a `part`, counted out change by change.

    `new` is the level of the new water, `gain` what comes in between two changes. A level never
    falls below nothing. Raises ValueError for a part that is none.
    """
    _check(part)
    before, after = np.empty(count + 1), np.empty(count + 1)
    before[0] = after[0] = start
    for k in range(1, count + 1):
        before[k] = max(after[k - 1] + gain, 0.0)
        after[k] = (1.0 - part) * before[k] + part * new
    return Series(before, after)


def after_changes(start: float, new: float, part: float, gain: float, count: int) -> float:
    """Return the level after `count` changes by the closed form (no floor at nothing).

    Raises ValueError for a part that is none.
    """
    end = ends_at(new, part, gain)
    return end + (start - end) * (1.0 - part) ** count


def ends_at(new: float, part: float, gain: float) -> float:
    """Return the level after a change that the series comes to. Raises as `after_changes`."""
    _check(part)
    return new + gain * (1.0 - part) / part


def changes_until(start: float, end: float, wanted: float, part: float) -> int | None:
    """Return how many changes bring a level to `wanted`, None where the series never does.

    `end` is where it ends up. 0 where the start is there already (at the wanted level or past it
    on the end's side). Raises as `after_changes`.
    """
    _check(part)
    if start == wanted or (start - wanted) * (end - start) > 0.0:
        return 0
    left = (wanted - end) / (start - end) if start != end else math.inf
    if left <= 0.0 or left > 1.0:
        return None
    if part == 1.0:
        return 1
    return math.ceil(math.log(left) / math.log1p(-part) - 1e-9)


def _check(part: float) -> None:
    if not 0.0 < part <= 1.0:
        raise ValueError(f"a part of {part:g}; accepted: above 0 to 1")
