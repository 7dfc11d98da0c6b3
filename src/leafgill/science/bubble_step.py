"""One bubble's life in small steps: what it loses, what it takes up, how far it rises. Compiled.

Each gas's law (`bubble_state`) is linear in its own moles, with coefficients that change slowly: a
step is exact for coefficients taken half a step on (exponential midpoint rule, Hochbruck &
Ostermann 2010, Acta Numerica 19, 209-286, cited from memory, not checked against the paper). So
moles cannot turn negative, and a bubble at rest with its water costs few steps. By how much the
first-order rule would have said otherwise steers the step. SI units.
"""

import math

import numpy as np

from leafgill.science.bubble_state import Bubble, Rates, Surroundings, moles_of, rates, surroundings
from leafgill.science.compiled import FloatArray, compiled

# A bubble of this part of its first moles, a hundredth of its diameter, is gone.
GONE = 1e-6
MOST_STEPS = 20_000
# Shortest and longest that a step may be of the one before.
_SHRINK, _GROW, _CAUTION = 0.2, 3.0, 0.85
# The first step, in times that CO2's loss would take at its first rate.
_FIRST_STEP = 0.05
_MOST_TRIES = 60
# No step is longer than this many times the way to the surface at the present rise.
_OVER = 1.2
# A step that ends this part of the depth from the surface has arrived.
_ARRIVED = 1e-5


@compiled
def moved(moles: float, loss: float, gain: float, seconds: float) -> float:
    """Return the moles after so long with constant coefficients: exact."""
    gone = -math.expm1(-loss * seconds)
    return moles + (gain / loss - moles) * gone


@compiled
def attempt(
    bubble: Bubble, now: Rates, step: float, rises: bool, water: Surroundings, clean: bool
) -> tuple[Bubble, float, float]:
    """Return the bubble `step` seconds on, and by how much first order would differ.

    The differences are of moles (the largest of the three) and of metres.
    """
    half = 0.5 * step
    halfway = Bubble(
        moved(bubble.co2, now.co2_loss, now.co2_gain, half),
        moved(bubble.n2, now.n2_loss, now.n2_gain, half),
        moved(bubble.o2, now.o2_loss, now.o2_gain, half),
        bubble.under - now.rise * half if rises else bubble.under,
    )
    mid = rates(halfway, water, clean)
    new = Bubble(
        moved(bubble.co2, mid.co2_loss, mid.co2_gain, step),
        moved(bubble.n2, mid.n2_loss, mid.n2_gain, step),
        moved(bubble.o2, mid.o2_loss, mid.o2_gain, step),
        bubble.under - mid.rise * step if rises else bubble.under,
    )
    co2 = abs(new.co2 - moved(bubble.co2, now.co2_loss, now.co2_gain, step))
    n2 = abs(new.n2 - moved(bubble.n2, now.n2_loss, now.n2_gain, step))
    o2 = abs(new.o2 - moved(bubble.o2, now.o2_loss, now.o2_gain, step))
    metres = abs(mid.rise - now.rise) * step if rises else 0.0
    return new, max(co2, n2, o2), metres


@compiled
def step_on(
    bubble: Bubble,
    now: Rates,
    step: float,
    rises: bool,
    water: Surroundings,
    clean: bool,
    scale: tuple[float, float],
) -> tuple[Bubble, float, float]:
    """Take one step, shortened until it is true enough and ends no higher than the surface.

    `scale` is the moles and the metres by which first order may be off. Returns the bubble, the
    step taken and the one to try next.
    """
    new, error = bubble, 0.0
    if rises:
        step = min(step, _OVER * bubble.under / now.rise)
    for _ in range(_MOST_TRIES):
        new, moles, metres = attempt(bubble, now, step, rises, water, clean)
        error = max(moles / scale[0], metres / scale[1])
        if error > 1.0:
            step *= max(_SHRINK, _CAUTION / math.sqrt(error))
        elif new.under < -_ARRIVED * bubble.under:
            step *= bubble.under / (bubble.under - new.under)
        else:
            break
    return new, step, step * min(_GROW, _CAUTION / math.sqrt(max(error, 1e-8)))


@compiled
def live(
    course: FloatArray,
    diameter_m: float,
    depth_m: float,
    hold_s: float,
    water: Surroundings,
    clean: bool,
    tolerance: float,
    finest: float,
    enough: float,
) -> tuple[float, int]:
    """Follow a bubble of pure CO2 from `depth_m` under the surface until it is out or gone.

    It first stays at its depth for `hold_s`, water passing at its speed of rise. `tolerance` is
    what first order may be off in a step, in parts of the depth and of the moles there are (or of
    the part `finest` of the first, when fewer are left). The bubble is let go when less than the
    part `enough` of its CO2 is left. Rows of `course` (as many as it has room for) take time,
    metres risen, diameter, and moles of CO2, N2 and O2. Returns the part of the CO2 that is left
    and the number of rows; NaN for what is no bubble or comes to no end.
    """
    if not (diameter_m > 0.0 and depth_m >= 0.0 and hold_s >= 0.0):
        return math.nan, 0
    first = moles_of(diameter_m, depth_m, water)
    if not (first > 0.0 and water.co2 >= 0.0):
        return math.nan, 0
    metres = tolerance * max(depth_m, diameter_m)
    bubble = Bubble(first, 0.0, 0.0, depth_m)
    now = rates(bubble, water, clean)
    time, following, rows = 0.0, _FIRST_STEP / now.co2_loss, 0
    for _ in range(MOST_STEPS):
        if rows < course.shape[0]:
            course[rows, 0], course[rows, 1] = time, depth_m - bubble.under
            course[rows, 2], course[rows, 3] = now.diameter, bubble.co2
            course[rows, 4], course[rows, 5] = bubble.n2, bubble.o2
            rows += 1
        rises = time >= hold_s
        moles = bubble.co2 + bubble.n2 + bubble.o2
        gone = moles <= GONE * first
        out = rises and bubble.under <= _ARRIVED * depth_m
        if gone or out or bubble.co2 < enough * first:
            return bubble.co2 / first, rows
        left = hold_s - time
        last_held = not rises and following >= left
        step = left if last_held else following
        scale = (tolerance * max(moles, finest * first), metres)
        bubble, took, following = step_on(bubble, now, step, rises, water, clean, scale)
        time = hold_s if last_held and took == step else time + took
        now = rates(bubble, water, clean)
    return math.nan, rows


@compiled
def shares(
    out: FloatArray,
    clean: bool,
    tolerance: float,
    finest: float,
    enough: float,
    diameter_mm: FloatArray,
    depth_m: FloatArray,
    temperature_c: FloatArray,
    co2_mg_l: FloatArray,
    hold_s: FloatArray,
    pressure_hpa: FloatArray,
) -> None:
    """Fill `out` with the part of each bubble's CO2 that dissolves; flat arrays of size n or 1."""
    d_step, h_step, s_step = int(diameter_mm.size > 1), int(depth_m.size > 1), int(hold_s.size > 1)
    t_step, c_step = int(temperature_c.size > 1), int(co2_mg_l.size > 1)
    p_step = int(pressure_hpa.size > 1)
    unwritten = np.empty((0, 6))
    water = surroundings(temperature_c[0], co2_mg_l[0], pressure_hpa[0])
    for i in range(out.size):
        if t_step + c_step + p_step > 0:
            water = surroundings(
                temperature_c[i * t_step], co2_mg_l[i * c_step], pressure_hpa[i * p_step]
            )
        left, _ = live(
            unwritten,
            1e-3 * diameter_mm[i * d_step],
            depth_m[i * h_step],
            hold_s[i * s_step],
            water,
            clean,
            tolerance,
            finest,
            enough,
        )
        out[i] = 1.0 - left
