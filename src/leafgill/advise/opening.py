"""Steps that open the valve or leave it: first setting, raise, not now, hold."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from leafgill.advise import looks, say
from leafgill.advise.beside.settled import settle
from leafgill.advise.case import Case, case_of
from leafgill.advise.compose import (
    SHUT,
    back_to,
    best_reading,
    closed_a_little,
    compose,
    failed,
    limited,
    reading_text,
    to_go_on,
    what_would_help,
)
from leafgill.advise.hours import gas_hours
from leafgill.advise.rates import nearest_countable
from leafgill.advise.real_time import after, later
from leafgill.advise.rules import judge, passes
from leafgill.advise.search import NOTHING, Found, first_chances, upward
from leafgill.advise.situation import Situation
from leafgill.advise.step import Reason, Step, held
from leafgill.advise.words import moment, rate_text
from leafgill.diary import Diary

_REMEASURE_H = 0.25
_MISFIT_LOOK_H = 1.0


def first(situation: Situation, diary: Diary) -> Step:
    """No setting yet: hours for the gas, and a first small rate."""
    proposed = gas_hours(situation) if situation.gas is None else None
    situation = replace(situation, gas=proposed or situation.gas)
    hold = case_of(situation, None, gas=proposed)
    found, chances = NOTHING, first_chances(situation)
    for act in chances:
        found = upward(situation, hold, gas=proposed, act=act)
        if found.case is None or passes(found.rows):
            break
    case = found.case
    if case is None or not passes(found.rows):
        return _cannot_start(situation, diary, hold, found, chances)
    return compose(
        "first setting",
        case,
        looks.after_change(case),
        (*found.rows, *found.refused),
        SHUT,
        cautions=(*say.FIRST, *say.setting(situation, case.rate)),
        measure=say.to_read(situation),
        later=what_would_help(case, diary),
    )


def _cannot_start(
    situation: Situation, diary: Diary, hold: Case, found: Found, chances: list[datetime]
) -> Step:
    """Not even a little gas is safe under the belief, or nobody could watch it."""
    text = "times in the next day at which the gas is on and somebody is there to set it"
    there = held(text, len(chances), ">=", 1.0, 4, "watch")
    refused = (there, *(row for row in found.rows if not row.passed), *found.refused)
    best = best_reading(situation, diary)
    look = looks.at_height(situation)
    if best is not None and best.at is not None:
        look = situation.awake_from(later(best.at, after(situation.now, _REMEASURE_H)))
    return compose("measure", hold, look, refused or judge(hold), SHUT, measure=reading_text(best))


def raise_or_hold(situation: Situation, diary: Diary, hold: Case, rows: tuple[Reason, ...]) -> Step:
    """The rate at hand is allowed (`rows`): more where rules and moment allow, else as it is."""
    found = upward(situation, hold)
    case = found.case
    if case is None:
        return _hold(situation, diary, hold, rows, found)
    if not passes(found.rows):
        return _not_now(situation, hold, case, found)
    return compose(
        "raise",
        case,
        looks.after_change(case),
        (*found.rows, *found.refused),
        back_to(nearest_countable(situation.base or 0.0)),
        cautions=say.setting(situation, case.rate),
        measure=say.to_read(situation),
        later=what_would_help(case, diary) if limited(found) else "",
    )


def _not_now(situation: Situation, hold: Case, wanted: Case, found: Found) -> Step:
    """A raise is wanted but not now: say why, and when it may be."""
    refused = tuple(row for row in found.rows if not row.passed)
    misfit = failed(refused, "misfit")
    doubtful = misfit or failed(refused, "reading")
    look = looks.before_raise(situation, refused)
    if doubtful and situation.gas_on:
        wait = _MISFIT_LOOK_H if misfit else _REMEASURE_H
        look = situation.awake_from(after(situation.now, wait))
    then = (
        f"at {moment(look, situation.now)}, if all looks as expected, a raise to "
        f"{rate_text(wanted.rate)} is likely"
    )
    return compose(
        "measure" if doubtful else "hold",
        hold,
        look,
        (*refused, *judge(hold)),
        closed_a_little(situation.rate or 0.0),
        measure=say.to_read(situation),
        later=then,
    )


def _hold(
    situation: Situation, diary: Diary, hold: Case, rows: tuple[Reason, ...], found: Found
) -> Step:
    """Leave the valve: the target is met, or the belief is too wide for more."""
    measure = to_go_on(situation, diary, found) or say.to_read(situation)
    step = compose(
        "hold",
        hold,
        looks.at_height(situation),
        (*rows, *found.refused),
        closed_a_little(situation.rate or 0.0),
        measure=measure,
    )
    return settle(step, hold, diary, rows)
