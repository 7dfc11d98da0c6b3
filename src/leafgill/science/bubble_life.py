"""What becomes of one CO2 bubble in a tank: how much dissolves, and what is seen at the surface.

CO2 leaves the bubble while nitrogen and oxygen of the water go in, under the pressure of the
water above and of the curved face, with water vapour inside; `bubble_step` has the law. In clean
air-saturated water the last of a small bubble is therefore air: fine mist at the surface is no
proof of wasted CO2.

What it leaves out: bubbles drag water up with them (they rise faster than alone), they merge and
break, a fresh face is mobile for a moment before it stiffens, and the water about a dense swarm
holds more CO2 than the tank.
"""

from typing import NamedTuple

import numpy as np

from leafgill.science.bubble_motion import is_clean
from leafgill.science.bubble_state import surroundings
from leafgill.science.bubble_step import GONE, MOST_STEPS, live, shares
from leafgill.science.compiled import FloatArray, Numeric, Same, flat, like
from leafgill.science.constants import STANDARD_HPA
from leafgill.science.refuse import not_negative, positive

# What first order may be off in a step, in parts of what was there at first. A share is then
# within 0.1 % of a tight solution (tests hold it to 0.2 %); a course is followed more closely.
_SHARE_TOLERANCE, _COURSE_TOLERANCE = 3e-3, 1e-4
# Nothing finer than this part of a bubble matters to its share.
_FINEST = 0.03
# A share counts as whole when no more than this part of the CO2 is left.
_ENOUGH = 1e-5


class BubbleLife(NamedTuple):
    """One bubble's course; all arrays of one length, the first row at its release.

    `times_s`; `diameter_mm`; `height_m` risen; `co2_mol`, `n2_mol`, `o2_mol` inside.
    """

    times_s: FloatArray
    diameter_mm: FloatArray
    height_m: FloatArray
    co2_mol: FloatArray
    n2_mol: FloatArray
    o2_mol: FloatArray

    @property
    def dissolved_share(self) -> float:
        """Part of its CO2 that the water has taken at the end."""
        return float(1.0 - self.co2_mol[-1] / self.co2_mol[0])

    @property
    def co2_fraction(self) -> FloatArray:
        """Part of the dry gas inside that is CO2, along the course."""
        fraction: FloatArray = self.co2_mol / (self.co2_mol + self.n2_mol + self.o2_mol)
        return fraction


def _refuse(
    diameter_mm: Numeric, depth_m: Numeric, co2_mg_l: Numeric, hold_s: Numeric, air_hpa: Numeric
) -> None:
    positive("diameter", "mm", diameter_mm)
    not_negative("depth", "m", depth_m)
    not_negative("CO2", "mg/L", co2_mg_l)
    not_negative("hold", "s", hold_s)
    positive("air pressure", "hPa", air_hpa)


def bubble_life(
    diameter_mm: float,
    depth_m: float,
    temperature_c: float,
    *,
    co2_mg_l: float = 0.0,
    surface: str = "dirty",
    hold_s: float = 0.0,
    pressure_hpa: float = STANDARD_HPA,
) -> BubbleLife:
    """Course of one bubble, released as pure CO2 (and vapour) `depth_m` under the surface.

    It is followed until it reaches the surface or has shrunk to a hundredth of its diameter.
    `co2_mg_l` is what the water about it holds; nitrogen and oxygen are at rest with air at
    `pressure_hpa`. With `hold_s` it first stays that long at its depth in a flow that matches
    its rise, as in a reactor or a pipe. Takes numbers, no arrays. Raises ValueError for an
    unknown surface, a diameter or air pressure of 0 or less, a depth, time or CO2 below 0, for
    NaN, and for a bubble that grows without end in water that holds more than it.
    """
    clean = is_clean(surface)
    _refuse(diameter_mm, depth_m, co2_mg_l, hold_s, pressure_hpa)
    course = np.empty((MOST_STEPS, 6))
    water = surroundings(float(temperature_c), float(co2_mg_l), float(pressure_hpa))
    left, rows = live(
        course,
        1e-3 * float(diameter_mm),
        float(depth_m),
        float(hold_s),
        water,
        clean,
        _COURSE_TOLERANCE,
        GONE,
        0.0,
    )
    if np.isnan(left):
        told = f"{diameter_mm} mm, {depth_m} m deep, held {hold_s} s, {temperature_c} °C"
        raise ValueError(f"no end of a bubble: {told}, {co2_mg_l} mg/L, {pressure_hpa} hPa")
    time, height, diameter, co2, n2, o2 = course[:rows].T.copy()
    return BubbleLife(time, 1e3 * diameter, height, co2, n2, o2)


def dissolved_share(
    diameter_mm: Numeric,
    depth_m: Numeric,
    temperature_c: Numeric,
    *,
    co2_mg_l: Numeric = 0.0,
    surface: str = "dirty",
    hold_s: Numeric = 0.0,
    pressure_hpa: Numeric = STANDARD_HPA,
) -> Same:
    """Part of a bubble's CO2 that dissolves between its release and the surface, 0 to 1.

    Arguments as in `bubble_life`, here numbers or arrays that broadcast; about 20 µs a bubble.
    Below zero where the water holds more CO2 than the bubble; NaN where it then grows without
    end. Raises ValueError as `bubble_life` does, but for NaN, which passes through.
    """
    clean = is_clean(surface)
    _refuse(diameter_mm, depth_m, co2_mg_l, hold_s, pressure_hpa)
    shape, arrays = flat(diameter_mm, depth_m, temperature_c, co2_mg_l, hold_s, pressure_hpa)
    out = np.empty(int(np.prod(shape)))
    if out.size:
        shares(out, clean, _SHARE_TOLERANCE, _FINEST, _ENOUGH, *arrays)
    return like(out, shape)
