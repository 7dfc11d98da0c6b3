"""The closed spaces a pressure hold can be made in, and how much gas fits into each."""

from __future__ import annotations

import math
from typing import NamedTuple

from leafgill.advise.drawn import exactly
from leafgill.science.cited import Range
from leafgill.tank.spec import Rig

# The hose with counter and the regulator's low side (needle valve open, the hose's end shut), the
# low side alone (needle valve shut), the high side between cylinder valve and regulator.
HOSE, LOW, HIGH = "hose", "low", "high"
SIDES = (HOSE, LOW, HIGH)
# Gas spaces inside the equipment [mL] (choices of ours: no maker gives them).
REGULATOR_HIGH_ML = Range(8.0, 3.0, 20.0)
REGULATOR_LOW_ML = Range(15.0, 6.0, 40.0)
COUNTER_ML = Range(8.0, 3.0, 20.0)
USUAL_HOSE_M, USUAL_BORE_MM, USUAL_WALL_MM = Range(1.5, 0.8, 3.0), 4.0, 1.0
# A thermometer in the room against the gas behind the gauge [K], 1 sd (a choice of ours).
GAS_SD_C = 0.7
# A joint that loses less than this takes 36 g a year; nobody finds it (a choice of ours).
TIGHT_G_DAY = 0.1
# What is accepted of a hold: pressures up to what the side can stand and show, a room's warmth.
MOST_BAR = {HOSE: 10.0, LOW: 10.0, HIGH: 75.0}
ACCEPTED_C, ACCEPTED_H = (0.0, 30.0), (0.02, 400.0)
ACCEPTED_ML, ACCEPTED_STEP_BAR = (0.5, 20_000.0), (0.001, 20.0)
# A volume that was measured is true within this part.
_MEASURED = 0.08


class Reading(NamedTuple):
    """A gauge [bar] and the temperature of the gas behind it [°C]."""

    gauge_bar: float
    temperature_c: float


class Hold(NamedTuple):
    """A hold: which side of SIDES, two readings so many hours apart, and the closed volume.

    `volume_ml` is what was shut in, `origin` whence it is known; `step_bar` what the gauge was
    read to.
    """

    side: str
    first: Reading
    second: Reading
    hours: float
    volume_ml: Range
    origin: str
    step_bar: float


def closed_volume(rig: Rig, side: str) -> tuple[Range, str]:
    """Return the gas space of a side [mL], and whence it is known."""
    if side == HIGH:
        return REGULATOR_HIGH_ML, "regulator's high side and its gauge, as such are built"
    if side == LOW:
        return REGULATOR_LOW_ML, "regulator's low side and its gauge, as such are built"
    length, bore, _ = hose_of(rig)
    inside = [0.25 * math.pi * bore**2 * metres for metres in length]
    ends = zip(REGULATOR_LOW_ML, COUNTER_ML, inside, strict=True)
    known = "tank file" if rig.hose_length_m is not None else "assumed"
    return (
        Range(*(sum(parts) for parts in ends)),
        f"bore² · π/4 · length of the hose ({known}), counter, regulator's low side",
    )


def measured_ml(volume_ml: float) -> Range:
    """Return a measured volume with how far it may be off [mL]."""
    return Range(volume_ml, volume_ml * (1.0 - _MEASURED), volume_ml * (1.0 + _MEASURED))


def hose_of(rig: Rig) -> tuple[Range, float, float]:
    """Return length [m], bore and wall [mm] of the hose, what is not known as usual."""
    length = USUAL_HOSE_M if rig.hose_length_m is None else exactly(rig.hose_length_m)
    return length, rig.hose_bore_mm or USUAL_BORE_MM, rig.hose_wall_mm or USUAL_WALL_MM
