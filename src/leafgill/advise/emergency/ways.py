"""How fast CO2 leaves when it has to: with the gas shut, with air, after a water change."""

from __future__ import annotations

from datetime import datetime
from typing import NamedTuple

import numpy as np

from leafgill.advise.air import with_stone
from leafgill.advise.changed_water import with_changes
from leafgill.advise.forecast import run
from leafgill.estimate.belief import Belief, Interval, interval
from leafgill.science.compiled import FloatArray
from leafgill.tank.forcing import Draws
from leafgill.tank.schedule import NEVER
from leafgill.tank.timeline import Timeline, WaterChange

# Part of the water that can be changed at once without a shock of its own; common practice, no
# source.
CHANGE_PART = 0.3
# Nobody waits longer than this for water that harms [h].
_HORIZON_H = 12.0


class Relief(NamedTuple):
    """What one measure does: minutes until CO2 is below the limit everywhere, and CO2 then on.

    `minutes` are 0 where it is below already, and held at 720; `co2_mg_l` is CO2 of the whole
    water a quarter of an hour on.
    """

    minutes: Interval
    co2_mg_l: Interval


class Emergency(NamedTuple):
    """The ways out, each with the gas shut; `co2_mg_l` is what is believed now."""

    co2_mg_l: Interval
    limit_mg_l: float
    gas_shut: Relief
    with_air: Relief
    with_change: Relief


def ways_out(belief: Belief, at: datetime, limit_mg_l: float) -> Emergency:
    """Return how fast CO2 falls below a limit from an aware moment of the belief's days.

    `gas_shut` alone; `with_air` with an air stone or a broken surface as well; `with_change`
    after 30 % of the water is changed, with air. The new water is as alkaline as the tank's, and
    brings the CO2 that the belief gives new water.
    """
    from_s = at.timestamp()
    shut = belief.problem.evidence.timeline.with_gas(from_s, NEVER)
    airy = shut.with_air(from_s, NEVER.rest)
    draws = with_stone(belief)
    changed, renewed = with_change(belief, airy, draws, from_s)
    return Emergency(
        co2_mg_l=interval(belief.at("co2", at)),
        limit_mg_l=limit_mg_l,
        gas_shut=_relief(belief, shut, belief.draws, from_s, limit_mg_l),
        with_air=_relief(belief, airy, draws, from_s, limit_mg_l),
        with_change=_relief(belief, changed, renewed, from_s, limit_mg_l),
    )


def _relief(
    belief: Belief, timeline: Timeline, draws: Draws, from_s: float, limit_mg_l: float
) -> Relief:
    until_s = from_s + _HORIZON_H * 3600.0
    ahead = run(belief, timeline, draws, from_s, until_s)
    quarter = min(from_s + 900.0, float(ahead.times_s[-1]))
    return Relief(
        interval(minutes_below(ahead.times_s, ahead.co2_max, limit_mg_l)),
        interval(ahead.at("co2", quarter)),
    )


def minutes_below(times_s: FloatArray, co2_mg_l: FloatArray, level_mg_l: float) -> FloatArray:
    """Return the minutes from the first time until each draw stays below a level, [m].

    `co2_mg_l` [m, n] runs straight between the `times_s` [n]. 0 for a draw that is below
    throughout; the whole span for one that ends above.
    """
    over = co2_mg_l >= level_mg_l
    minutes = np.zeros(co2_mg_l.shape[0])
    span = (times_s - times_s[0]) / 60.0
    for i in np.flatnonzero(over.any(axis=1)):
        last = int(np.flatnonzero(over[i])[-1])
        if last == span.size - 1:
            minutes[i] = span[-1]
            continue
        high, low = co2_mg_l[i, last], co2_mg_l[i, last + 1]
        part = (high - level_mg_l) / (high - low)
        minutes[i] = span[last] + part * (span[last + 1] - span[last])
    return minutes


def with_change(
    belief: Belief, timeline: Timeline, draws: Draws, at_s: float, part: float = CHANGE_PART
) -> tuple[Timeline, Draws]:
    """Return timeline and draws with a water change at `at_s`, the new water's KH the tank's."""
    alkalinity = belief.through("alkalinity_meq_l", np.array([at_s]))
    return with_changes(timeline, draws, [WaterChange(at_s, part)], alkalinity)
