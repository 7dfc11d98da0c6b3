"""What is not known of a cylinder before its readings are looked at: one coordinate a thing.

Each coordinate is standard normal; `Unknowns.of` turns draws of them into quantities. Widths
without a source are choices of ours.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr, ndtri

from leafgill.estimate.prior import Unknown
from leafgill.science.compiled import FloatArray
from leafgill.science.fills import FILLS

# A cylinder as filled by a supplier holds this part of its charge at least.
_LEAST_FILLED = 0.93
# An empty cylinder with its valve weighs about this many times its charge (from sizes cited from
# memory, not checked: 1.3 for the largest of aluminium to 3 for the smallest of steel).
_TARE_PER_CHARGE, _TARE_WIDTH = 1.75, 0.28
# A stamped or weighed tare is true within this part, paint, valve and dents included.
_TARE_KNOWN_SD = 0.006
# Where the tank file names no charge [g].
_CHARGE_G = {"cylinder": (2000.0, 0.8), "cartridge": (95.0, 0.9)}
_REGULATOR_G = {"cylinder": (900.0, 0.45), "cartridge": (350.0, 0.5)}
# The room where nothing is said of it, and where it is [°C].
USUAL_ROOM_C, USUAL_ROOM_SD, KNOWN_ROOM_SD = 21.0, 2.5, 1.0
# A gauge of class 1.6 with a scale to 250 bar may be 4 bar off throughout; about nine in ten.
_GAUGE_BIAS_SD = 2.5
# One cylinder in ten has a joint that lets gas go, most often about a gram or two a day.
LEAKY_PART = 0.10
_LEAK_G_DAY, _LEAK_WIDTH = 1.5, 1.1


@dataclass(frozen=True)
class Grounds:
    """What the tank file and the belief say beforehand; None is not known.

    `bubble_mean` [2] and `bubble_covariance` [2, 2] are of (log of mg a bubble at 1/s, swell).
    `use_g_day` and `use_width` (of the logarithm) stand in where no bubble rate is written down.
    """

    source: str
    charge_g: float | None
    tare_g: float | None
    water_l: float | None
    room_c: float | None
    bubble_mean: FloatArray
    bubble_covariance: FloatArray
    use_g_day: float
    use_width: float


@dataclass(frozen=True)
class State:
    """Draws [m] of what the coordinates stand for; `flow` [m, directions], `leak` [m, lives]."""

    bubble_g: FloatArray
    swell: FloatArray
    tare_g: FloatArray
    regulator_g: FloatArray
    charge_g: FloatArray
    first_g: FloatArray
    water_l: FloatArray
    room_c: FloatArray
    gauge_bias_bar: FloatArray
    leak_from: FloatArray  # part of the present filling's time gone when the leak began
    leak_g_day: FloatArray
    uncounted_g_day: FloatArray
    ahead: FloatArray
    flow: FloatArray


@dataclass(frozen=True)
class Unknowns:
    """The coordinates of one supply: fixed ones first, then a leak a filling, then the flow's."""

    grounds: Grounds
    filled: bool
    lives: int
    directions: int
    ahead_sd: float

    @property
    def size(self) -> int:
        """Number of coordinates."""
        return len(_FIXED) + self.lives + self.directions

    def coordinate(self, z: FloatArray, name: str) -> FloatArray:
        """Return one of the fixed coordinates by its name, [m]."""
        return z[:, _FIXED.index(name)]

    def of(self, z: FloatArray) -> State:
        """Return what draws of the coordinates [m, size] stand for."""
        g = self.grounds
        c = {name: z[:, k] for k, name in enumerate(_FIXED)}
        leaks = z[:, len(_FIXED) : len(_FIXED) + self.lives]
        root = np.linalg.cholesky(g.bubble_covariance + 1e-12 * np.eye(2))
        pair = g.bubble_mean + np.column_stack([c["bubble"], c["swell"]]) @ root.T
        charge = self._charge(c["charge"])
        part = ndtr(c["first"])
        first = charge * (_LEAST_FILLED + (1.0 - _LEAST_FILLED) * part if self.filled else part)
        room, room_sd = (
            (USUAL_ROOM_C, USUAL_ROOM_SD) if g.room_c is None else (g.room_c, KNOWN_ROOM_SD)
        )
        begun = ndtr(c["leak_from"])
        return State(
            bubble_g=np.exp(np.clip(pair[:, 0], -12.0, 4.0)) * 1e-3,
            swell=pair[:, 1],
            tare_g=self._tare(c["tare"], charge),
            regulator_g=_log(*_REGULATOR_G[g.source]).of(c["regulator"]),
            charge_g=charge,
            first_g=first,
            water_l=self._water(c["fill"], charge),
            room_c=room + room_sd * c["room"],
            gauge_bias_bar=_GAUGE_BIAS_SD * c["gauge"],
            leak_from=np.maximum(2.0 * begun - 1.0, 0.0),
            leak_g_day=leak_of(leaks),
            uncounted_g_day=_log(g.use_g_day, g.use_width).of(c["uncounted"]),
            ahead=np.exp(self.ahead_sd * c["ahead"]),
            flow=z[:, len(_FIXED) + self.lives :],
        )

    def _charge(self, z: FloatArray) -> FloatArray:
        if self.grounds.charge_g is not None:
            return np.full(z.size, self.grounds.charge_g)
        return _log(*_CHARGE_G[self.grounds.source]).of(z)

    def _tare(self, z: FloatArray, charge: FloatArray) -> FloatArray:
        known = self.grounds.tare_g
        if known is not None:
            return known * (1.0 + _TARE_KNOWN_SD * z)
        tare: FloatArray = charge * _log(_TARE_PER_CHARGE, _TARE_WIDTH).of(z)
        return tare

    def _water(self, z: FloatArray, charge: FloatArray) -> FloatArray:
        if self.grounds.water_l is not None:
            return np.full(z.size, self.grounds.water_l)
        fills = [fill.kg_per_l for fill in FILLS.values()]
        fill = min(fills) + (max(fills) - min(fills)) * ndtr(z)
        water: FloatArray = charge * 1e-3 / fill
        return water


# The coordinates that every supply has.
_FIXED = ("bubble", "swell", "tare", "regulator", "charge", "first", "fill", "room", "gauge",
          "leak_from", "uncounted", "ahead")  # fmt: skip


def _log(centre: float, width: float) -> Unknown:
    return Unknown("", "", "log", centre, width, "")


def leak_of(z: FloatArray) -> FloatArray:
    """Return the leak [g/day] of coordinates: none for nine in ten, else a size of its own."""
    tight = 1.0 - LEAKY_PART
    part = np.clip((ndtr(z) - tight) / LEAKY_PART, 1e-9, 1.0 - 1e-9)
    leak: FloatArray = np.where(
        ndtr(z) > tight, _LEAK_G_DAY * np.exp(_LEAK_WIDTH * ndtri(part)), 0.0
    )
    return leak
