"""The same change every so many days: where KH, GH and every tested substance end up."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from leafgill.advise.drawn import drawn, figure, given, range_of
from leafgill.advise.figure import Figure, Input
from leafgill.advise.water.make_up import MakeUp
from leafgill.advise.water.series import after_changes, changes_until, ends_at
from leafgill.science.cited import Range
from leafgill.science.compiled import FloatArray

DRAWS = 400
# Nearness to its end that counts as arrived: this part of the way is left.
_LEFT = 0.1
_CLOSED = "end + (start - end)·(1 - part)^changes; end = new + gain·(1 - part)/part"
_UNIT = {"KH": "dKH", "GH": "dGH"}


@dataclass(frozen=True, slots=True)
class Trend:
    """One level over a series of changes: now, after some changes, and where it ends.

    `changes` is how many until nine tenths of the way are done; each Figure is the level just
    after a change.
    """

    name: str
    now: Figure
    later: tuple[tuple[int, Figure], ...]
    end: Figure
    changes: int


@dataclass(frozen=True, slots=True)
class Habit:
    """A series of changes of a `part` every `every_days` days."""

    part: float
    every_days: float
    new: MakeUp
    trends: tuple[Trend, ...]

    @property
    def figures(self) -> tuple[Figure, ...]:
        """Every figure."""
        found = []
        for trend in self.trends:
            found += [trend.now, *(at for _, at in trend.later), trend.end]
        return tuple(found)


def habit_of(
    part: float,
    every_days: float,
    new: MakeUp,
    start: Mapping[str, Range],
    gain_per_day: Mapping[str, Range] | None = None,
    shown: tuple[int, ...] = (1, 4),
) -> Habit:
    """Return where a series of changes brings "KH", "GH" and the named levels.

    `start` are the tank's levels now ("KH" in dKH, "GH" in dGH, others mg/L); what the new water
    does not know is left out. `gain_per_day` is what comes in between changes (food, doses) less
    what plants take; none where it is not known. Raises ValueError for a part that is none.
    """
    trends = []
    for name, level in start.items():
        fresh = {"KH": new.kh_dkh, "GH": new.gh_dgh}.get(name, new.levels.get(name))
        if fresh is not None:
            gain = (gain_per_day or {}).get(name, Range(0.0, 0.0, 0.0))
            trends.append(_trend(name, level, fresh, gain, part, every_days, shown, new))
    return Habit(part, every_days, new, tuple(trends))


def _trend(
    name: str,
    level: Range,
    fresh: Range,
    gain: Range,
    part: float,
    every_days: float,
    shown: tuple[int, ...],
    new: MakeUp,
) -> Trend:
    start = drawn(level, DRAWS, f"start {name}")
    incoming = drawn(fresh, DRAWS, f"{new.name}: {name.lower()}")
    between = drawn(gain, DRAWS, f"gain {name}") * every_days
    unit = _UNIT.get(name, "mg/L")
    origin = {"KH": "kh_dkh", "GH": "gh_dgh"}.get(name, name)
    inputs = (
        given("now", level, unit, "tank"),
        given("new water", fresh, unit, new.origin(origin)),
        given("between two changes", range_of(between), unit, "stated" if gain.value else "none"),
        Input("part changed", part, "", "given"),
    )

    def after(count: int) -> FloatArray:
        pairs = zip(start, incoming, between, strict=True)
        return np.array([max(after_changes(s, n, part, g, count), 0.0) for s, n, g in pairs])

    def told(key: str, label: str, values: FloatArray) -> Figure:
        return figure(f"series_{_key(name)}_{key}", f"{name.capitalize()} {label}"
                      if name not in _UNIT else f"{name} {label}", values, unit, _CLOSED, inputs,
                      "balance of mass")  # fmt: skip

    ends = np.maximum(
        np.array([ends_at(n, part, g) for n, g in zip(incoming, between, strict=True)]), 0.0
    )
    return Trend(
        name=name,
        now=told("now", "now", start),
        later=tuple((k, told(f"after_{k}", f"after {k} changes", after(k))) for k in shown),
        end=told("end", "in the end", ends),
        changes=changes_until(1.0, 0.0, _LEFT, part) or 0,
    )


def _key(name: str) -> str:
    return name.lower().replace(" ", "_")
