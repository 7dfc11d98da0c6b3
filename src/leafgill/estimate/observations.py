"""The shape of the evidence's readings: plain arrays, ready for compiled code."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from leafgill.science.compiled import FloatArray


class Observations(NamedTuple):
    """Readings on the grid; `_at` are positions in edges (whole part and fraction)."""

    ph_at: FloatArray
    ph_h: FloatArray  # hours since the first edge
    ph: FloatArray
    ph_sd: FloatArray
    ph_probe: FloatArray  # 1 electrode, 0 hand test
    ph_epoch: FloatArray  # which calibration of the electrode
    ph_daily: FloatArray  # [n, 2·harmonics] daily waves at the reading's hour
    glass_at: FloatArray  # degassed samples: when the water was drawn
    glass_h: FloatArray
    glass_ph: FloatArray
    glass_probe: FloatArray
    glass_epoch: FloatArray
    glass_outdoors: FloatArray
    glass_c: FloatArray  # how warm it was when it was read [°C], NaN where that is not written
    kh_at: FloatArray
    kh_low: FloatArray  # the reading says low < KH <= high
    kh_high: FloatArray
    colour_at: FloatArray
    colour: FloatArray  # 0 blue .. 4 yellow
    colour_bounds: FloatArray  # [n, 4] log CO2 at the changes, reference of 4 dKH
    o2_at: FloatArray
    o2: FloatArray

    @property
    def size(self) -> int:
        """Number of readings."""
        return int(
            self.ph.size + self.glass_ph.size + self.kh_low.size + self.colour.size + self.o2.size
        )


@dataclass(frozen=True)
class Weighings:
    """Cylinder weights, by cylinder: seconds of gas in each stretch before each weighing."""

    gas_s: FloatArray  # [n, stretches]
    mass_g: FloatArray  # [n]
    cylinder: FloatArray  # [n] which one
