"""A tank's usual water change: how much, how often, and what goes in."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from leafgill.advise.water.blend import blend
from leafgill.advise.water.make_up import MakeUp
from leafgill.advise.water.sources import pure_water, with_guesses
from leafgill.tank.spec import Tank

# Where the tank file names no water change; common practice, no source.
USUAL_PERCENT, USUAL_EVERY_DAYS = 30.0, 7.0


class UsualChange(NamedTuple):
    """The part of the water changed, every how many days; whether the tank file says each."""

    part: float
    every_days: float
    part_known: bool
    every_known: bool


def usual_change(tank: Tank) -> UsualChange:
    """Return a tank's usual water change: of its file, else 30 % a week."""
    percent, every = tank.water_change.percent, tank.water_change.every_days
    return UsualChange(
        (percent or USUAL_PERCENT) / 100.0, every or USUAL_EVERY_DAYS, bool(percent), bool(every)
    )


def new_water(
    tank: Tank, tap: MakeUp, tested: Iterable[str] = (), pure_part: float | None = None
) -> MakeUp:
    """Return what goes into a tank: tap water with a part of pure water in it.

    What was `tested` of the tank and is not known of the tap is guessed. Without `pure_part` the
    tank file says how much of it, or it is all tap water.
    """
    known = with_guesses(tap, tested)
    part = pure_part
    if part is None and tank.water_change.tap_percent is not None:
        part = 1.0 - tank.water_change.tap_percent / 100.0
    if not part:
        return known
    return blend(known, pure_water(known), tank.volume_l, part=part).as_make_up()
