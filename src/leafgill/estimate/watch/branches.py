"""The faults that may have begun: each a few members run on with it, and how well it explains."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from leafgill.estimate.huber import huber_losses
from leafgill.estimate.watch.hypotheses import Hypothesis
from leafgill.estimate.watch.lanes import Bent, Way
from leafgill.estimate.watch.members import STATE
from leafgill.science.compiled import FloatArray

# Members that stand for all in a fault's shift of the readings.
LANES = 8
# A fault's size, onset and shape lie between those tried, so its shift may be off by this part.
SHAPE = 0.35
# Two onsets this near are told apart by nothing when they are so old [h]: (age, spacing).
_THINNED = ((3.0, 1.0), (8.0, 3.0), (24.0, 6.0))
# A fault this much less likely than the best explanation is let go [log].
_HOPELESS, _TRIED_H = 16.0, 1.0
_BLOCK = 64


def gained(shift: FloatArray, innovation: float) -> FloatArray:
    """Return by how much whitened shifts explain an innovation better than none [log].

    Both count linearly far out (Huber), and the shift may itself be off by a part.
    """
    width = np.sqrt(1.0 + (SHAPE * shift) ** 2)
    explained = huber_losses((innovation - shift) / width) + np.log(width)
    gain: FloatArray = huber_losses(np.array(innovation)) - explained
    return gain


@dataclass(frozen=True, slots=True)
class Branch:
    """A fault that may have begun at a moment; `log_prior` of its kind, size and onset."""

    fault: Hypothesis
    onset_s: float
    log_prior: float


class Branches:
    """All branches alive; `state` [b·LANES, STATE] and `which` [b·LANES] of their lanes."""

    def __init__(self, chosen: np.ndarray) -> None:
        self.chosen = chosen  # [LANES] the members that are run with each fault
        self.all: list[Branch] = []
        self.state = np.zeros((0, STATE))
        self.shifts = np.zeros((0, _BLOCK))  # [b, n] whitened
        self.gain = np.zeros(0)  # log likelihood against "as believed"
        self._columns = np.zeros((0, 6))

    @property
    def which(self) -> np.ndarray:
        """Each lane's member."""
        return np.tile(self.chosen, len(self.all))

    @property
    def onsets_s(self) -> FloatArray:
        """When each began [b]."""
        return self._columns[:, 0]

    def log_weights(self, temper: float) -> FloatArray:
        """Return log of each branch's weight against that of "as believed" [b]."""
        return np.array([b.log_prior for b in self.all]) + temper * self.gain

    def spawn(self, branch: Branch, state: FloatArray) -> None:
        """Begin a branch with its lanes' state [LANES, STATE]."""
        f = branch.fault
        self.all.append(branch)
        self.state = np.concatenate([self.state, state])
        self.shifts = np.concatenate([self.shifts, np.zeros((1, self.shifts.shape[1]))])
        self.gain = np.append(self.gain, 0.0)
        row = [branch.onset_s, f.rate, f.rate_slope, f.dissolved_slope, f.kh_slope, f.leak_g_day]
        self._columns = np.concatenate([self._columns, [row]])

    def bent(self, from_s: float, to_s: float, set_s: float) -> Bent:
        """Return what the faults do in a step; a valve set by counting at `set_s` is set right."""
        onset, rate, slope, dissolved, kh, leak = self._columns.T
        middle, days = 0.5 * (from_s + to_s), (to_s - from_s) / 86400.0
        age = np.maximum(middle - onset, 0.0) / 86400.0
        since = np.maximum(middle - np.maximum(onset, set_s), 0.0) / 86400.0
        lasts = np.array([age[k] < b.fault.kh_days for k, b in enumerate(self.all)])
        ways: list[Way] = []
        way = np.zeros(len(self.all), dtype=np.int64)
        for k, branch in enumerate(self.all):
            own = Way(branch.fault.gas, branch.fault.air, branch.fault.dark)
            if own not in ways:
                ways.append(own)
            way[k] = ways.index(own)

        def lanes(values: FloatArray) -> FloatArray:
            return np.repeat(values, LANES)

        return Bent(
            rate=lanes(np.where(onset >= set_s, rate, 0.0) + slope * since),
            dissolved=lanes(dissolved * age),
            alkalinity=lanes(np.where(lasts, kh * days, 0.0)),
            leak_g_h=lanes(leak / 24.0),
            ways=tuple(ways),
            way=np.repeat(way, LANES),
        )

    def held(self, n: int, shift: FloatArray, innovation: float) -> None:
        """Take each branch's whitened shift [b] of reading n and what it explains."""
        if n >= self.shifts.shape[1]:
            self.shifts = np.concatenate([self.shifts, np.zeros_like(self.shifts)], axis=1)
        self.shifts[:, n] = shift
        self.gain += gained(shift, innovation)

    def thin(self, now_s: float, temper: float) -> None:
        """Let go what explains nothing, and of near onsets long ago all but the best."""
        if not self.all:
            return
        weight = self.log_weights(temper)
        age = (now_s - self.onsets_s) / 3600.0
        alive = (weight > max(float(weight.max()), 0.0) - _HOPELESS) | (age < _TRIED_H)
        best: dict[tuple[int, int, float], int] = {}
        prior = np.array([b.log_prior for b in self.all])
        for k, branch in enumerate(self.all):
            apart = next((gap for old, gap in reversed(_THINNED) if age[k] >= old), 0.0)
            if not alive[k] or apart == 0.0:
                continue
            key = (id(branch.fault), int(branch.onset_s // (3600.0 * apart)), apart)
            other = best.setdefault(key, k)
            if other == k:
                continue
            kept, gone = (k, other) if weight[k] > weight[other] else (other, k)
            prior[kept] = np.logaddexp(prior[kept], prior[gone])
            alive[gone], best[key] = False, kept
        self._keep(alive, prior)

    def forget(self) -> None:
        """Let all go."""
        self._keep(np.zeros(len(self.all), dtype=bool), np.zeros(len(self.all)))

    def _keep(self, alive: np.ndarray, prior: FloatArray) -> None:
        self.all = [
            Branch(b.fault, b.onset_s, float(p))
            for b, p, yes in zip(self.all, prior, alive, strict=True)
            if yes
        ]
        self.state = self.state[np.repeat(alive, LANES)]
        self.shifts, self.gain = self.shifts[alive], self.gain[alive]
        self._columns = self._columns[alive]
