"""Explanations that need no tank: the electrode alone jumped, or nothing that is known."""

from __future__ import annotations

import numpy as np

from leafgill.estimate.huber import huber_losses
from leafgill.estimate.watch.branches import gained
from leafgill.estimate.watch.hypotheses import (
    JUMP_HAZARD,
    JUMP_SIZES_PH,
    UNKNOWN_HAZARD,
    UNKNOWN_WIDTHS,
)
from leafgill.science.compiled import FloatArray

_BLOCK = 64
_FORGET_H = 60.0


class Jumps:
    """An electrode off by a constant from some moment on, in several sizes."""

    def __init__(self) -> None:
        self.onsets_s = np.zeros(0)
        self.log_prior = np.zeros(0)
        self.shifts = np.zeros((0, _BLOCK))  # whitened shift of 1 pH
        self.gain = np.zeros((0, len(JUMP_SIZES_PH)))

    def spawn(self, at_s: float, days: float) -> None:
        """Let one begin, for a stretch of so many days."""
        self.onsets_s = np.append(self.onsets_s, at_s)
        each = JUMP_HAZARD * days / len(JUMP_SIZES_PH)
        self.log_prior = np.append(self.log_prior, np.log(each))
        self.shifts = np.concatenate([self.shifts, np.zeros((1, self.shifts.shape[1]))])
        self.gain = np.concatenate([self.gain, np.zeros((1, len(JUMP_SIZES_PH)))])

    def forget(self) -> None:
        """Let all go."""
        self.onsets_s, self.log_prior = self.onsets_s[:0], self.log_prior[:0]
        self.shifts, self.gain = self.shifts[:0], self.gain[:0]

    def held(self, n: int, unit: FloatArray, innovation: float) -> None:
        """Take the whitened shift of 1 pH [b] of reading n and what each size explains."""
        if n >= self.shifts.shape[1]:
            self.shifts = np.concatenate([self.shifts, np.zeros_like(self.shifts)], axis=1)
        self.shifts[:, n] = unit
        self.gain += gained(unit[:, None] * np.array(JUMP_SIZES_PH), innovation)

    def log_weights(self, temper: float) -> FloatArray:
        """Return log of each onset's and size's weight against "as believed" [b, sizes]."""
        return self.log_prior[:, None] + temper * self.gain


class Unknown:
    """Readings that scatter far wider than believed from some moment on."""

    def __init__(self) -> None:
        self.onsets_s = np.zeros(0)
        self.log_prior = np.zeros(0)
        self.gain = np.zeros(0)

    def spawn(self, at_s: float, days: float) -> None:
        """Let one begin, for a stretch of so many days."""
        kept = self.onsets_s > at_s - _FORGET_H * 3600.0
        self.onsets_s = np.append(self.onsets_s[kept], at_s)
        self.log_prior = np.append(self.log_prior[kept], np.log(UNKNOWN_HAZARD * days))
        self.gain = np.append(self.gain[kept], 0.0)

    def forget(self) -> None:
        """Let all go."""
        self.onsets_s, self.log_prior = self.onsets_s[:0], self.log_prior[:0]
        self.gain = self.gain[:0]

    def held(self, innovation: float) -> None:
        """Take a reading's innovation."""
        wider = huber_losses(np.array(innovation / UNKNOWN_WIDTHS)) + np.log(UNKNOWN_WIDTHS)
        self.gain += huber_losses(np.array(innovation)) - wider

    def log_weights(self, temper: float) -> FloatArray:
        """Return log of each onset's weight against "as believed" [b]."""
        return self.log_prior + temper * self.gain
