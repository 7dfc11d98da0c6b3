"""How long a thing serves, from what the record says of earlier ones: a range that narrows.

The time a thing serves scatters about a middle of its own, on the logarithm. A prior of that
middle meets what was seen: it still served at an age, it was found spoiled at an age, or the
keeper did the work at an age. Worked out on a grid, so that no shape has to be assumed of what
comes out.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from scipy.special import ndtr, ndtri

from leafgill.estimate.belief import LEVEL
from leafgill.science.cited import Range
from leafgill.science.compiled import FloatArray

# One filling against the next of the same tank [sd of the logarithm]; and how far the age at which
# a keeper did the work tells how long it would have served (choices of ours).
SCATTER = 0.30
HABIT = 0.60
# Part of what was seen that has another reason (a choice of ours).
SLIP = 0.10
_NODES = 401
_REACH_SD = 4.5

How = Literal["served", "spoiled", "renewed"]


@dataclass(frozen=True, slots=True)
class Seen:
    """What was seen of one: it still served, was found spoiled, or was renewed, at an age [days].

    `slip` is the chance that a thing found spoiled, or serving, was seen so for another reason.
    """

    age_days: float
    how: How
    slip: float = SLIP


@dataclass(frozen=True)
class Learnt:
    """How long it serves [days], what was taken before anything was seen, and how many were seen.

    `narrowed` is the width that is left of the prior's, on the logarithm.
    """

    days: Range
    prior: Range
    seen: int
    narrowed: float

    @property
    def from_record(self) -> bool:
        """Whether the record has told more than what was taken before."""
        moved = abs(math.log(self.days.value / self.prior.value))
        half = 0.5 * math.log(self.prior.high / self.prior.low)
        return self.seen > 0 and (self.narrowed < _TELLS or moved > _MOVED * half)


# Under this part of the prior's width, or moved by this part of its half, the record has told
# something worth saying.
_TELLS, _MOVED = 0.9, 0.25


def learn(prior: Range, seen: Sequence[Seen]) -> Learnt:
    """Return how long a thing serves, from a prior range [days] above zero and what was seen.

    Raises ValueError for a range or an age that is not above zero.
    """
    if min(prior) <= 0.0 or any(one.age_days <= 0.0 for one in seen):
        raise ValueError("ages and ranges must be above 0 days")
    z = np.linspace(-_REACH_SD, _REACH_SD, _NODES)
    log_days = _at(prior, z)
    weight = -0.5 * z * z
    for one in seen:
        weight = weight + np.log(_chance(log_days, one))
    weight = np.exp(weight - weight.max())
    found = _quantiles(z, weight)
    days = Range(*(float(np.exp(_at(prior, np.array([at]))[0])) for at in (found[1], *found[::2])))
    width = math.log(days.high / days.low) / math.log(prior.high / prior.low)
    return Learnt(days, prior, len(seen), width)


def _at(prior: Range, z: FloatArray) -> FloatArray:
    """Return log days at normal scores: nine in ten within the range, half on each side."""
    low, middle, high = np.log([prior.low, prior.value, prior.high])
    reach = float(ndtri(0.5 * (1.0 + LEVEL)))
    values: FloatArray = middle + np.where(z < 0.0, middle - low, high - middle) / reach * z
    return values


def _chance(log_days: FloatArray, one: Seen) -> FloatArray:
    age = math.log(one.age_days)
    if one.how == "renewed":
        habit: FloatArray = np.exp(-0.5 * ((age - log_days) / HABIT) ** 2)
        return np.maximum(habit, 1e-12)
    over = np.asarray(ndtr((age - log_days) / SCATTER))
    part = over if one.how == "spoiled" else 1.0 - over
    kept: FloatArray = one.slip + (1.0 - one.slip) * part
    return kept


def _quantiles(z: FloatArray, weight: FloatArray) -> tuple[float, float, float]:
    mass = np.cumsum(weight) - 0.5 * weight
    ends = ((1.0 - LEVEL) / 2.0, 0.5, (1.0 + LEVEL) / 2.0)
    low, middle, high = np.interp(ends, mass / weight.sum(), z)
    return float(low), float(middle), float(high)
