"""When to look again."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from leafgill.advise.aim import hours_shown_from, lit_hours
from leafgill.advise.case import LAST_THIRD, LEAST_WAIT_H, PLANNED_PART, Case, rounded_up
from leafgill.advise.real_time import after, hours_from, later
from leafgill.advise.situation import Situation
from leafgill.advise.step import Reason
from leafgill.estimate.acted import FILLING_H
from leafgill.tank.schedule import is_on

# A valve is not turned in the first minutes of the gas: the line has to fill first, and what is
# counted then is less than what will run.
_AFTER_ON_H = FILLING_H
# The height of the day is looked at this long before the lights go off.
_BEFORE_OFF_H = 1.0
# Nobody is sent back to the tank sooner than this.
_SOONEST_H = 0.25


def after_change(case: Case) -> datetime:
    """Return when to look after a change: its effect is in, somebody is about, the gas is on.

    The case's own look where the gas then still runs, else an hour into the next gas hours.
    """
    situation, at = case.situation, case.look
    hours = case.plan.gas or situation.gas
    if case.rate <= 0.0 or is_on(at, hours, situation.tank.timezone):
        return at
    begin = situation.gas_from(at)
    return at if begin is None else situation.awake_from(after(begin, LEAST_WAIT_H))


def before_raise(situation: Situation, refused: Iterable[Reason]) -> datetime:
    """Return when a raise that was refused for the moment may be thought of again.

    When the last change has shown its effect, or soon after the next gas-on where this gas period
    is over, near its end, or nobody could look again.
    """
    names = {row.about for row in refused}
    last = situation.last_response
    hours_shown = hours_shown_from(situation)
    if names == {"wait"} and (situation.set_at is not None or hours_shown is not None):
        at = situation.now if hours_shown is None else hours_shown
        if situation.set_at is not None:
            at = later(at, after(situation.set_at, LEAST_WAIT_H))
        if last is not None:
            shown = datetime.fromtimestamp(last.reached_s(PLANNED_PART), situation.now.tzinfo)
            at = later(at, shown)
        at = situation.awake_from(rounded_up(later(at, after(situation.now, _SOONEST_H))))
        if still_early(situation, at):
            return at
    return next_gas_day(situation)


def still_early(situation: Situation, at: datetime) -> bool:
    """Return whether a raise at that moment could still be watched: gas on, not late in it."""
    period = situation.period(at)
    if period is None:
        return situation.gas_from(at) == at
    on, off = period
    early = hours_from(on, at) <= LAST_THIRD * hours_from(on, off)
    return early and situation.awake_from(after(at, LEAST_WAIT_H)) < off


def when_to_turn(situation: Situation) -> datetime:
    """Return when to close the valve: now, or at the next gas-on if somebody is there for it.

    While the gas is off nothing is counted and nothing harms.
    """
    begin = situation.gas_from(situation.now)
    if begin is None or situation.awake_from(begin) != begin:
        return situation.now
    return begin


def next_gas_day(situation: Situation) -> datetime:
    """Return half an hour into the next gas period, when its bubbles can be counted.

    Or when somebody is about in it, where that is later.
    """
    period = situation.period(situation.now)
    begin = situation.gas_from(period[1] if period is not None else situation.now)
    if begin is None:
        return at_height(situation)
    return situation.awake_from(rounded_up(after(begin, _AFTER_ON_H)))


def at_height(situation: Situation) -> datetime:
    """Return the next time CO2 stands at its height while somebody is about, at least 1 h on."""
    now = situation.now
    zone, soonest = situation.tank.timezone, after(now, LEAST_WAIT_H)
    for act in (after(now, -12.0), now):
        lit = lit_hours(situation, act, situation.gas)
        at = later(after(lit[1], -_BEFORE_OFF_H), lit[0])
        if at >= soonest and is_on(at, situation.awake, zone):
            return rounded_up(at)
        if lit[1] >= soonest:
            about = situation.awake_from(later(lit[0], soonest))
            if about < lit[1]:
                return rounded_up(about)
    return situation.awake_from(rounded_up(after(now, 12.0)))
