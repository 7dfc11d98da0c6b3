"""Putting the gas together for the first time, and the pressure hold that proves it tight."""

from leafgill.advise.commission.commission import Commission, commission

__all__ = ["Commission", "commission"]
