"""How fast a diffuser clogs: the gas that dissolves of a counted bubble, lost day by day.

A clogged diffuser makes larger bubbles, of which less dissolves. For each rate of loss a day since
the last cleaning the belief's own problem is solved again around the tank it believes in: every
unknown may move to explain the readings (plants that grow, a surface that calms, a valve that
creeps against the counts), and what cannot be explained away speaks for or against that rate. The
least cost of each rate, prior of the unknowns included, weighs it beside a prior from common
practice (profile likelihood; Gauss-Newton with the Jacobian of the unclogged tank).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from leafgill.advise.care.lifetime import Seen, learn
from leafgill.estimate.belief import Belief
from leafgill.estimate.fit import differences
from leafgill.estimate.huber import trusts
from leafgill.estimate.problem import Problem
from leafgill.science.cited import Range
from leafgill.science.compiled import FloatArray
from leafgill.tank.forcing import Draws

# What is lost before it is cleaned: a fifth of the gas (a choice of ours).
CLEAN_AT = 0.20
# Days until that is lost; cleaned every four weeks by most (common practice, no source).
USUAL_DAYS = Range(28.0, 9.0, 90.0)
# How far gone a diffuser is taken to be where the diary knows of no cleaning [days].
_UNKNOWN_AGE_DAYS = 14.0
# Rates that are tried, and the finer ones between them.
_TRIED_DAYS = np.geomspace(3.0, 400.0, 15)
_DAYS = np.geomspace(3.0, 400.0, 241)
_STEPS = 8
_PARTS = np.array([1.0, 0.5, 0.2])
_NORMAL_95 = 1.6449


@dataclass(frozen=True)
class Fouling:
    """Days until a fifth of the gas is lost, and the part that is lost now [1].

    `narrowed` is the width left of the prior's, on the logarithm; `cleaned` whether a cleaning is
    known.
    """

    days: Range
    lost: Range
    narrowed: float
    cleaned: bool


@dataclass(frozen=True)
class _Clogging(Problem):
    """The problem with a part of the gas left in each stretch of the flow, [m or 1, stretches]."""

    left: FloatArray = field(default_factory=lambda: np.ones((1, 1)))

    def draws(self, z: FloatArray) -> Draws:
        """Return the draws with that part of the gas alone."""
        plain = super().draws(z)
        return plain._replace(flow=np.ascontiguousarray(plain.flow * self.left))


def fouling_of(
    belief: Belief, cleaned_s: Sequence[float], seen: Sequence[Seen] = ()
) -> Fouling | None:
    """Return how the diffuser clogs; None where no bubble was set or counted, or nothing read.

    `cleaned_s` are the epoch seconds of its cleanings, in order; `seen` what was otherwise seen of
    it (`lifetime.Seen`), which narrows the prior.
    """
    evidence = belief.problem.evidence
    if not evidence.flow.start_s or not evidence.observations.ph.size:
        return None
    prior = learn(USUAL_DAYS, seen).days
    ages = _ages(belief, cleaned_s)
    cost = _least_cost(belief, np.exp(-np.outer(_per_day(_TRIED_DAYS), ages)))
    told = np.interp(np.log(_DAYS), np.log(_TRIED_DAYS), -(cost - cost.min()))
    weight = np.exp(_log_prior(prior) + told)
    days = _range(_DAYS, weight)
    age = _age_at(belief, cleaned_s, evidence.now_s)
    lost = _range(1.0 - np.exp(-_per_day(_DAYS) * age), weight)
    width = math.log(USUAL_DAYS.high / USUAL_DAYS.low)
    return Fouling(days, lost, math.log(days.high / days.low) / width, bool(cleaned_s))


def _per_day(days: FloatArray) -> FloatArray:
    """Return the relative loss a day that takes a fifth in so many days."""
    rate: FloatArray = -math.log(1.0 - CLEAN_AT) / days
    return rate


def _ages(belief: Belief, cleaned_s: Sequence[float]) -> FloatArray:
    """Return the age of the diffuser in the middle of each stretch of the flow [days]."""
    evidence = belief.problem.evidence
    starts = np.asarray(evidence.flow.start_s)
    ends = np.append(starts[1:], max(evidence.now_s, starts[-1] + 3600.0))
    return np.array([_age_at(belief, cleaned_s, float(s)) for s in 0.5 * (starts + ends)])


def _age_at(belief: Belief, cleaned_s: Sequence[float], at_s: float) -> float:
    before = [one for one in cleaned_s if one <= at_s]
    if before:
        return (at_s - before[-1]) / 86400.0
    start = belief.problem.evidence.start_s
    return _UNKNOWN_AGE_DAYS + max(at_s - start, 0.0) / 86400.0


def _least_cost(belief: Belief, left: FloatArray) -> FloatArray:
    """Return the least cost of the readings and the prior for each row of `left`, [k]."""
    plain = belief.problem
    rough = plain.index["roughness"]
    start = belief.z.mean(axis=0)
    errors, jacobian = differences(plain, start)
    trust = trusts(errors)
    normal = jacobian.T @ (trust[:, None] * jacobian) + np.eye(plain.size)
    z = np.tile(start, (left.shape[0], 1))
    problem = _Clogging(plain.evidence, plain.rows, plain.index, left)
    errors, cost = _cost(problem, z)
    tried = _Clogging(plain.evidence, plain.rows, plain.index, np.tile(left, (_PARTS.size, 1)))
    for _ in range(_STEPS):
        pull = (trusts(errors) * errors) @ jacobian + z
        pull[:, rough] = 0.0
        step = np.clip(np.linalg.solve(normal, pull.T).T, -2.0, 2.0)
        trials = (z[None] - _PARTS[:, None, None] * step[None]).reshape(-1, plain.size)
        more, costs = _cost(tried, trials)
        costs = costs.reshape(_PARTS.size, -1)
        best = costs.argmin(axis=0)
        rows = np.arange(z.shape[0])
        better = costs[best, rows] < cost
        at = best * z.shape[0] + rows
        z = np.where(better[:, None], trials[at], z)
        errors = np.where(better[:, None], more[at], errors)
        cost = np.where(better, costs[best, rows], cost)
    return cost


def _cost(problem: Problem, z: FloatArray) -> tuple[FloatArray, FloatArray]:
    errors, loss = problem.score(z)
    return errors, loss + 0.5 * np.sum(z * z, axis=1)


def _log_prior(days: Range) -> FloatArray:
    spread = math.log(days.high / days.low) / (2.0 * _NORMAL_95)
    score = (np.log(_DAYS) - math.log(days.value)) / spread
    weight: FloatArray = -0.5 * score * score
    return weight


def _range(values: FloatArray, weight: FloatArray) -> Range:
    order = np.argsort(values)
    mass = weight[order] / weight.sum()
    at = np.cumsum(mass) - 0.5 * mass
    low, middle, high = np.interp([0.05, 0.5, 0.95], at, values[order])
    return Range(float(middle), float(low), float(high))
