"""What is left in the cylinder, how long it lasts, and how it ends."""

from leafgill.advise.supply.supply import Supply, supply

__all__ = ["Supply", "supply"]
