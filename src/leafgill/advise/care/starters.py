"""Usual work to begin with; how often is common practice, no source."""

from __future__ import annotations

from typing import NamedTuple

from leafgill.tank.animals import PRACTICE
from leafgill.tank.spec import Tank

BASIS = PRACTICE


class Starter(NamedTuple):
    """A task to begin with: what to do, every how many days, and why."""

    what: str
    every_days: int
    why: str


_ALWAYS = (
    Starter("Change part of the water", 7, "Takes out what gathers, brings hardness back."),
    Starter("Test carbonate hardness", 14, "pH tells of CO2 only together with it, and it drifts."),
    Starter(
        "Fill the drop checker afresh", 28, "Its water takes up and gives off; old colours lie."
    ),
    Starter("Clean the filter", 42, "A slow filter spreads gas badly and takes up oxygen."),
    Starter("Trim the plants", 14, "Dense growth shades itself and stops the water."),
)
_GAS = (
    Starter("Clean the diffuser", 28, "A clogged one needs more pressure and makes big bubbles."),
    Starter(
        "Fill the bubble counter up",
        60,
        "The gas dries it out; an empty one counts nothing.",
    ),
    Starter(
        "Leak test with soapy water",
        90,
        "And at every change of cylinder; most gas that is lost is lost at a joint.",
    ),
    Starter(
        "Look at hose and check valve",
        180,
        "A hose hardens, a check valve lets water through to the regulator.",
    ),
    Starter("Renew the hose", 1095, "It hardens with the years and slips off its barbs."),
)
_CYLINDER = (
    Starter(
        "Weigh the cylinder",
        7,
        "The gauge says nothing until the liquid is gone; the scale does.",
    ),
    Starter(
        "Look at the cylinder's test date and its strap",
        180,
        "A supplier refuses one whose date is past; one that falls can break its valve.",
    ),
)
_PROBE = (
    Starter("Calibrate the electrode", 28, "It drifts; an offset of 0.1 is a quarter of the CO2."),
)


def starters(tank: Tank, probe: bool) -> tuple[Starter, ...]:
    """Return what a tank's keeper may begin with; `probe` tells whether an electrode hangs in it.

    Intervals are common practice; no publication stands behind them.
    """
    gas = _GAS if tank.rig.source != "yeast" else _GAS[:1]
    cylinder = _CYLINDER if tank.rig.source == "cylinder" else ()
    return (*_ALWAYS, *gas, *cylinder, *(_PROBE if probe else ()))
