"""An air stone, or a filter outlet that breaks the surface: what it adds where none has run."""

from __future__ import annotations

import numpy as np

from leafgill.estimate.belief import Belief
from leafgill.tank.forcing import Draws

# What an air stone adds where none has run yet, against the tank's own surface exchange: as
# much again, within a factor of two either way for most (a choice of ours).
_STONE_WIDTH = 0.4


def with_stone(belief: Belief) -> Draws:
    """Return the draws with an air stone to hand: the tank's own, or one of unknown strength."""
    draws = belief.draws
    if belief.problem.evidence.has_air:
        return draws
    scatter = np.random.default_rng(belief.count).standard_normal(belief.count)
    stone = draws.exchange_per_h * np.exp(_STONE_WIDTH * scatter)
    return draws._replace(exchange_air_per_h=stone)
