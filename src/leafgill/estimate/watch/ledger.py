"""Sequential Gaussian evidence: what each reading says, given all before it.

The readings' differences from what was expected are jointly normal under "as believed". Their
covariance is factored row by row (Cholesky), so each reading is turned at once into an innovation
of width 1 that is independent of those before it. A named fault shifts the expected readings; its
shift goes through the same rows, and the log of its likelihood against "as believed" is a running
sum: Σ z·e - z²/2 (the generalised likelihood ratio of Willsky & Jones 1976, IEEE Trans. Autom.
Control 21, 108-112, cited from memory; here sizes and onsets are averaged over, not maximised).
"""

from __future__ import annotations

import math

import numpy as np
from scipy.linalg import solve_triangular

from leafgill.science.compiled import FloatArray

_FIRST_ROOM = 64
# However well those before foretell a reading, this part of its own variance stays open, so that
# members who agree to the last digit do not make a reading infinitely sharp (a choice of ours).
LEAST_OWN = 1e-3


class Ledger:
    """Innovations of a growing row of readings, and of the shifts that faults would bring.

    `members` equally likely tanks span what was believed before the first reading.
    """

    def __init__(self, members: int) -> None:
        self.members = members
        self.count = 0
        self._factor = np.zeros((_FIRST_ROOM, _FIRST_ROOM))
        self._white = np.zeros((_FIRST_ROOM, members))
        self._anomalies = np.zeros((_FIRST_ROOM, members))
        self._innovations = np.zeros(_FIRST_ROOM)
        self._means: list[float] = []
        self._row = np.zeros(0)
        self._width = 1.0

    @property
    def innovations(self) -> FloatArray:
        """What each reading was off, in its own widths given all before it [n]."""
        return self._innovations[: self.count]

    def _grow(self) -> None:
        if self.count < self._innovations.size:
            return
        room = 2 * self._innovations.size
        factor = np.zeros((room, room))
        factor[: self.count, : self.count] = self._factor
        self._factor = factor
        for name in ("_white", "_anomalies"):
            old = getattr(self, name)
            setattr(self, name, np.concatenate([old, np.zeros_like(old)]))
        self._innovations = np.concatenate([self._innovations, np.zeros(self.count)])

    def add(
        self, predicted: FloatArray, value: float, variance: float, shared: FloatArray
    ) -> tuple[float, float]:
        """Take a reading; return (its innovation in widths, that width).

        `predicted` [members] is what each member expected of it; `variance` what else scatters it
        alone; `shared` [n] what else it has in common with each reading before it. Raises
        ValueError for a variance that is not positive.
        """
        if not variance > 0.0:
            raise ValueError(f"a reading of variance {variance:g}; accepted: more than 0")
        self._grow()
        n, mean = self.count, float(predicted.mean())
        apart = predicted - mean
        with_before = self._anomalies[:n] @ apart / (self.members - 1) + shared
        row = self._solve(with_before)
        own = float(apart @ apart) / (self.members - 1) + variance
        width = math.sqrt(max(own - float(row @ row), LEAST_OWN * variance))
        innovation = (value - mean - float(row @ self._innovations[:n])) / width
        self._factor[n, :n], self._factor[n, n] = row, width
        self._anomalies[n] = apart
        self._white[n] = (apart - row @ self._white[:n]) / width
        self._innovations[n] = innovation
        self._means.append(mean)
        self._row, self._width = row, width
        self.count = n + 1
        return innovation, width

    def foreseen(self, reading: int, before: int) -> tuple[float, float]:
        """Return (mean, width) that a reading was expected to have from the first `before` ones."""
        row = self._factor[reading, : reading + 1]
        mean = self._means[reading] + float(row[:before] @ self._innovations[:before])
        return mean, math.sqrt(float(row[before:] @ row[before:]))

    def whiten(self, before: FloatArray, shift: FloatArray) -> FloatArray:
        """Return what shifts [b] of the reading taken last are in its widths.

        `before` [b, n-1] are the same faults' shifts of all earlier readings, so treated.
        """
        whitened: FloatArray = (shift - before @ self._row) / self._width
        return whitened

    def regress(
        self, quantity: FloatArray, shared: FloatArray, alone: float
    ) -> tuple[FloatArray, float]:
        """Return (weights [n], variance left) of a quantity given the readings so far.

        `quantity` [members] as each member has it; `shared` [n] what else it has in common with
        each reading, `alone` its own variance beside the members'. Its mean moves by weights @
        innovations; where a fault's shifts z are at work, by weights @ (innovations - z).
        """
        n = self.count
        apart = quantity - quantity.mean()
        weights = self._white[:n] @ apart / (self.members - 1)
        if shared.any():
            weights = weights + self._solve(shared)
        before = float(apart @ apart) / (self.members - 1) + alone
        return weights, max(before - float(weights @ weights), 1e-3 * before)

    def _solve(self, right: FloatArray) -> FloatArray:
        if not self.count:
            return np.zeros(0)
        solved: FloatArray = solve_triangular(
            self._factor[: self.count, : self.count], right, lower=True, check_finite=False
        )
        return solved
