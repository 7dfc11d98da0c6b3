"""Animals in distress: the ways out, minute by minute for this tank, and what not to do."""

from leafgill.advise.emergency.dont import NOT_TO_DO
from leafgill.advise.emergency.halves import Halves, halves_of
from leafgill.advise.emergency.minutes import WAYS, Minute, Rescue, Way, rescue_of
from leafgill.advise.emergency.ways import (
    CHANGE_PART,
    Emergency,
    Relief,
    minutes_below,
    ways_out,
    with_change,
)

__all__ = [
    "CHANGE_PART",
    "NOT_TO_DO",
    "WAYS",
    "Emergency",
    "Halves",
    "Minute",
    "Relief",
    "Rescue",
    "Way",
    "halves_of",
    "minutes_below",
    "rescue_of",
    "ways_out",
    "with_change",
]
