"""Draws of what a few readings leave possible: annealed importance sampling with moves.

Draws of the prior are weighed by the readings' likelihood little by little: each stage raises its
power until half of the draws would still count, draws anew by weight and moves each draw about
(sequential Monte Carlo; Del Moral, Doucet & Jasra 2006, J. R. Stat. Soc. B 68, 411-436; cited
from memory, not checked against the paper). Where two explanations stand side by side, both keep
their share of the draws.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from threadpoolctl import threadpool_limits

from leafgill.science.compiled import FloatArray

Loss = Callable[[FloatArray], FloatArray]

_KEPT_PART = 0.5
_MOST_STAGES = 60
# Random-walk moves at each stage, and the part of them that should be taken; moves that draw a few
# coordinates anew, and how many each.
_MOVES = 7
_WANTED = 0.25
_FRESH_MOVES, _FRESH_COORDINATES = 4, 3.0
# Rounds of moves at the last stage.
_LAST_ROUNDS = 2


@dataclass(frozen=True)
class Annealed:
    """Equally weighted draws z [m, size]; how many stages, and what part of the moves was taken."""

    z: FloatArray
    stages: int
    acceptance: float


def anneal(loss: Loss, size: int, rng: np.random.Generator, count: int = 1500) -> Annealed:
    """Return draws of standard normal coordinates weighed by exp(-loss).

    `loss` takes z [m, size] and gives [m], infinite where something cannot be. Raises
    ValueError when no draw of the prior is possible at all.
    """
    # small matrices many times over: more than one thread of BLAS only waits for the others
    with threadpool_limits(limits=1, user_api="blas"):
        return _anneal(loss, size, rng, count)


def _anneal(loss: Loss, size: int, rng: np.random.Generator, count: int) -> Annealed:
    z = rng.standard_normal((count, size))
    lost = loss(z)
    if not np.isfinite(lost).any():
        raise ValueError("no draw of the prior can be")
    power, stage, taken, scale = 0.0, 0, 1.0, 1.0
    while power < 1.0 and stage < _MOST_STAGES:
        step = _step(lost, 1.0 - power)
        power = min(power + step, 1.0)
        z, lost = _redrawn(z, lost, step, rng)
        # at the full power draws of one origin are given time to part
        for _ in range(_LAST_ROUNDS if power >= 1.0 else 1):
            z, lost, taken, scale = _moved(loss, z, lost, power, scale, rng)
        stage += 1
    return Annealed(z, stage, taken)


def _weights(lost: FloatArray, step: float) -> FloatArray:
    least = float(lost[np.isfinite(lost)].min())
    weights: FloatArray = np.where(np.isfinite(lost), np.exp(-step * (lost - least)), 0.0)
    return weights


def _part(weights: FloatArray) -> float:
    """Return the part of the draws that still count, 0 to 1."""
    return float(weights.sum() ** 2 / np.sum(weights**2) / weights.size)


def _step(lost: FloatArray, most: float) -> float:
    """Return how far the power can rise with half of the draws that are possible still counting."""
    wanted = _KEPT_PART * float(np.mean(np.isfinite(lost)))
    if _part(_weights(lost, most)) >= wanted:
        return most
    low, high = 0.0, most
    for _ in range(40):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if _part(_weights(lost, middle)) > wanted else (low, middle)
    return max(high, 1e-9)


def _redrawn(
    z: FloatArray, lost: FloatArray, step: float, rng: np.random.Generator
) -> tuple[FloatArray, FloatArray]:
    """Draw anew by weight, evenly spaced (systematic resampling)."""
    weights = _weights(lost, step)
    ends = np.cumsum(weights / weights.sum())
    at = np.searchsorted(ends, (np.arange(lost.size) + rng.random()) / lost.size)
    rows = np.minimum(at, lost.size - 1)
    return z[rows], lost[rows]


def _moved(
    loss: Loss,
    z: FloatArray,
    lost: FloatArray,
    power: float,
    scale: float,
    rng: np.random.Generator,
) -> tuple[FloatArray, FloatArray, float, float]:
    """Move each draw about; (z, loss, part of the walk's moves taken, scale of the walk).

    By a random walk shaped as the draws lie, and by drawing a few coordinates of each anew from
    the prior: what no reading speaks of then stays as spread as it was.
    """
    count, size = z.shape
    spread = np.cov(z.T).reshape(size, size) + 1e-6 * np.eye(size)
    root = np.linalg.cholesky(spread)
    part = 0.0
    for _ in range(_MOVES):
        # a few long steps among the usual ones find what lies apart
        length = scale * 2.38 / np.sqrt(size) * np.where(rng.random(count) < 0.1, 3.0, 1.0)
        trial = z + length[:, None] * (rng.standard_normal((count, size)) @ root.T)
        odds = 0.5 * np.sum(z * z - trial * trial, axis=1)
        z, lost, part = _taken(loss, z, lost, trial, odds, power, rng)
        scale = float(np.clip(scale * np.exp(part - _WANTED), 0.05, 3.0))
    for _ in range(_FRESH_MOVES):
        anew = rng.random((count, size)) < min(_FRESH_COORDINATES / size, 0.5)
        trial = np.where(anew, rng.standard_normal((count, size)), z)
        # drawn from the prior, so that the likelihood alone decides
        z, lost, _ = _taken(loss, z, lost, trial, np.zeros(count), power, rng)
    return z, lost, part, scale


def _taken(
    loss: Loss,
    z: FloatArray,
    lost: FloatArray,
    trial: FloatArray,
    odds: FloatArray,
    power: float,
    rng: np.random.Generator,
) -> tuple[FloatArray, FloatArray, float]:
    """Take the trials that Metropolis's rule takes; (z, loss, part taken)."""
    trial_lost = loss(trial)
    gain = np.where(np.isfinite(trial_lost), odds - power * (trial_lost - lost), -np.inf)
    take = np.log(rng.random(lost.size)) < gain
    return (
        np.where(take[:, None], trial, z),
        np.where(take, trial_lost, lost),
        float(np.mean(take)),
    )
