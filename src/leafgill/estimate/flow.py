"""The bubble rate that really was, from what the keeper set and counted.

A valve set to "3 a second" is set by counting, so the true rate is near 3, stays off by the same
part until it is touched again, and creeps. A count is a look at the true rate. On the logarithm
all of this is Gaussian, so the stretches' joint posterior is one small linear solve; the fit then
moves along its few widest directions (Karhunen-Loève) and lets pH say more.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from leafgill.science.compiled import FloatArray

# A rate set by counting ten seconds: half a bubble at the ends, the eye and the hand together (a
# choice of ours).
SETTING_SD = 0.06
# Creep of a needle valve and of a diffuser's back-pressure (a choice of ours).
CREEP_SD_PER_ROOT_DAY = 0.035
# A count beside its ±1 bubble: the eye keeps up until about five a second.
COUNT_SD = 0.03
BLUR_FROM_PER_S = 5.0
BLUR_SD = 0.12
END_ERROR_BUBBLES = 0.5
# Beyond this many hours a stretch of one setting is cut, so that creep can show.
STRETCH_H = 24.0
_KEPT_VARIANCE = 0.97
_MOST_DIRECTIONS = 14


@dataclass(frozen=True, slots=True)
class Setting:
    """The valve set at a moment to a counted rate [1/s]; 0 is shut."""

    at_s: float
    rate: float


@dataclass(frozen=True, slots=True)
class Count:
    """Bubbles counted: the rate [1/s] and over how many seconds."""

    at_s: float
    rate: float
    seconds: float


@dataclass(frozen=True, slots=True)
class Flow:
    """Bubble rate of each stretch: exp(log_mean + directions·z), z standard normal; 0 if shut."""

    start_s: tuple[float, ...]
    log_mean: FloatArray  # [k]
    shut: FloatArray  # [k] 1 where the valve is shut
    directions: FloatArray  # [r, k]

    def rates(self, z: FloatArray, bend: FloatArray) -> FloatArray:
        """Effective bubbles a second [m, k] for coefficients z [m, r].

        `bend` [m]: how dissolution falls off with rate, rate^(1 - bend).
        """
        log_rate = self.log_mean + z @ self.directions
        rates: FloatArray = np.exp((1.0 - bend)[:, None] * log_rate) * (1.0 - self.shut)
        return rates


def count_sd(rate: float, seconds: float, set_to: float = 0.0) -> float:
    """Relative error of a count [1] of a valve that was set to `set_to` [1/s].

    Who loses count of many bubbles may write down few: the eye blurs by what is set, too.
    """
    bubbles = max(rate * seconds, 1.0)
    blur = BLUR_SD if max(rate, set_to) > BLUR_FROM_PER_S else 0.0
    return float(np.sqrt((END_ERROR_BUBBLES / bubbles) ** 2 + COUNT_SD**2 + blur**2))


def stretches(
    settings: Sequence[Setting], end_s: float, cuts: Sequence[float] = ()
) -> list[tuple[float, int]]:
    """Return (start, setting's index) of each stretch: a setting, cut once a day and at `cuts`."""
    found: list[tuple[float, int]] = []
    day = STRETCH_H * 3600.0
    for k, setting in enumerate(settings):
        stop = settings[k + 1].at_s if k + 1 < len(settings) else end_s
        if setting.at_s >= stop and found:
            continue
        # The last piece of a setting is never shorter than half a day, cuts apart.
        pieces = max(int((stop - setting.at_s) / day + 0.5), 1)
        marks = {setting.at_s + piece * day for piece in range(pieces)}
        marks |= {cut for cut in cuts if setting.at_s < cut < stop}
        found += [(mark, k) for mark in sorted(marks)]
    return found


def smooth_flow(
    settings: Sequence[Setting],
    counts: Sequence[Count],
    end_s: float,
    cuts: Sequence[float] = (),
) -> Flow:
    """Return the stretches' rates, given settings in order of time and counts.

    A count before any setting starts a stretch of its own; so does each moment of `cuts`, where
    something else about a bubble changes.
    """
    known = list(settings)
    first = known[0].at_s if known else np.inf
    early = [count for count in counts if count.at_s < first and count.rate > 0.0]
    if early:
        known.insert(0, Setting(early[0].at_s, early[0].rate))
    if not known:
        return Flow((), np.zeros(0), np.zeros(0), np.zeros((0, 0)))
    parts = stretches(known, end_s, cuts)
    starts = np.array([start for start, _ in parts])
    shut = np.array([1.0 if known[k].rate <= 0.0 else 0.0 for _, k in parts])
    precision, push = _creep(parts, known)
    for count in counts:
        at = int(np.searchsorted(starts, count.at_s, side="right")) - 1
        # A count at the moment of a new setting was taken before the hand moved.
        if at > 0 and parts[at][1] != parts[at - 1][1] and count.at_s <= starts[at]:
            at -= 1
        if at < 0 or shut[at] or count.rate <= 0.0:
            continue
        weight = count_sd(count.rate, count.seconds, known[parts[at][1]].rate) ** -2
        precision[at, at] += weight
        push[at] += weight * np.log(count.rate)
    covariance = np.asarray(np.linalg.inv(precision), dtype=np.float64)
    return Flow(
        tuple(starts), covariance @ push, shut, _widest(covariance * np.outer(1 - shut, 1 - shut))
    )


def _creep(parts: list[tuple[float, int]], known: list[Setting]) -> tuple[FloatArray, FloatArray]:
    """Precision [k, k] and its product with the mean [k] of the log rates before any count."""
    size = len(parts)
    precision, push = np.zeros((size, size)), np.zeros(size)
    for i, (start, k) in enumerate(parts):
        if i == 0 or parts[i - 1][1] != k:
            weight = SETTING_SD**-2
            precision[i, i] += weight
            push[i] += weight * np.log(max(known[k].rate, 1e-3))
        else:
            days = (start - parts[i - 1][0]) / 86400.0
            weight = 1.0 / (CREEP_SD_PER_ROOT_DAY**2 * days)
            precision[i, i] += weight
            precision[i - 1, i - 1] += weight
            precision[i, i - 1] -= weight
            precision[i - 1, i] -= weight
    return precision, push


def _widest(covariance: FloatArray) -> FloatArray:
    """Return the few directions [r, k] that carry most of a covariance."""
    values, vectors = np.linalg.eigh(covariance)
    values, vectors = values[::-1], vectors[:, ::-1]
    share = np.cumsum(values) / max(values.sum(), 1e-300)
    count = min(int(np.searchsorted(share, _KEPT_VARIANCE)) + 1, _MOST_DIRECTIONS, values.size)
    kept: FloatArray = (vectors[:, :count] * np.sqrt(np.maximum(values[:count], 0.0))).T
    return np.ascontiguousarray(kept)
