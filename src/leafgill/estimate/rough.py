"""Draws of how the tank strayed from the model, given the pH readings.

The likelihood takes the straying out by a Kalman filter; here it is drawn back in, backward from
the last reading (Frühwirth-Schnatter 1994, J. Time Ser. Anal. 15, 183-202, cited from memory),
on the grid of the belief.
"""

import math

import numpy as np
from numba import njit, prange

from leafgill.estimate.likelihood import ROUGH_TIME_H, corrected, seen_ph
from leafgill.estimate.observations import Observations
from leafgill.science.compiled import FloatArray


@njit(cache=True, nogil=True, error_model="numpy")
def _one(i, ph, o, t, edge_h, noise, out):  # type: ignore[no-untyped-def] # numba types it
    n, m = edge_h.size, o.ph.size
    rough2 = t.roughness[i] * t.roughness[i]
    means = np.empty(n + m)
    variances = np.empty(n + m)
    hours = np.empty(n + m)
    edge_of = np.empty(n + m, dtype=np.int64)
    mean, variance, before = 0.0, rough2, edge_h[0]
    edge, reading = 0, 0
    for k in range(n + m):
        takes_reading = reading < m and (edge >= n or o.ph_h[reading] <= edge_h[edge])
        hours[k] = o.ph_h[reading] if takes_reading else edge_h[edge]
        kept = math.exp(-(hours[k] - before) / ROUGH_TIME_H)
        before = hours[k]
        mean *= kept
        variance = kept * kept * variance + rough2 * (1.0 - kept * kept)
        if takes_reading:
            spread, error = seen_ph(i, ph, o, reading, mean, variance, t)
            mean, variance = corrected(mean, variance, spread, error)
            edge_of[k] = -1
            reading += 1
        else:
            edge_of[k] = edge
            edge += 1
        means[k], variances[k] = mean, variance
    value = 0.0
    for k in range(n + m - 1, -1, -1):
        if k == n + m - 1:
            value = means[k] + math.sqrt(max(variances[k], 0.0)) * noise[k]
        else:
            kept = math.exp(-(hours[k + 1] - hours[k]) / ROUGH_TIME_H)
            ahead = kept * kept * variances[k] + rough2 * (1.0 - kept * kept)
            pull = variances[k] * kept / ahead if ahead > 0.0 else 1.0
            mean = means[k] + pull * (value - kept * means[k])
            left = max(variances[k] - pull * pull * ahead, 0.0)
            value = mean + math.sqrt(left) * noise[k]
        if edge_of[k] >= 0:
            out[edge_of[k]] = value


@njit(cache=True, parallel=True, nogil=True, error_model="numpy")
def _all(ph, o, t, edge_h, noise, out):  # type: ignore[no-untyped-def] # numba types it
    for i in prange(out.shape[0]):
        _one(i, ph[i], o, t, edge_h, noise[i], out[i])


def draw_straying(
    ph: FloatArray,
    observations: Observations,
    traits: "tuple[FloatArray, ...]",
    edge_h: FloatArray,
    rng: np.random.Generator,
) -> FloatArray:
    """Return the straying in pH, true less model, [m, n+1], one draw for each course.

    `ph` [m, n+1] is the model's; `edge_h` [n+1] hours since the first edge.
    """
    out = np.empty_like(ph)
    noise = rng.standard_normal((ph.shape[0], ph.shape[1] + observations.ph.size))
    _all(ph, observations, traits, edge_h, noise, out)
    return out
