"""Which reading to take next: how much each would narrow what is believed of CO2.

Each possible reading is taken in thought, many times over, by tanks of the belief itself: a draw
says what would be shown, the draws are weighed by how well they agree with that, and the 90 %
interval of the weighed draws is measured (preposterior analysis; Raiffa & Schlaifer 1961, Applied
Statistical Decision Theory, cited from memory, not checked against the book).
"""

from __future__ import annotations

from datetime import datetime
from typing import NamedTuple
from zoneinfo import ZoneInfo

import numpy as np

from leafgill.advise.candidates import Candidate, candidates
from leafgill.advise.instruments import reads_colour
from leafgill.advise.real_time import after, later, sooner
from leafgill.advise.words import moment
from leafgill.diary import Diary
from leafgill.estimate.belief import LEVEL, Belief
from leafgill.science.compiled import FloatArray
from leafgill.tank.schedule import is_on, next_off, next_on, window_in_force
from leafgill.tank.spec import Tank

# Readings taken in thought of each instrument.
_TAKEN = 40
# Draws that have to carry weight after a reading, for a width to mean something.
_FEWEST = 25.0
# CO2 is near its height from this long after lights-on, and still this long before lights-off [h].
_RISEN_H = 2.0
_BEFORE_OFF_H = 1.0


class Reading(NamedTuple):
    """A reading worth taking: its diary kind, what it is, and how to take it.

    `narrows_by` is the part by which the 90 % interval of CO2 is expected to shrink, 0 to 1;
    `at` when to take it.
    """

    kind: str
    what: str
    narrows_by: float
    how: str
    at: datetime | None = None


def rank_readings(tank: Tank, diary: Diary, belief: Belief, now: datetime) -> list[Reading]:
    """Return the readings that could be taken next, the most telling first.

    What counts is CO2 of the next lit afternoon (of now, when the plants are at work). Each
    reading is thought of now and then, and the better time is named. The same belief gives the
    same ranking.
    """
    now = now.replace(tzinfo=ZoneInfo(tank.timezone)) if now.tzinfo is None else now
    telling = most_telling(belief, now)
    co2 = belief.at("co2", telling)
    checker = reads_colour(diary)
    times = [now] if telling == now else [now, telling]
    best: dict[str, Reading] = {}
    for at in times:
        for one in candidates(belief, at, checker=checker):
            narrows = narrowing(one, co2)
            if one.what not in best or narrows > best[one.what].narrows_by + 0.02:
                how = one.how if at == now else f"Take it {moment(at, now)}. {one.how}"
                best[one.what] = Reading(str(one.kind), one.what, narrows, how, at)
    return sorted(best.values(), key=lambda reading: -reading.narrows_by)


def most_telling(belief: Belief, now: datetime) -> datetime:
    """Return now when the plants are at work, else the next time CO2 stands near its height."""
    timeline, zone = belief.problem.evidence.timeline, belief.tank.timezone
    light = window_in_force(timeline.light, now.timestamp())
    risen = after(now, -_RISEN_H)
    if is_on(now, light, zone) and is_on(risen, light, zone):
        return now
    off = next_off(now, light, zone)
    if off is None or next_on(now, light, zone) is None:
        return now
    end = datetime.fromtimestamp(float(belief.edges_s[-1]), now.tzinfo)
    return later(now, sooner(after(off, -_BEFORE_OFF_H), end))


def narrowing(candidate: Candidate, co2_mg_l: FloatArray) -> float:
    """Return the part by which a reading is expected to narrow the 90 % interval of CO2.

    `co2_mg_l` [m] at the moment that counts. The mean is taken over the logarithm of the width,
    so that a reading that doubles it and one that halves it are worth nothing together. Never
    below 0: a reading one need not heed cannot harm.
    """
    order = np.argsort(co2_mg_l, kind="stable")
    rising = co2_mg_l[order]
    before = _log_widths(rising, np.ones((1, rising.size)))[0]
    weights, odds = in_thought(candidate)
    if not odds.size:
        return 0.0
    after = float(np.sum(odds * _log_widths(rising, weights[:, order])))
    return float(max(1.0 - np.exp(after - before), 0.0))


def in_thought(candidate: Candidate) -> tuple[FloatArray, FloatArray]:
    """Return what each draw weighs after each outcome of a reading [k, m], and its odds [k].

    The odds sum to 1; nothing (k = 0) for a reading that shows nothing.
    """
    if candidate.chances is not None:
        odds = candidate.chances.mean(axis=0)
        return np.maximum(candidate.chances.T, 1e-12), odds / odds.sum()
    if candidate.shows is None:
        return np.empty((0, 0)), np.empty(0)
    weights = _weights(candidate.shows, candidate.sd)
    return weights, np.full(weights.shape[0], 1.0 / weights.shape[0])


def _weights(shows: FloatArray, sd: float) -> FloatArray:
    """Return what each draw weighs after readings taken in thought, [readings, m].

    Draws from one end of the belief to the other take a reading each. So many draws cannot tell
    a reading sharper than they lie apart: its error is taken as no less than leaves some draws
    to weigh.
    """
    m = shows.size
    error = max(sd, float(shows.std()) * _FEWEST / m, 1e-9)
    takers = np.argsort(shows, kind="stable")[np.linspace(0, m - 1, _TAKEN).astype(np.int64)]
    rng = np.random.default_rng(m)
    read = shows[takers] + error * rng.standard_normal(takers.size)
    log_weight = -0.5 * ((read[:, None] - shows[None, :]) / error) ** 2
    weights: FloatArray = np.exp(log_weight - log_weight.max(axis=1, keepdims=True))
    return weights


def _log_widths(rising: FloatArray, weights: FloatArray) -> FloatArray:
    """Return the logarithm of the weighed 90 % interval's width for each row of weights."""
    ends = [(1.0 - LEVEL) / 2.0, (1.0 + LEVEL) / 2.0]
    total = np.cumsum(weights, axis=1)
    middle = (total - 0.5 * weights) / total[:, -1:]
    widths = [float(np.diff(np.interp(ends, row, rising))[0]) for row in middle]
    return np.log(np.maximum(widths, 1e-9))
