"""A bubble count that the setting cannot explain: neither is believed until it is counted again."""

from __future__ import annotations

import numpy as np

from leafgill.advise.words import clock, rate_text
from leafgill.diary import Diary, Entry, Kind
from leafgill.estimate.acted import DEFAULT_COUNT_S, filling
from leafgill.estimate.belief import Belief, Misfit
from leafgill.estimate.believe import MISFIT_SIGMA
from leafgill.estimate.flow import count_sd
from leafgill.science.compiled import FloatArray

# What a valve may have crept since it was believed to run so, beside the count's own error.
_CREEP_SD = 0.05


def count_misfit(belief: Belief, diary: Diary, rates_per_s: FloatArray) -> tuple[Misfit, ...]:
    """Return the newest count since the valve was last set, as a misfit of so many widths.

    `rates_per_s` [m] is what is believed to run. Empty where the count fits, and where nothing
    was counted since, or only while the line was filling.
    """
    count = _newest(belief, diary)
    believed = float(np.mean(rates_per_s))
    if count is None or count.number <= 0.0 or believed <= 0.0:
        return ()
    eye = count_sd(count.number, count.seconds or DEFAULT_COUNT_S, believed)
    width = np.hypot(eye, _CREEP_SD)
    spread = float(np.std(np.log(np.maximum(rates_per_s, 1e-6))))
    sigma = float(abs(np.log(count.number / believed)) / np.hypot(width, spread))
    if sigma <= MISFIT_SIGMA:
        return ()
    message = (
        f"{rate_text(count.number)} counted at {clock(count.time.timestamp(), belief.now)} where "
        f"{rate_text(believed)} was expected: count again, and write what then runs as the setting"
    )
    return (Misfit(count.time, str(Kind.BUBBLE_COUNT), f"{count.number:g}", sigma, message),)


def _newest(belief: Belief, diary: Diary) -> Entry | None:
    gas = belief.problem.evidence.timeline.gas
    settings = diary.of(Kind.BUBBLE_RATE)
    counts = [
        entry
        for entry in diary.of(Kind.BUBBLE_COUNT)
        if settings and entry.time > settings[-1].time
        if not filling(entry.time, gas, belief.tank.timezone)
    ]
    return counts[-1] if counts else None
