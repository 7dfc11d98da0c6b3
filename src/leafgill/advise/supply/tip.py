"""What the counter's own tip says of a bubble, where its width is known."""

from __future__ import annotations

import math

from leafgill.advise.back_pressure import back_bar
from leafgill.science.bubble_counter import bubble_co2_mg, detached_volume_ul
from leafgill.science.carbonate_readings import HALF_90
from leafgill.tank.spec import Tank

# A tip is measured to a tenth or two of its width, its rim is not round, its liquid ages (a choice
# of ours).
_TIP_SD = 0.15


def tip_says(tank: Tank, room_c: float) -> tuple[float, float] | None:
    """Return (log of mg of CO2 in a counted bubble, its sd); None where no tip is described."""
    tip = tank.rig.counter_tip_mm
    if tip is None:
        return None
    liquid = tank.rig.counter_liquid or "water"
    volume = detached_volume_ul(tip, room_c, liquid=liquid)
    back = back_bar(tank)
    value, low, high = (math.log(float(bubble_co2_mg(volume.value, bar, room_c))) for bar in back)
    spread = math.log(float(volume.high) / float(volume.low)) / (2.0 * HALF_90)
    return value, math.hypot(_TIP_SD, spread, (high - low) / (2.0 * HALF_90))
