"""What does not agree: readings with each other, and gas counted with gas gone from the scale."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from leafgill.advise.drawn import range_of
from leafgill.advise.supply.readings import Stocktaking
from leafgill.advise.supply.stock import Stock
from leafgill.estimate.believe import MISFIT_SIGMA
from leafgill.science.carbonate_readings import HALF_90
from leafgill.science.cited import Range

# Two ways to see the same gas contradict each other when one is the larger in so many draws.
_SURE = 0.995
# A leak is spoken of from a chance of so much on, and called likely from so much.
SPOKEN_FROM, LIKELY_FROM = 0.2, 0.5


class Contradiction(NamedTuple):
    """Two ways that cannot both be right: their names and the grams each leaves in the cylinder."""

    one: str
    other: str
    one_g: Range
    other_g: Range


class Oddity(NamedTuple):
    """A reading that the rest does not explain: when [epoch s], what, how many widths off."""

    at_s: float
    what: str
    sigma: float


@dataclass(frozen=True)
class LeakSign:
    """Gas that went without being counted.

    `chance` that there is a leak at all, `if_any_g_day` its size if there is; `gone_g` what the
    scale lost between the first and the last weighing of this filling, `counted_g` what bubbles
    alone would make of the same days; None without two weighings.
    """

    chance: float
    if_any_g_day: Range | None
    gone_g: Range | None
    counted_g: Range | None
    days: float

    @property
    def spoken_of(self) -> bool:
        """Whether it is worth a word."""
        return self.chance >= SPOKEN_FROM

    @property
    def likely(self) -> bool:
        """Whether a leak is likelier than not."""
        return self.chance >= LIKELY_FROM


def contradictions(stocks: dict[str, Stock]) -> tuple[Contradiction, ...]:
    """Return the pairs among scale, gauge and bubbles that leave amounts too far apart."""
    names = [name for name in ("scale", "gauge", "bubbles") if name in stocks]
    found = []
    for k, one in enumerate(names):
        for other in names[k + 1 :]:
            a, b = stocks[one].left_g, stocks[other].left_g
            larger = float(np.mean(np.sort(a)[:, None] > np.sort(b)[None, :]))
            if not 1.0 - _SURE < larger < _SURE:
                found.append(Contradiction(one, other, range_of(a), range_of(b)))
    return tuple(found)


def oddities(taking: Stocktaking, stock: Stock) -> tuple[Oddity, ...]:
    """Return the readings that hardly any draw explains, in order of time."""
    named: list[tuple[float, str]] = []
    for life in taking.log.lives[:-1]:
        if len(life.weighings) > 1:
            named += [(w.at_s, f"cylinder_mass {w.gross_g:g} g") for w in life.weighings]
    present = taking.log.now
    named += [(w.at_s, f"cylinder_mass {w.gross_g:g} g") for w in present.weighings]
    named += [(g.at_s, f"cylinder_pressure {g.gauge_bar:g} bar") for g in present.gauges]
    size = np.abs(np.median(stock.errors, axis=0))
    found = [
        Oddity(at, what, float(off))
        for (at, what), off in zip(named, size, strict=True)
        if off >= MISFIT_SIGMA
    ]
    return tuple(sorted([*found, *_odd_weight(taking, stock)]))


def _odd_weight(taking: Stocktaking, stock: Stock) -> list[Oddity]:
    """Return the first weighing where no empty cylinder of that charge weighs what it leaves."""
    weighings = taking.log.now.weighings
    off = float(np.abs(np.median(taking.unknowns.coordinate(stock.z, "tare"))))
    if not weighings or off < MISFIT_SIGMA:
        return []
    return [Oddity(weighings[0].at_s, f"cylinder_mass {weighings[0].gross_g:g} g", off)]


def leak_sign(taking: Stocktaking, every: Stock, bubbles: Stock) -> LeakSign:
    """Return what speaks for a leak before the counter."""
    if not taking.use.stretches:
        return LeakSign(0.0, None, None, None, 0.0)
    leaking = every.leak_g_day > 0.0
    chance = float(np.mean(leaking))
    size = range_of(every.leak_g_day[leaking]) if leaking.sum() > 20 else None
    life = taking.log.now.weighings
    same = [w for w in life if w.regulator == life[-1].regulator] if life else []
    if len(same) < 2:
        return LeakSign(chance, size, None, None, 0.0)
    gone = same[0].gross_g - same[-1].gross_g
    sd = float(np.sqrt(2.0)) * float(taking.scale_sd_g(np.array([same[-1].gross_g]))[0])
    first, last = (
        taking.use.seconds(np.array([w.at_s]), taking.log.now.since_s) for w in (same[0], same[-1])
    )
    counted = taking.per_second(bubbles.state) @ (last - first).T
    return LeakSign(
        chance,
        size,
        Range(gone, gone - HALF_90 * sd, gone + HALF_90 * sd),
        range_of(counted[:, 0]),
        (same[-1].at_s - same[0].at_s) / 86400.0,
    )
