"""Which reading would tell most of the days left: each taken in thought, as in `measure`."""

from __future__ import annotations

from datetime import datetime
from typing import NamedTuple

import numpy as np

from leafgill.advise.candidates import Candidate
from leafgill.advise.measure import narrowing
from leafgill.advise.supply.gauge import gauge_bar
from leafgill.advise.supply.readings import Stocktaking
from leafgill.advise.supply.stock import Stock
from leafgill.diary import Kind
from leafgill.estimate.flow import count_sd

# Two weighings so far apart tell what goes in a day.
_WEEK_DAYS = 7.0
_COUNT_S = 60.0
# A needle between marks, with the room's warmth written down beside it [bar].
_GAUGE_SD = 3.0
_LEAST = 0.02
_OWN_STAMP_SD_G = 15.0


class Help(NamedTuple):
    """A reading worth taking: what, by which part it narrows the days left, and how."""

    what: str
    narrows_by: float
    how: str


def rank_helps(taking: Stocktaking, stock: Stock, now: datetime) -> tuple[Help, ...]:
    """Return the readings that could be taken, the most telling first; those of no use left out.

    What counts is the width of the interval of the days left. The same draws give the same list.
    """
    found = [
        Help(one.what, narrowing(one, stock.days), one.how) for one in _possible(taking, stock, now)
    ]
    return tuple(sorted((h for h in found if h.narrows_by >= _LEAST), key=lambda h: -h.narrows_by))


def _possible(taking: Stocktaking, stock: Stock, now: datetime) -> list[Candidate]:
    state, life = stock.state, taking.log.now
    on = bool(life.weighings) and life.weighings[-1].regulator
    gross = state.tare_g + stock.left_g + (state.regulator_g if on else 0.0)
    sd = float(np.mean(taking.scale_sd_g(gross)))
    known = taking.unknowns.grounds.tare_g is not None
    found = [_gauge(taking, stock, now), _week(life.weighings != (), gross, stock, sd, now)]
    if not known and taking.unknowns.grounds.source == "cartridge":
        found.append(
            Candidate(
                Kind.CYLINDER_MASS,
                "the weight of such a cartridge when it is empty",
                "Weigh an empty one of the same kind, without regulator, and write it into the "
                "tank file as cylinder_tare_kg.",
                now,
                state.tare_g,
                sd,
            )
        )
    elif not known:
        found.append(
            Candidate(
                Kind.CYLINDER_MASS,
                "a weighing without regulator, and the empty weight stamped on the cylinder",
                "Shut the cylinder's valve, let the regulator run empty, take it off, weigh the "
                'cylinder and note "regulator off". Write the stamped empty weight (T, TW or '
                "TARE) into the tank file as cylinder_tare_kg.",
                now,
                stock.left_g,
                float(np.hypot(sd, _OWN_STAMP_SD_G)),
            )
        )
        if life.weighings:
            found.append(
                Candidate(
                    Kind.CYLINDER_MASS,
                    "the empty weight stamped on the cylinder",
                    "Read it off the shoulder (T, TW or TARE) and write it into the tank file as "
                    "cylinder_tare_kg; that of an exchanged cylinder is its own.",
                    now,
                    state.tare_g,
                    _OWN_STAMP_SD_G,
                )
            )
    else:
        found.append(
            Candidate(
                Kind.CYLINDER_MASS,
                "a weighing",
                "Stand the cylinder upright on a scale, hose slack, and note whether the "
                "regulator is on or off.",
                now,
                gross,
                sd,
            )
        )
    if taking.use.stretches:
        found.append(_count(taking, stock, now))
    return found


def _gauge(taking: Stocktaking, stock: Stock, now: datetime) -> Candidate:
    state = stock.state
    shows = gauge_bar(stock.left_g / state.water_l, state.room_c) + state.gauge_bias_bar
    return Candidate(
        Kind.CYLINDER_PRESSURE,
        "the gauge on the cylinder's side",
        'Read it and write the room\'s warmth in the note ("room 21 °C"): the gauge falls only '
        "when the last liquid has gone.",
        now,
        shows,
        float(np.hypot(_GAUGE_SD, taking.log.gauge_step_bar / np.sqrt(12.0))),
    )


def _week(weighed: bool, gross: np.ndarray, stock: Stock, sd: float, now: datetime) -> Candidate:
    lost = _WEEK_DAYS * stock.use_g_day
    if weighed:
        shows, error, what = gross - lost, sd, "a weighing in a week's time"
    else:
        shows, error, what = lost, float(np.sqrt(2.0)) * sd, "a weighing now and one in a week"
    return Candidate(
        Kind.CYLINDER_MASS,
        what,
        "The same scale, the regulator on both times or off both times, and no refill between.",
        now,
        shows,
        error,
    )


def _count(taking: Stocktaking, stock: Stock, now: datetime) -> Candidate:
    use = taking.use
    rates = use.flow.rates(stock.state.flow, np.zeros(stock.left_g.size))
    running = np.flatnonzero(use.flow.shut < 0.5)
    rate = rates[:, running[-1]] if running.size else np.ones(stock.left_g.size)
    return Candidate(
        Kind.BUBBLE_COUNT,
        "a bubble count over a whole minute",
        "Film the counter for a minute and count slowly; write the bubbles with 60 s.",
        now,
        np.log(np.maximum(rate, 1e-6)),
        count_sd(max(float(np.mean(rate)), 0.05), _COUNT_S),
    )
