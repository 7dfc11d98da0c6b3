"""What stands behind the needle valve: the diffuser's own pressure and the water above it."""

from __future__ import annotations

from leafgill.advise.figure import Figure
from leafgill.advise.rig.diffuse import depth_of, pressure_of
from leafgill.advise.rig.kinds import KINDS
from leafgill.science.cited import Range
from leafgill.tank.spec import Tank

# Where the tank file names no diffuser.
USUAL_DIFFUSER = "disc"


def back_pressure(tank: Tank) -> Figure:
    """Return the gauge pressure in the counter and hose [bar] while bubbles leave the diffuser."""
    word = tank.rig.diffuser or USUAL_DIFFUSER
    depth_m, origin = depth_of(tank)
    return pressure_of(None if word == "bell" else KINDS[word], depth_m, tank, origin)


def back_bar(tank: Tank) -> Range:
    """Return the same as a range."""
    figure = back_pressure(tank)
    low = figure.value if figure.low is None else figure.low
    high = figure.value if figure.high is None else figure.high
    return Range(figure.value, low, high)
