"""Where gas hours could begin and end: on early enough, off early enough, by the settled day."""

from __future__ import annotations

from collections.abc import Callable
from datetime import time

import numpy as np

from leafgill.advise.beside.settled_day import BEFORE_OFF_H, SettledDay
from leafgill.advise.hours import LEAST_LEAD_H, MET_PART, MOST_LEAD_H, STEP_S
from leafgill.advise.rates import MOST_LONGER_H
from leafgill.tank.clock import DAY_S, seconds_of
from leafgill.tank.schedule import Window

# Of what CO2 would be with gas until lights-off this is kept: an hour before lights-off, and in the
# middle of the lit hours, where less would soon ask for a raise (choices of ours).
KEPT_PART = 0.95
LIT_KEPT_PART = 0.98
# The gas is never turned off longer than this before the lights [h] (a choice of ours).
_MOST_BEFORE_OFF_H = 3.0
_STEP_H = STEP_S / 3600.0


def lead_h(gas: Window, light: Window) -> float:
    """Return how long before the lights the gas comes on [h], -12 to 12."""
    return _between(seconds_of(gas.on), seconds_of(light.on))


def tail_h(gas: Window, light: Window) -> float:
    """Return how long after the lights the gas goes off [h], -12 to 12; -1 is an hour before."""
    return _between(seconds_of(light.off), seconds_of(gas.off))


def _between(first_s: float, second_s: float) -> float:
    return ((second_s - first_s + 0.5 * DAY_S) % DAY_S - 0.5 * DAY_S) / 3600.0


def window_of(light: Window, lead: float, tail: float) -> Window:
    """Return the gas hours with a lead and a tail [h]."""
    return Window(_clock(seconds_of(light.on) - 3600.0 * lead),
                  _clock(seconds_of(light.off) + 3600.0 * tail))  # fmt: skip


def _clock(at_s: float) -> time:
    minutes = round(at_s / 60.0) % 1440
    return time(minutes // 60, minutes % 60)


def best_lead(day: SettledDay, aim_mg_l: float) -> float:
    """Return the shortest lead [h] with which the median of CO2 at lights-on is 90 % of the aim.

    To a quarter of an hour, between half an hour and four hours, at most two hours more than now,
    and so that the gas hours do not swallow their own end.
    """
    tail = tail_h(day.gas, day.light)
    room = 24.0 - day.light.hours - tail - _STEP_H
    most = min(MOST_LEAD_H, lead_h(day.gas, day.light) + MOST_LONGER_H, room)
    leads = np.arange(LEAST_LEAD_H, most + 1e-6, _STEP_H)
    if not leads.size:
        return lead_h(day.gas, day.light)

    def met(lead: float) -> bool:
        level = day.at_on(day.under(window_of(day.light, lead, tail)))
        return float(np.median(level)) >= MET_PART * aim_mg_l

    return _first(leads.tolist(), met)


def best_tail(day: SettledDay, lead: float) -> float:
    """Return the earliest gas-off, as a tail [h], that keeps the level until an hour before dark.

    The medians of CO2 then and in the middle of the lit hours, against what they are with gas
    until lights-off: at least 95 % and 98 %.
    """
    full = day.under(window_of(day.light, lead, 0.0))
    most_before = min(_MOST_BEFORE_OFF_H, day.light.hours - BEFORE_OFF_H)
    tails = np.arange(-most_before, 1e-6, _STEP_H)

    def kept(tail: float) -> bool:
        cycle = day.under(window_of(day.light, lead, tail))
        late = np.median(day.late(cycle) / day.late(full))
        lit = np.median(cycle.lit_co2 / full.lit_co2)
        return bool(late >= KEPT_PART and lit >= LIT_KEPT_PART)

    return _first(tails.tolist(), kept)


def _first(values: list[float], good: Callable[[float], bool]) -> float:
    """Return the first of rising values that is good, by halving; the last where none is."""
    low, high = 0, len(values) - 1
    while low < high:
        middle = (low + high) // 2
        if good(values[middle]):
            high = middle
        else:
            low = middle + 1
    return float(values[low])
