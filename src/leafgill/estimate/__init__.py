"""From diary to belief."""

from leafgill.estimate.belief import Band, Belief, Interval, Misfit
from leafgill.estimate.believe import believe
from leafgill.estimate.fit import TooFewDrawsError

__all__ = ["Band", "Belief", "Interval", "Misfit", "TooFewDrawsError", "believe"]
