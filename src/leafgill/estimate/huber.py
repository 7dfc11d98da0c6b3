"""Errors beyond a few of their own widths count linearly (Huber 1964, Ann. Math. Stat. 35, 73-101).

Cited from memory, not checked against the paper.
"""

import numpy as np

from leafgill.science.compiled import FloatArray, compiled

HUBER = 4.0


@compiled
def huber_loss(e: float) -> float:
    """Half the square of a standardised error, linear beyond HUBER."""
    size = abs(e)
    return 0.5 * e * e if size <= HUBER else HUBER * (size - 0.5 * HUBER)


@compiled
def trust(e: float) -> float:
    """Part of a standardised error that pulls: 1 within HUBER, falling off beyond."""
    return min(1.0, HUBER / abs(e)) if e != 0.0 else 1.0


def huber_losses(errors: FloatArray) -> FloatArray:
    """Return `huber_loss` of each of an array of standardised errors."""
    size = np.abs(errors)
    losses: FloatArray = np.where(size <= HUBER, 0.5 * size**2, HUBER * (size - 0.5 * HUBER))
    return losses


def trusts(errors: FloatArray) -> FloatArray:
    """Return `trust` of each of an array of standardised errors."""
    parts: FloatArray = np.minimum(1.0, HUBER / np.maximum(np.abs(errors), 1e-9))
    return parts
