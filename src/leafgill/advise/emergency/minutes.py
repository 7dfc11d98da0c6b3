"""CO2 and oxygen minute by minute under each way out, and under all of them together."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import NamedTuple

import numpy as np

from leafgill.advise.air import with_stone
from leafgill.advise.changed_water import with_changes
from leafgill.advise.emergency.ways import CHANGE_PART, minutes_below
from leafgill.advise.forecast import Outlook, run
from leafgill.estimate.belief import Belief, Interval, interval
from leafgill.science.compiled import FloatArray
from leafgill.tank.forcing import Draws
from leafgill.tank.limits import Limits
from leafgill.tank.schedule import NEVER
from leafgill.tank.timeline import Timeline, WaterChange

# The minutes that are told.
AT_MIN = (0, 5, 10, 15, 20, 30, 45, 60, 90, 120)
# One pair of hands: the valve first, then the surface; the water runs out for ten minutes and in
# for ten (choices of ours).
AIR_AFTER_MIN = 2
FILL_FROM_MIN, FILLED_MIN = 15, 25
_FINE_MIN, _SPAN_MIN = 120, 720
_COARSE_S = 600.0
# What a key stands for, in the order of the page.
WAYS = {
    "left": "Nothing done",
    "gas_shut": "Gas shut",
    "with_air": "Gas shut, surface moved",
    "with_change": f"Gas shut, {100.0 * CHANGE_PART:.0f} % changed",
    "all": "All three",
}


class Minute(NamedTuple):
    """A minute after the first hand is moved: CO2 of the whole water, oxygen where it is least."""

    minute: int
    co2_mg_l: Interval
    o2_mg_l: Interval


@dataclass(frozen=True)
class Way:
    """One way out: its minutes, and how long until CO2 and oxygen are as the animals need them.

    `co2_min` are the minutes until CO2 is below the limit everywhere, `o2_min` those until oxygen
    is above its minimum everywhere: 0 where they are so already, held at 720. `ph_rise` is by how
    much pH rises within the hour.
    """

    key: str
    words: str
    minutes: tuple[Minute, ...]
    co2_min: Interval
    o2_min: Interval
    ph_rise: Interval


@dataclass(frozen=True)
class Rescue:
    """The ways out of a tank's trouble from an aware moment on."""

    at: datetime
    limits: Limits
    ways: tuple[Way, ...]

    def way(self, key: str) -> Way:
        """Return a way by its key in WAYS. Raises KeyError."""
        return {way.key: way for way in self.ways}[key]


def rescue_of(belief: Belief, at: datetime, limits: Limits) -> Rescue:
    """Return the ways out from an aware moment of the belief's days, each in steps of a minute.

    `left` leaves everything as it is set. In the others the gas is shut at once; the surface is
    moved after 2 minutes; 30 % of the water are let out from the 5th minute and filled in from
    the 15th to the 25th, with water of the tank's alkalinity and warmth that is in balance with
    the air in oxygen, and brings the CO2 that the belief gives new water. Raises InputError for
    a moment outside the belief's days.
    """
    from_s = at.timestamp()
    as_is, own = belief.problem.evidence.timeline, belief.draws
    shut = as_is.with_gas(from_s, NEVER)
    airy, stone = shut.with_air(from_s + 60.0 * AIR_AFTER_MIN, NEVER.rest), with_stone(belief)
    plans: dict[str, tuple[Timeline, Draws]] = {
        "left": (as_is, own),
        "gas_shut": (shut, own),
        "with_air": (airy, stone),
        "with_change": _filled(belief, shut, own, from_s),
        "all": _filled(belief, airy, stone, from_s),
    }
    ways = [
        _way(key, run(belief, *plans[key], from_s, from_s + 60.0 * _SPAN_MIN, steps_s=_steps()),
             limits)
        for key in WAYS
    ]  # fmt: skip
    return Rescue(at, limits, tuple(ways))


def _steps() -> FloatArray:
    """Return the edges of the steps after the first [s]: of a minute for two hours, then of ten."""
    fine = 60.0 * np.arange(1, _FINE_MIN + 1)
    coarse = np.arange(fine[-1] + _COARSE_S, 60.0 * _SPAN_MIN, _COARSE_S)
    return np.concatenate([fine, coarse])


def _filled(
    belief: Belief, timeline: Timeline, draws: Draws, from_s: float
) -> tuple[Timeline, Draws]:
    """Return timeline and draws with the water let out and filled in, a part every minute.

    Letting out changes no concentration; each minute of filling thins what is there by then.
    """
    count = FILLED_MIN - FILL_FROM_MIN
    each = CHANGE_PART / count
    changes = [
        WaterChange(
            from_s + 60.0 * (FILL_FROM_MIN + k) + 0.01,
            each / (1.0 - CHANGE_PART + each * (k + 1)),
        )
        for k in range(count)
    ]
    alkalinity = belief.through("alkalinity_meq_l", np.array([from_s]))
    return with_changes(timeline, draws, changes, alkalinity)


def _way(key: str, ahead: Outlook, limits: Limits) -> Way:
    from_s = float(ahead.times_s[0])
    at = from_s + 60.0 * np.array(AT_MIN, dtype=np.float64)
    co2, o2, ph = (ahead.through(what, at) for what in ("co2", "o2", "ph"))
    hour = AT_MIN.index(60)
    return Way(
        key=key,
        words=WAYS[key],
        minutes=tuple(
            Minute(minute, interval(co2[:, k]), interval(o2[:, k]))
            for k, minute in enumerate(AT_MIN)
        ),
        co2_min=interval(minutes_below(ahead.times_s, ahead.co2_max, limits.co2_mg_l)),
        o2_min=interval(minutes_below(ahead.times_s, -ahead.o2, -limits.o2_min_mg_l)),
        ph_rise=interval(ph[:, hour] - ph[:, 0]),
    )
