"""How far the water has answered a change of the valve, and when it will have."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from leafgill.advise.forecast import Outlook, run
from leafgill.estimate.belief import Belief
from leafgill.science.compiled import FloatArray
from leafgill.tank.clock import DAY_S

# A change that never moves CO2 by this much has nothing to wait for [mg/L].
_NOTHING_MG_L = 0.1


class Response(NamedTuple):
    """What a change makes of CO2: at times [n], the part of its largest effect reached.

    `share` is the mean over the draws of each one's own part. It never falls: what has once shown
    has shown, though the gas goes off at night. `size_mg_l` is the mean of the largest effects
    within a day of the change.
    """

    times_s: FloatArray
    share: FloatArray
    size_mg_l: float

    def at(self, time_s: float) -> float:
        """Return the part reached at a moment, 0 to 1."""
        return float(np.interp(time_s, self.times_s, self.share))

    def reached_s(self, part: float) -> float:
        """Return the first moment at which this part is reached [epoch s]."""
        k = int(np.argmax(self.share >= part))
        if k == 0:
            return float(self.times_s[0])
        pair = slice(k - 1, k + 1)
        return float(np.interp(part, self.share[pair], self.times_s[pair]))


def between(old: Outlook, new: Outlook, act_s: float, until_s: float | None = None) -> Response:
    """Return the response that leads from one outlook to another in the day after `act_s`.

    Up to `until_s` where that is sooner.
    """
    times = new.times_s
    last = act_s + DAY_S if until_s is None else min(until_s, act_s + DAY_S)
    times = times[(times >= act_s - 1.0) & (times <= last)]
    moved = np.abs(new.through("co2", times) - old.through("co2", times))
    so_far = np.maximum.accumulate(moved, axis=1)
    sizes = so_far[:, -1:]
    size = float(sizes.mean())
    if size < _NOTHING_MG_L:
        return Response(times, np.ones(times.size), size)
    share = (so_far / np.maximum(sizes, 1e-12)).mean(axis=0)
    return Response(times, share, size)


def response_of_setting(belief: Belief, set_s: float) -> Response | None:
    """Return the response to the setting made at `set_s` [epoch s], up to a day later.

    Compared with the valve left as it was before (shut, when there was none). None when the
    setting is none of the belief's.
    """
    timeline = belief.problem.evidence.timeline
    starts = np.asarray(timeline.setting_s)
    k = int(np.searchsorted(starts, set_s - 1.0))
    if k >= starts.size or not belief.edges_s[0] <= set_s < belief.edges_s[-1]:
        return None
    flow = belief.draws.flow
    before = flow.copy()
    before[:, k:] = flow[:, k - 1 : k] if k else 0.0
    end_s = min(set_s + DAY_S, float(belief.edges_s[-1]))
    new = run(belief, timeline, belief.draws, set_s, end_s)
    old = run(belief, timeline, belief.draws._replace(flow=before), set_s, end_s)
    return between(old, new, set_s)
