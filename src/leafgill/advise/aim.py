"""The hours that count for the plants, and the CO2 a plan gives in them."""

from __future__ import annotations

from datetime import datetime

import numpy as np

from leafgill.advise.forecast import Outlook
from leafgill.advise.real_time import after, later, sooner
from leafgill.advise.situation import Situation
from leafgill.estimate.acted import FILLING_H
from leafgill.science.compiled import FloatArray
from leafgill.tank.schedule import Window, next_off, next_on, period_at

# The plants' day is counted from here after lights-on: before, CO2 is still rising [h].
_RISEN_H = 2.0
# A change made this soon after gas-on still makes the whole day's CO2 [h].
_SOON_H = FILLING_H + 0.25
_GRID_S = 1800.0
_DAY_H = 24.0


def lit_hours(situation: Situation, act: datetime, gas: Window | None) -> tuple[datetime, datetime]:
    """Return the next lit hours (from, to) that a change made at `act` will have shaped.

    From two hours after lights and gas are on until the lights go off, in the first gas period
    (by the hours `gas`) that begins after `act` or at most three quarters of an hour before. Where
    no such hours exist, the 8 hours from two hours after `act`.
    """
    zone = situation.tank.timezone
    begins = next_on(after(act, -_SOON_H), gas, zone) or act
    light = situation.light
    lit = period_at(begins, light, zone)
    if lit is None:
        on = next_on(begins, light, zone)
        off = next_off(on, light, zone) if on is not None else None
        lit = None if on is None or off is None else (on, off)
    if lit is not None:
        risen = after(later(lit[0], begins), _RISEN_H)
        if risen < lit[1]:
            return risen, lit[1]
    return after(act, _RISEN_H), after(act, 5.0 * _RISEN_H)


def hours_shown_from(situation: Situation) -> datetime | None:
    """Return when the last move of the gas hours will have shown, None where none was made.

    Two hours into the light of the first gas period that runs by them.
    """
    if situation.hours_set_at is None:
        return None
    return lit_hours(situation, situation.hours_set_at, situation.gas)[0]


def horizon(belief_end: datetime, act: datetime, lit: tuple[datetime, datetime]) -> datetime:
    """Return the end of the day ahead: 24 h on, or the end of those lit hours if later."""
    return sooner(belief_end, later(after(act, _DAY_H), lit[1]))


def lit_co2(ahead: Outlook, lit: tuple[datetime, datetime]) -> FloatArray:
    """Return each draw's median CO2 over the lit hours [mg/L], [m]."""
    last = float(ahead.times_s[-1])
    first = min(lit[0].timestamp(), last - _GRID_S)
    end = min(lit[1].timestamp(), last)
    times = np.arange(first, end + 1.0, _GRID_S)
    median: FloatArray = np.median(np.stack([ahead.at("co2", t) for t in times], axis=1), axis=1)
    return median
