"""How long CO2 takes to fall to half in the dark, with the gas shut: a trait of the tank."""

from __future__ import annotations

import math
from typing import NamedTuple

from leafgill.advise.air import with_stone
from leafgill.estimate.belief import Belief, Interval, interval
from leafgill.tank.model import exchange_now_per_h


class Halves(NamedTuple):
    """Minutes in which CO2 halves with the gas shut: by the surface alone, and with air."""

    gas_shut_min: Interval
    with_air_min: Interval


def halves_of(belief: Belief) -> Halves:
    """Return in how many minutes the surface takes half of the CO2 above the air's.

    ln 2 over the exchange at the tank's warmth: a first-order law, with plants and the carbonate
    that gives CO2 back left out (below pH 7 it gives back little). An air stone is the tank's own,
    or one of unknown strength.
    """
    warmth = belief.tank.temperature_c
    shut = exchange_now_per_h(belief.draws, warmth, 0.0)
    air = exchange_now_per_h(with_stone(belief), warmth, 1.0)
    minutes = 60.0 * math.log(2.0)
    return Halves(interval(minutes / shut), interval(minutes / air))
