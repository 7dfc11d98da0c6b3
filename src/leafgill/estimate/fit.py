"""From evidence to draws: a search for the best explanation, then draws around it.

1. Levenberg-Marquardt on the standardised errors and the prior (Marquardt 1963), Jacobian by
   differences, all columns and trial dampings evaluated as one batch of the kernel.
2. Randomised maximum likelihood (Kitanidis 1995, Water Resour. Res. 31, 2411-2419; Oliver, He &
   Reynolds 1996): each draw has its own tank from the prior and its own readings, disturbed by
   their errors, and is led to the tank that explains them best. Where tanks answer linearly this
   is the posterior; where they do not it follows their bend, which a Gaussian around the mode
   does not.
3. What is still off is worked on by Metropolis moves on the exact posterior: preconditioned
   Crank-Nicolson proposals (Cotter, Roberts, Stuart & White 2013, Stat. Sci. 28, 424-446) around
   the draws' own mean and covariance.
(All citations from memory, not checked against the papers.)
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from threadpoolctl import threadpool_limits

from leafgill.estimate.huber import huber_losses, trusts
from leafgill.estimate.problem import Problem
from leafgill.science.compiled import FloatArray

Progress = Callable[[str, float], None]
_DIFFERENCE = 0.02
_DAMPINGS = np.array([1e-3, 1e-1, 1.0, 1e1, 1e3])
_LINE = np.array([-1.5, -0.6, -0.2, 0.2, 0.6, 1.5])
_MOST_STEPS = 25
_ENOUGH = 0.01
LEAD_STEPS = 6
MOVES = 3
_FAR_OUT = 6.0
_WANTED_ACCEPTANCE = 0.25
FEWEST_EFFECTIVE = 50.0


class TooFewDrawsError(RuntimeError):
    """The sampler's draws are worth too few independent ones; carries the number."""

    def __init__(self, effective: float) -> None:
        super().__init__(f"the belief rests on {effective:.0f} effective draws, too few to advise")
        self.effective = effective


@dataclass(frozen=True)
class Sample:
    """Draws of the posterior: coordinates z [m, size], equal weights; their effective number.

    `acceptance` is the part of the Metropolis moves that were taken.
    """

    z: FloatArray
    effective: float
    mode: FloatArray
    acceptance: float


def _objective(problem: Problem, z: FloatArray) -> tuple[FloatArray, FloatArray]:
    errors, loss = problem.score(z)
    return errors, loss + 0.5 * np.sum(z * z, axis=1)


def find_mode(problem: Problem, start: FloatArray) -> tuple[FloatArray, FloatArray, float]:
    """Return (mode, Jacobian [n, size] of the errors there, its objective) from a start.

    The width of the straying scales the errors themselves, so least squares cannot find it: it
    is left out of the Jacobian and searched along its own line after each step.
    """
    size = problem.size
    rough = problem.index["roughness"]
    z, damping, stalled, gained = start.copy(), 1.0, 0, np.inf
    jacobian = np.zeros((0, size))
    _, value = _objective(problem, z[None])
    best = float(value[0])
    for _ in range(_MOST_STEPS):
        z, best = _line(problem, z, rough, best)
        errors, jacobian = differences(problem, z)
        # Errors far out count linearly (Huber), so they pull with less than their square.
        weight = trusts(errors)
        normal = jacobian.T @ (weight[:, None] * jacobian) + np.eye(size)
        pull = jacobian.T @ (weight * errors) + z
        pull[rough] = 0.0
        scale = np.diag(np.diag(normal))
        steps = [np.linalg.solve(normal + d * damping * scale, pull) for d in _DAMPINGS]
        trials = z - np.clip(np.stack(steps), -2.0, 2.0)
        _, values = _objective(problem, trials)
        at = int(np.argmin(values))
        gained = best - float(values[at])
        if gained > 0.0:
            z, best = trials[at], float(values[at])
            damping = float(np.clip(damping * _DAMPINGS[at], 1e-4, 1e4))
        else:
            damping = min(damping * 30.0, 1e6)
        stalled = stalled + 1 if gained < _ENOUGH else 0
        if stalled >= 2:
            break
    # A last step that gained nothing left z where the Jacobian was taken.
    return z, jacobian if gained <= 0.0 else differences(problem, z)[1], best


def differences(problem: Problem, z: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return (errors [n], their Jacobian [n, size]; the straying's column is zero) at z."""
    batch, _ = problem.score(np.concatenate([z[None], z + _DIFFERENCE * np.eye(problem.size)]))
    jacobian = (batch[1:] - batch[0]).T / _DIFFERENCE
    jacobian[:, problem.index["roughness"]] = 0.0
    return batch[0], jacobian


def _line(problem: Problem, z: FloatArray, k: int, best: float) -> tuple[FloatArray, float]:
    """Return the best of some values of coordinate k around the present one."""
    trials = np.tile(z, (_LINE.size, 1))
    trials[:, k] += _LINE
    _, values = _objective(problem, trials)
    at = int(np.argmin(values))
    return (trials[at], float(values[at])) if values[at] < best else (z, best)


def _covariance(problem: Problem, jacobian: FloatArray) -> FloatArray:
    """Return the Gaussian approximation's covariance [size, size] at the mode."""
    precision: FloatArray = jacobian.T @ jacobian + np.eye(problem.size)
    # Of n readings the width of the straying is known to about 1/√(2 n) of itself.
    rough = problem.index["roughness"]
    width = problem.rows[rough].width
    precision[rough, rough] += 2.0 * width**2 * problem.evidence.observations.ph.size
    return np.asarray(np.linalg.inv(precision), dtype=np.float64)


def lead(
    problem: Problem,
    mode: FloatArray,
    jacobian: FloatArray,
    covariance: FloatArray,
    count: int,
    rng: np.random.Generator,
    progress: Progress,
) -> FloatArray:
    """Return draws [m, size] by randomised maximum likelihood from the mode.

    All draws share the mode's Jacobian; each has its own step length, shortened when a step
    makes its explanation worse. Draws that end far outside what chance allows are left out.
    """
    size, rough = problem.size, problem.index["roughness"]
    own = rng.standard_normal((count, size))
    disturbed = rng.standard_normal((count, jacobian.shape[0]))
    own[:, rough] = mode[rough] + own[:, rough] * np.sqrt(covariance[rough, rough])
    z = _linear_start(mode, own, disturbed, jacobian, covariance)
    z[:, rough] = own[:, rough]

    def misfit(errors: FloatArray, at: FloatArray) -> FloatArray:
        apart = at - own
        apart[:, rough] = 0.0
        loss = huber_losses(errors + disturbed).sum(axis=1)
        total: FloatArray = loss + 0.5 * np.sum(apart * apart, axis=1)
        return np.where(np.isfinite(total), total, np.inf)

    start = np.tile(mode, (count, 1))
    start[:, rough] = own[:, rough]
    errors, _ = problem.score(start)
    best, best_errors, best_z = misfit(errors, start), errors, start
    reach = np.ones(count)
    for k in range(LEAD_STEPS):
        errors, _ = problem.score(z)
        value = misfit(errors, z)
        better = value < best
        best = np.where(better, value, best)
        best_z = np.where(better[:, None], z, best_z)
        best_errors = np.where(better[:, None], errors, best_errors)
        reach = np.where(better, np.minimum(2.0 * reach, 1.0), 0.3 * reach)
        shaken = best_errors + disturbed
        pull = (trusts(shaken) * shaken) @ jacobian + best_z - own
        pull[:, rough] = 0.0
        z = best_z - reach[:, None] * np.clip(pull @ covariance, -2.0, 2.0)
        z[:, rough] = own[:, rough]
        progress("drawing tanks that explain the diary", 0.3 + 0.5 * (k + 1) / LEAD_STEPS)
    usual = float(np.median(best))
    spread = float(np.median(np.abs(best - usual))) * 1.4826
    kept: FloatArray = best_z[best < usual + _FAR_OUT * max(spread, 1.0)]
    return kept


def _linear_start(
    mode: FloatArray,
    own: FloatArray,
    disturbed: FloatArray,
    jacobian: FloatArray,
    covariance: FloatArray,
) -> FloatArray:
    """Return where each draw would end if errors answered linearly around the mode."""
    # At the mode the errors' pull balances the prior's, so only what is the draw's own is left.
    pull = disturbed @ jacobian - own
    start: FloatArray = mode - np.clip(pull @ covariance, -3.0, 3.0)
    return start


def sample(
    problem: Problem,
    rng: np.random.Generator,
    *,
    count: int = 300,
    moves: int = MOVES,
    start: FloatArray | None = None,
    progress: Progress | None = None,
) -> Sample:
    """Return draws of the posterior. `rng` is the only source of chance.

    `moves` Metropolis moves follow the drawing. Raises TooFewDrawsError when fewer than 50 draws
    are left that explain the diary.
    """
    # The matrices are small: threads of the linear algebra would only fight with the kernel's.
    with threadpool_limits(limits=1, user_api="blas"):
        return _sample(problem, rng, count, moves, start, progress or (lambda _what, _part: None))


def _sample(
    problem: Problem,
    rng: np.random.Generator,
    count: int,
    moves: int,
    start: FloatArray | None,
    tell: Progress,
) -> Sample:
    """Draw, as `sample` says, on one thread of linear algebra."""
    tell("looking for the best explanation", 0.05)
    mode, jacobian, _ = find_mode(problem, np.zeros(problem.size) if start is None else start)
    tell("drawing tanks that explain the diary", 0.3)
    covariance = _covariance(problem, jacobian)
    z = lead(problem, mode, jacobian, covariance, count, rng, tell)
    if z.shape[0] < FEWEST_EFFECTIVE:
        raise TooFewDrawsError(z.shape[0])
    z, acceptance = move(problem, z, covariance, moves, rng)
    return Sample(z, float(z.shape[0]), mode, acceptance)


def move(
    problem: Problem, z: FloatArray, shape: FloatArray, moves: int, rng: np.random.Generator
) -> tuple[FloatArray, float]:
    """Return the draws after Metropolis moves on the exact posterior, and the part taken."""
    centre, near, away = _reference(z, shape)
    log_target = -_objective(problem, z)[1]
    reach, taken = 0.35, 0.0
    for _ in range(moves):
        white = (z - centre) @ away.T
        moved = np.sqrt(1.0 - reach * reach) * white + reach * rng.standard_normal(z.shape)
        trial = centre + moved @ near.T
        there = -_objective(problem, trial)[1]
        # Crank-Nicolson keeps its own Gaussian; what is left decides.
        gain = there - log_target + 0.5 * np.sum(moved * moved - white * white, axis=1)
        yes = np.log(rng.random(z.shape[0])) < gain
        z = np.where(yes[:, None], trial, z)
        log_target = np.where(yes, there, log_target)
        rate = float(yes.mean())
        taken += rate
        reach = float(np.clip(reach * np.exp(rate - _WANTED_ACCEPTANCE), 0.05, 0.9))
    return z, taken / max(moves, 1)


def _reference(z: FloatArray, shape: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Return (centre, factor, inverse) of a Gaussian like the draws, for proposals.

    The draws' covariance, leaned towards the approximation's correlations where draws are few.
    """
    centre = z.mean(axis=0)
    apart = z - centre
    seen = apart.T @ apart / z.shape[0]
    lean = min(0.5, z.shape[1] / z.shape[0])
    scale = np.sqrt(np.diag(seen) / np.diag(shape))
    leaned = (1.0 - lean) * seen + lean * shape * np.outer(scale, scale)
    lower = np.linalg.cholesky(leaned + 1e-9 * np.eye(z.shape[1]))
    return centre, lower, np.linalg.inv(lower)
