"""From evidence to a verdict: how likely each kind of fault is, since when, and how large."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from scipy.optimize import brentq
from scipy.special import ndtr

from leafgill.estimate.belief import LEVEL, Interval
from leafgill.estimate.watch.hypotheses import (
    JUMP_KIND,
    JUMP_SIZES_PH,
    UNKNOWN_KIND,
    Hypothesis,
)
from leafgill.estimate.watch.pursuit import TEMPER, Pursuit
from leafgill.science.compiled import FloatArray

# Kinds that explain at least this part of what the best explains are named with it.
AS_GOOD = 0.2
_LEAST_SHARE = 0.003


@dataclass(frozen=True)
class Suspect:
    """One kind of fault: its probability, its likeliest onset, and the row or jump that leads."""

    kind: str
    probability: float
    since_s: float
    fault: Hypothesis | None = None
    jump_ph: float = 0.0


@dataclass(frozen=True)
class Verdict:
    """How likely all is as believed, and who is suspected, the likeliest first."""

    as_believed: float
    suspects: tuple[Suspect, ...]


def log_sum(values: FloatArray) -> float:
    """Return the log of a sum of exponentials."""
    most = float(values.max())
    return most + float(np.log(np.exp(values - most).sum()))


def judge(pursuit: Pursuit) -> Verdict:
    """Return the verdict on a pursuit so far."""
    branches, jumps, unknown = pursuit.branches, pursuit.jumps, pursuit.unknown
    weights = branches.log_weights(TEMPER)
    by_kind: dict[str, list[int]] = {}
    for k, branch in enumerate(branches.all):
        by_kind.setdefault(branch.fault.kind, []).append(k)
    found: list[tuple[float, Suspect]] = []
    for kind, mine in by_kind.items():
        lead = branches.all[mine[int(np.argmax(weights[mine]))]]
        found.append((log_sum(weights[mine]), Suspect(kind, 0.0, lead.onset_s, lead.fault)))
    jump = jumps.log_weights(TEMPER)
    at, size = np.unravel_index(int(np.argmax(jump)), jump.shape)
    found.append((log_sum(jump.ravel()), Suspect(JUMP_KIND, 0.0, float(jumps.onsets_s[at]),
                                                 jump_ph=JUMP_SIZES_PH[int(size)])))  # fmt: skip
    wide = unknown.log_weights(TEMPER)
    since = float(unknown.onsets_s[int(np.argmax(wide))])
    found.append((log_sum(wide), Suspect(UNKNOWN_KIND, 0.0, since)))
    total = log_sum(np.array([0.0, *(weight for weight, _ in found)]))
    suspects = [replace(one, probability=math.exp(weight - total)) for weight, one in found]
    suspects.sort(key=lambda s: -s.probability)
    return Verdict(math.exp(-total), tuple(suspects))


def together(verdict: Verdict) -> tuple[Suspect, ...]:
    """Return the leading suspect and those that explain nearly as much."""
    lead = verdict.suspects[0]
    return tuple(s for s in verdict.suspects if s.probability >= AS_GOOD * lead.probability)


def co2_now(pursuit: Pursuit) -> Interval:
    """Return CO2 of the whole water [mg/L] now, given all readings and all explanations.

    Faults shift it as far as they are likely. A mixture of log-normals of one width.
    """
    log_co2, shared, alone = pursuit.co2_members()
    weights, left = pursuit.ledger.regress(log_co2, shared, alone)
    sd = float(np.sqrt(left))
    centre = float(log_co2.mean()) + float(weights @ pursuit.ledger.innovations)
    n = pursuit.ledger.count
    branches = pursuit.branches
    logs = np.concatenate([[0.0], branches.log_weights(TEMPER),
                           pursuit.jumps.log_weights(TEMPER).ravel()])  # fmt: skip
    moved_jump = pursuit.jumps.shifts[:, :n] @ weights
    by_jump = (moved_jump[:, None] * np.array(JUMP_SIZES_PH)).ravel()
    shifts = [np.zeros(1), np.zeros(0), -by_jump]
    if branches.all:
        shifts[1] = pursuit.co2_shifts() - branches.shifts[:, :n] @ weights
    parts = np.exp(logs - log_sum(logs))
    kept = parts > _LEAST_SHARE
    return _mixture(centre + np.concatenate(shifts)[kept], parts[kept] / parts[kept].sum(), sd)


def _mixture(centres: FloatArray, parts: FloatArray, sd: float) -> Interval:
    """Return mean and 90 % interval of exp of a mixture of normals of one width."""

    def quantile(level: float) -> float:
        low, high = centres.min() - 6.0 * sd, centres.max() + 6.0 * sd
        return float(
            np.exp(brentq(lambda x: float(parts @ ndtr((x - centres) / sd)) - level, low, high))
        )

    mean = float(parts @ np.exp(centres + 0.5 * sd * sd))
    return Interval(mean, quantile((1.0 - LEVEL) / 2.0), quantile((1.0 + LEVEL) / 2.0))
