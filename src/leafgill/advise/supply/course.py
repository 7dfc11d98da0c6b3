"""The gas in the cylinder through time: as it was, and on at the setting of now."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from leafgill.advise.supply.readings import Stocktaking
from leafgill.advise.supply.stock import Stock
from leafgill.estimate.belief import LEVEL
from leafgill.science.compiled import FloatArray

_POINTS = 120


@dataclass(frozen=True)
class MassCourse:
    """Median and 90 % interval of the gas [g] at days from now [n]; negative days are gone by."""

    days: FloatArray
    middle_g: FloatArray
    low_g: FloatArray
    high_g: FloatArray


def mass_course(taking: Stocktaking, stock: Stock, ahead_days: float) -> MassCourse:
    """Return the gas from the start of this filling until so many days ahead."""
    life = taking.log.now
    past = np.linspace(life.since_s, taking.now_s, _POINTS)
    seconds = taking.use.seconds(past, life.since_s)
    per_second = taking.per_second(stock.state)
    last = len(taking.log.lives) - 1
    gone = taking.used_g(stock.state, per_second, last, past, seconds)
    was = np.maximum(stock.state.first_g[:, None] - gone, 0.0)
    ahead = np.linspace(0.0, ahead_days, _POINTS)[1:]
    will = np.maximum(stock.left_g[:, None] - stock.use_g_day[:, None] * ahead, 0.0)
    values = np.concatenate([was, will], axis=1)
    days = np.concatenate([(past - taking.now_s) / 86400.0, ahead])
    tail = 0.5 * (1.0 - LEVEL)
    low, middle, high = np.quantile(values, [tail, 0.5, 1.0 - tail], axis=0)
    return MassCourse(days, middle, low, high)
