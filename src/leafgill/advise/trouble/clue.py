"""A clue: something that may hold of a tank, with the chance that it does by the record."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leafgill.advise.figure import Figure


@dataclass(frozen=True)
class Clue:
    """One thing that may hold of a tank.

    `says` is what it is when it holds, in plain words; `chance` the part of the belief's draws of
    which it holds, or 1 and 0 where the diary says so plainly, None where the record does not
    tell. `ask` is what would tell it. `figures` are what the chance was worked out from.
    """

    key: str
    says: str
    chance: float | None
    ask: str
    figures: tuple[Figure, ...] = ()

    @property
    def known(self) -> bool:
        """Whether the record tells."""
        return self.chance is not None


def part(holds: NDArray[np.bool_]) -> float:
    """Return the part of draws of which something holds; never quite 0 or 1.

    With m draws nothing rarer than 1/m can be told (Laplace's rule of succession).
    """
    return (float(np.sum(holds)) + 1.0) / (holds.size + 2.0)
