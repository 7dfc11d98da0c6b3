"""Other hours of light tried in the tank's model: shorter, longer, and parted by a dark pause."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from leafgill.advise.balance.light_now import hours_of_light
from leafgill.advise.balance.light_up import risk_figures, why
from leafgill.advise.balance.lit_days import (
    TRIED,
    LitDay,
    allowed,
    day_of,
    gas_for,
    gas_hours,
    hold,
    shifted,
    some_rows,
    with_light,
)
from leafgill.advise.balance.result import DayTrial
from leafgill.advise.balance.season import Season
from leafgill.advise.drawn import figure
from leafgill.advise.figure import Input
from leafgill.tank.clock import seconds_of
from leafgill.tank.limits import Limits, limits_of
from leafgill.tank.schedule import Window

# Light for so many hours a day is tried beside the present, and a pause of so long [h].
_SHORTER, _LONGER, _PAUSE_H = -2.0, 1.5, 3.0
_SHORTEST_H, _LONGEST_H = 4.0, 12.0
_MODEL = "the tank's model over a day that repeats itself (docs/theory.md)"


def photoperiods(season: Season) -> tuple[DayTrial, ...]:
    """Return the present day and others tried; empty where no hours of light are known."""
    window = hours_of_light(season.belief)
    if window is None or window.never or window.hours >= 24.0:
        return ()
    belief = season.belief.take(some_rows(season.joint.shared.row, TRIED))
    limits = limits_of(season.tank)
    day = day_of(belief)
    now = hold(day, (window,), gas_hours(belief, day), limits.target_mg_l)
    found = [_trial("now", f"as now: {_clock((window,))}", now, now, limits)]
    for key, words, light in _others(window):
        tried = hold(with_light(day, light), light, gas_for(light), limits.target_mg_l)
        found.append(_trial(key, words, tried, now, limits))
    return tuple(found)


def _others(window: Window) -> Iterator[tuple[str, str, tuple[Window, ...]]]:
    for key, change in (("shorter", _SHORTER), ("longer", _LONGER)):
        hours = float(np.clip(window.hours + change, _SHORTEST_H, _LONGEST_H))
        if abs(hours - window.hours) < 0.25:
            continue
        light = (Window(window.on, shifted(window.on, hours)),)
        yield key, f"{hours:g} h of light: {_clock(light)}", light
    parted = _parted(window)
    if parted is not None:
        yield "pause", f"a dark pause of {_PAUSE_H:g} h: {_clock(parted)}", parted


def _parted(window: Window) -> tuple[Window, Window] | None:
    """Return as many hours of light in two halves, None where they would pass midnight."""
    half = 0.5 * window.hours
    on = seconds_of(window.on) / 3600.0
    # begun earlier by half the pause, so that the middle of the day stays where it is
    begin = max(on - 0.5 * _PAUSE_H, 0.5)
    if begin + window.hours + _PAUSE_H > 23.5:
        begin = 23.5 - window.hours - _PAUSE_H
    if begin < 0.5 or half < 1.0:
        return None
    first = shifted(window.on, begin - on)
    return (
        Window(first, shifted(first, half)),
        Window(shifted(first, half + _PAUSE_H), shifted(first, 2.0 * half + _PAUSE_H)),
    )


def _clock(light: tuple[Window, ...]) -> str:
    return " and ".join(str(window) for window in light)


def _trial(key: str, words: str, tried: LitDay, now: LitDay, limits: Limits) -> DayTrial:
    risks = tried.risks(limits)
    possible = allowed(risks)
    hours = sum(window.hours for window in tried.light)
    inputs = (
        Input("hours of light", hours, "h", "tried"),
        Input("CO2 held while lit", limits.target_mg_l, "mg/L", "tank file or its limits"),
    )
    against = 100.0 * (tried.cycle.fixed / np.maximum(now.cycle.fixed, 1e-9) - 1.0)
    return DayTrial(
        key=key,
        words=words,
        light=tried.light,
        gas=(tried.gas,),
        fixed=figure("fixed_mg_l_day", "CO2 taken by the plants in a day", tried.cycle.fixed,
                     "mg/L", "uptake over the day", inputs, _MODEL),
        against_now=figure("against_now_percent", "against the hours of now", against, "%",
                           "taken / taken now - 1", inputs, _MODEL),
        lit_co2=figure("lit_co2_mg_l", "CO2 while lit", tried.cycle.lit_co2, "mg/L",
                       "median of the lit hours", inputs, _MODEL),
        **risk_figures(risks, tried, limits, inputs),
        gas_used=figure("gas_g_day", "gas of a day", tried.gas_g, "g",
                        "gas that dissolves / part that dissolves", inputs, _MODEL),
        possible=possible,
        reason=why(possible, risks, limits),
    )  # fmt: skip
