"""A water change put into the belief's days: the tank's model runs on with other water in it."""

from __future__ import annotations

from datetime import datetime
from typing import NamedTuple

import numpy as np

from leafgill.advise.changed_water import with_changes
from leafgill.advise.forecast import Outlook, run
from leafgill.advise.water.make_up import WaterDraws
from leafgill.estimate.belief import Belief
from leafgill.science.compiled import FloatArray
from leafgill.tank.forcing import Draws
from leafgill.tank.timeline import Timeline, WaterChange

# A step a minute while CO2 runs, and of ten after.
_FINE_MIN, _COARSE_MIN = 120, 10


class Renewed(NamedTuple):
    """The hours ahead with the change and without it, on the same days and draws."""

    changed: Outlook
    left: Outlook


def renewed(belief: Belief, at: datetime, part: float, new: WaterDraws, hours: float) -> Renewed:
    """Return the hours from an aware moment with a `part` changed then, and without.

    `new` has the belief's number of draws. Gas, light and air run as they are set. Raises as
    `forecast.run` does.
    """
    from_s = at.timestamp()
    until_s = min(from_s + 3600.0 * hours, float(belief.edges_s[-1]))
    timeline = belief.problem.evidence.timeline
    later, draws = put_in(timeline, belief.draws, from_s, part, new)
    steps = _steps((until_s - from_s) / 60.0)
    return Renewed(
        changed=run(belief, later, draws, from_s, until_s, steps_s=steps),
        left=run(belief, timeline, belief.draws, from_s, until_s, steps_s=steps),
    )


def _steps(minutes: float) -> FloatArray:
    """Return the edges of the steps after the moment of the change [s]."""
    fine = np.arange(1.0, min(minutes, _FINE_MIN) + 1.0)
    coarse = np.arange(_FINE_MIN + _COARSE_MIN, minutes + _COARSE_MIN, _COARSE_MIN)
    steps: FloatArray = 60.0 * np.concatenate([fine, coarse])
    return steps


def put_in(
    timeline: Timeline, draws: Draws, at_s: float, part: float, new: WaterDraws
) -> tuple[Timeline, Draws]:
    """Return timeline and draws with one more change at `at_s`, of water drawn as `new`.

    The model knows one CO2 of new water a tank; it is from here on that of this water, and the
    changes before are done.
    """
    change = WaterChange(at_s, part)
    later, draws = with_changes(timeline, draws, [change], new.alkalinity_meq_l)
    return later, draws._replace(new_co2_mg_l=np.ascontiguousarray(new.co2_mg_l))
