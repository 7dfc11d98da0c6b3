"""The safety rules, each a function from a candidate to rows that say whether it holds.

A step is advised only when every row of every rule in RULES passes for it. What each rule is
for, and where its figures come from, is in docs/safety.md; the numbers are those there.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from leafgill.advise.aim import hours_shown_from
from leafgill.advise.case import LAST_THIRD, LEAST_WAIT_H, RESPONSE_PART, Case
from leafgill.advise.rates import MOST_LONGER_H, most_after
from leafgill.advise.real_time import after, hours_from
from leafgill.advise.situation import Situation
from leafgill.advise.step import Reason, held
from leafgill.advise.words import clock, per_cent, rate_text
from leafgill.estimate.believe import MISFIT_SIGMA
from leafgill.science.compiled import FloatArray

Rule = Callable[[Case], tuple[Reason, ...]]

MOST_OVER_LIMIT = 0.10
# More gas leaves half of that free: the same chance is run again every day that follows.
MOST_WHEN_RAISED = 0.05
MOST_OVER_DANGER = 0.01
MOST_LOW_O2 = 0.01
# CO2 in the lit hours may be this much above the target before the valve is closed a little.
ABOVE_TARGET = 1.10
FAST_BREATHING_PART = 0.8
# How bad each word about the animals is; beyond fast breathing everything else waits.
FISH_SCALE = {"normal": 0, "fast-breathing": 1, "gasping": 2, "dead": 3}


def within_rule_1(
    over_limit: float | FloatArray, over_danger: float | FloatArray, low_o2: float | FloatArray
) -> NDArray[np.bool_]:
    """Return where chances are what rule 1 accepts of a day on which no more gas is given."""
    accepted = (
        (np.asarray(over_limit) <= MOST_OVER_LIMIT)
        & (np.asarray(over_danger) <= MOST_OVER_DANGER)
        & (np.asarray(low_o2) <= MOST_LOW_O2)
    )
    return np.asarray(accepted)


def co2_stays_under_the_limit(case: Case) -> tuple[Reason, ...]:
    """Rule 1: the highest CO2 anywhere, over the whole day ahead."""
    limits, end = case.situation.limits, case.ahead.times_s[-1]
    accepted = MOST_WHEN_RAISED if case.rises else MOST_OVER_LIMIT
    until = clock(end, case.situation.now)
    rows = []
    for about, level, most in (
        ("limit", limits.co2_mg_l, accepted),
        ("danger", limits.co2_danger_mg_l, MOST_OVER_DANGER),
    ):
        chance = float(np.mean(case.peak > level))
        text = (
            f"chance that CO2 somewhere passes {level:.3g} mg/L until {until}: "
            f"{per_cent(chance)}, at most {most:.0%} is accepted"
        )
        rows.append(held(text, chance, "<=", most, 1, about))
    return tuple(rows)


def oxygen_stays_up(case: Case) -> tuple[Reason, ...]:
    """Rule 1: the lowest oxygen anywhere, over the whole day ahead."""
    least = case.situation.limits.o2_min_mg_l
    chance = float(np.mean(case.least_o2 < least))
    air = case.situation.extra_air
    text = (
        f"chance that oxygen falls below {least:g} mg/L until "
        f"{clock(case.ahead.times_s[-1], case.situation.now)}"
        f"{'' if air is None else f' with air from {air}'}: {per_cent(chance)}, "
        f"at most {MOST_LOW_O2:.0%} is accepted"
    )
    return (held(text, chance, "<=", MOST_LOW_O2, 1, "oxygen"),)


def target_is_not_passed(case: Case) -> tuple[Reason, ...]:
    """Rule 1: within the limits as near the target as can be, and not beyond it."""
    target = case.situation.limits.target_mg_l
    lit = case.lit_co2
    text = (
        f"CO2 while the plants have light: {lit.mean:.3g} mg/L ({lit.low:.3g} to {lit.high:.3g}), "
        f"aimed at {target:.3g}"
    )
    return (held(text, lit.mean, "<=", ABOVE_TARGET * target, 1, "target"),)


def steps_are_small(case: Case) -> tuple[Reason, ...]:
    """Rule 2: a first setting at most 1 bubble/s, a raise at most a doubling or +50 %.

    Gas hours grow by at most two hours, and never together with a raise.
    """
    now = case.situation
    rows = _hours_are_small(case) if case.longer else ()
    if not now.is_raise(case.rate):
        return rows
    most = most_after(now.base, now.last_running)
    if now.first:
        text = f"first setting on an unknown tank: at most {rate_text(most)}"
    elif now.restart:
        text = f"the valve was shut: it is opened again to {rate_text(most)} at most"
    else:
        text = f"one raise from {rate_text(now.base or 0.0)} goes to {rate_text(most)} at most"
    return (*rows, held(text, case.rate, "<=", most, 2, "step"))


def _hours_are_small(case: Case) -> tuple[Reason, ...]:
    now = case.situation
    new, old = case.plan.gas, now.gas
    assert new is not None and old is not None, "only hours that are known can get longer"
    more = new.hours - new.overlap_h(old)
    text = f"gas hours take in {more:.2g} h more; at most {MOST_LONGER_H:g} h in one step"
    size = held(text, more, "<=", MOST_LONGER_H, 2, "step")
    both = float(now.is_raise(case.rate))
    alone = held("hours and valve are not both opened in one step", both, "<=", 0.0, 2, "step")
    return size, alone


def last_change_has_shown(case: Case) -> tuple[Reason, ...]:
    """Rule 3: nothing is raised before the last change has shown what it does."""
    return changes_shown(case.situation) if case.rises else ()


def changes_shown(now: Situation) -> tuple[Reason, ...]:
    """Return whether the last setting of the valve and the last move of the hours have shown."""
    rows: list[Reason] = []
    if now.first:
        return ()
    shown_from = hours_shown_from(now)
    if now.hours_set_at is not None and shown_from is not None:
        hours, wait = (hours_from(now.hours_set_at, at) for at in (now.now, shown_from))
        text = f"the gas hours were moved {hours:.1f} h ago; {wait:.1f} h are waited to see them"
        rows.append(held(text, hours, ">=", wait, 3, "wait"))
    if now.set_at is None:
        return tuple(rows)
    hours = hours_from(now.set_at, now.now)
    text = f"the last setting is {hours:.1f} h old; at least {LEAST_WAIT_H:g} h are waited"
    rows.append(held(text, hours, ">=", LEAST_WAIT_H, 3, "wait"))
    if now.last_response is not None:
        part = now.last_response.at(now.now_s)
        text = (
            f"{per_cent(part)} of the last setting's effect on CO2 has shown; "
            f"{RESPONSE_PART:.0%} is waited for"
        )
        rows.append(held(text, part, ">=", RESPONSE_PART, 3, "wait"))
    return tuple(rows)


def somebody_watches(case: Case) -> tuple[Reason, ...]:
    """Rule 4: gas runs, is not in its last third, and somebody can look before it goes off."""
    now = case.situation
    if not now.is_raise(case.rate):
        return _somebody_sees_the_hours(case) if case.longer else ()
    hours = case.plan.gas or now.gas
    running = hours is not None and hours.covers(case.act.timetz().replace(tzinfo=None))
    text = "the gas is on, so that a setting can be counted"
    rows = [held(text, float(running), ">=", 1.0, 4, "watch")]
    period = now.period(case.act)
    if period is None or not running:
        return tuple(rows)
    on, off = period
    gone = hours_from(on, case.act) / hours_from(on, off)
    text = f"{per_cent(gone)} of the gas hours are gone; nothing is raised in the last third"
    rows.append(held(text, gone, "<=", LAST_THIRD, 4, "watch"))
    left, wait = hours_from(case.act, off), hours_from(case.act, case.look)
    text = (
        f"the effect can be looked at {clock(case.look.timestamp(), now.now)}, "
        f"{wait:.1f} h on; the gas goes off in {left:.1f} h"
    )
    rows.append(held(text, wait, "<=", left, 4, "watch"))
    return tuple(rows)


def _somebody_sees_the_hours(case: Case) -> tuple[Reason, ...]:
    """Longer gas hours: somebody can look before CO2 stands at its height by them."""
    look = case.situation.awake_from(after(case.begins, LEAST_WAIT_H))
    wait, height = hours_from(case.begins, look), hours_from(case.begins, case.lit[0])
    text = (
        f"gas that comes on earlier can be looked at {wait:.1f} h after it begins; "
        f"CO2 is at its height {height:.1f} h after"
    )
    return (held(text, wait, "<=", height, 4, "watch"),)


def readings_are_fresh(case: Case) -> tuple[Reason, ...]:
    """Rule 4: nothing is raised on a stale reading, or on one that contradicts the belief."""
    return readings_fit(case.situation) if case.rises else ()


def readings_fit(now: Situation) -> tuple[Reason, ...]:
    """Return whether the newest reading is fresh, and all of the last day fit the belief."""
    if now.first:
        return ()
    most = hours_from(now.fresh_since, now.now)
    if now.reading is None:
        text = "a raise needs a reading of pH or colour; there is none"
        rows = [held(text, 0.0, ">=", 1.0, 4, "reading")]
    else:
        age = hours_from(now.reading, now.now)
        text = (
            f"the last reading of pH or colour is {age:.1f} h old; "
            f"one of the last {most:.1f} h is needed"
        )
        rows = [held(text, age, "<=", most, 4, "reading")]
        rows += _read_since_change(now)
    for misfit in now.misfits:
        text = f"{misfit.message} ({misfit.sigma:.1f} of its own widths off)"
        rows.append(held(text, misfit.sigma, "<=", MISFIT_SIGMA, 4, "misfit"))
    return tuple(rows)


def _read_since_change(now: Situation) -> list[Reason]:
    """Other water makes older readings stale, as long as they would count at all."""
    if now.changed_at is None or now.reading is None or now.changed_at < now.fresh_since:
        return []
    since = hours_from(now.changed_at, now.reading)
    text = f"water was changed {clock(now.changed_at.timestamp(), now.now)}; " + (
        "pH or colour was read since" if since >= 0.0 else "pH or colour was not read since"
    )
    return [held(text, since, ">=", 0.0, 4, "reading")]


def animals_come_first(case: Case) -> tuple[Reason, ...]:
    """Rule 5: no gas while animals gasp or have died, no more gas while they breathe fast."""
    now = case.situation
    if now.fish is None:
        return ()
    word = now.fish.word
    bad = float(FISH_SCALE[word])
    when = clock(now.fish.time.timestamp(), now.now)
    if bad > FISH_SCALE["fast-breathing"]:
        text = f"animals {word} at {when}: the gas is shut before anything else"
        return (held(text, bad, "<=", FISH_SCALE["fast-breathing"], 5, "distress"),)
    if bad == 0.0:
        return (held(f"animals were normal at {when}", bad, "<=", 0.0, 5, "animals"),)
    if case.longer:
        text = f"animals breathe fast at {when}: the gas hours get no longer until they do not"
        return (held(text, bad, "<=", 0.0, 5, "animals"),)
    # Once the valve was closed a little for it, the animals get time to show whether it helped.
    answered = now.set_at is not None and now.set_at > now.fish.time
    most = (1.0 if answered else FAST_BREATHING_PART) * (now.rate or 0.0)
    text = f"animals breathe fast at {when}: no more than {rate_text(most)} until they do not"
    return (held(text, case.rate, "<=", most, 5, "animals"),)


def figures_are_numbers(case: Case) -> tuple[Reason, ...]:
    """Rule 6: every figure behind the advice exists; one that is no number proves nothing."""
    ahead = case.ahead
    wrong = float(np.mean(~(np.isfinite(ahead.co2_max) & np.isfinite(ahead.o2)).all(axis=1)))
    text = (
        f"the figures rest on {case.situation.belief.count} draws, {per_cent(wrong)} without sense"
    )
    return (held(text, wrong, "<=", 0.0, 6, "draws"),)


RULES: tuple[Rule, ...] = (
    animals_come_first,
    co2_stays_under_the_limit,
    oxygen_stays_up,
    target_is_not_passed,
    steps_are_small,
    last_change_has_shown,
    somebody_watches,
    readings_are_fresh,
    figures_are_numbers,
)
# Rules about the moment: what they refuse now, they may allow at another time.
OF_THE_MOMENT = (3, 4)


def judge(case: Case) -> tuple[Reason, ...]:
    """Return all rows of all rules for a candidate."""
    return tuple(row for rule in RULES for row in rule(case))


def passes(rows: tuple[Reason, ...], *, but: tuple[int, ...] = ()) -> bool:
    """Return whether all rows pass, leaving out those of some rules."""
    return all(row.passed for row in rows if row.rule not in but)
