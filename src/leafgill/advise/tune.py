"""The next step: the one place where the rules meet the belief."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import datetime, timedelta

from leafgill.advise import looks, say
from leafgill.advise.case import Case, case_of
from leafgill.advise.emergency import ways_out
from leafgill.advise.expect import close_back, expect_at
from leafgill.advise.hours import gas_hours
from leafgill.advise.measure import Reading, rank_readings
from leafgill.advise.rates import nearest_countable
from leafgill.advise.rules import judge, passes
from leafgill.advise.search import NOTHING, Found, downward, first_chances, upward
from leafgill.advise.situation import Situation, look_around
from leafgill.advise.step import Action, Expect, Reason, Step
from leafgill.advise.words import moment, rate_text
from leafgill.diary import Diary
from leafgill.estimate.belief import Belief
from leafgill.tank.schedule import Window
from leafgill.tank.spec import Tank

__all__ = ["Expect", "Reason", "Step", "next_step"]

_GASPING_LOOK = timedelta(minutes=10)
_REMEASURE = timedelta(minutes=15)
_MISFIT_LOOK = timedelta(hours=1)
# A step that ends this far below the target for want of knowledge says which reading would help.
_FAR_BELOW = 0.9
_BACK_PART = 0.8
SHUT = "shut the gas"


def next_step(
    tank: Tank,
    diary: Diary,
    belief: Belief,
    now: datetime,
    awake: tuple[float, float] = (8, 22),
) -> Step:
    """Return the next safe thing to do at a tank.

    `now` is aware, or naive by the tank's clock, and within the belief's days; `awake` are the
    hours of the day between which somebody can be at the tank. Every row of every rule in
    `rules.RULES` passes for a rate it names. Raises InputError for a `now` or hours that cannot
    be meant.
    """
    situation = look_around(tank, diary, belief, now, awake)
    hold = case_of(situation, None)
    rows = judge(hold)
    if _failed(rows, "distress"):
        return _emergency(situation, rows)
    if _failed(rows, "draws"):
        return _no_figures(situation, hold, rows)
    # Oxygen that falls short without any gas is not the gas's doing: it bars every raise, but
    # closing the valve would not mend it.
    starved = _failed(rows, "oxygen") and _failed(judge(case_of(situation, 0.0)), "oxygen")
    blamed = tuple(row for row in rows if not (starved and row.about == "oxygen"))
    if not passes(blamed) and situation.rate:
        step = _lower(situation)
    elif situation.first:
        step = _first(situation, diary)
    else:
        step = _raise_or_hold(situation, diary, hold, rows)
    if starved:
        chance = next(row.figure for row in rows if row.about == "oxygen")
        advice = say.oxygen(chance, situation.limits.o2_min_mg_l)
        step = replace(step, cautions=(*advice, *step.cautions))
    return step


def _failed(rows: Iterable[Reason], about: str) -> bool:
    return any(row.about == about and not row.passed for row in rows)


def _step(
    situation: Situation,
    action: Action,
    case: Case,
    look: datetime,
    reasons: tuple[Reason, ...],
    then: str,
    *,
    cautions: Iterable[str] = (),
    measure: str | None = None,
    later: str = "",
) -> Step:
    """Return a step with what is to be seen at its look; a rate where the case sets one."""
    back = close_back(situation, case.ahead, look, then)
    return Step(
        action=action,
        rate=case.rate if case.sets else None,
        schedule=None if case.plan.gas is None else str(case.plan.gas),
        look_at=look,
        measure=measure,
        expect=expect_at(situation, case.ahead, look),
        close_back_if=back.words,
        reasons=reasons,
        cautions=(*cautions, *say.general(situation)),
        act_at=case.act if case.sets else None,
        close_back_ph=back.ph,
        later=later,
    )


def _emergency(situation: Situation, rows: tuple[Reason, ...]) -> Step:
    """Animals in distress: gas shut, air, water; look again at once."""
    shut = case_of(situation, 0.0)
    figures = ways_out(situation.belief, situation.now, situation.limits.co2_mg_l)
    distress = tuple(row for row in rows if row.about == "distress")
    step = _step(
        situation,
        "emergency",
        shut,
        situation.now + _GASPING_LOOK,
        (*distress, *say.relief_rows(figures)),
        SHUT,
        cautions=say.ways_out(figures),
        measure="pH, then oxygen, ammonia and nitrite; write down how the animals are each time",
        later="once they breathe calmly, write that down; the gas then starts again from little",
    )
    return replace(
        step, close_back_if="the gas stays shut until the animals are written down as normal"
    )


def _no_figures(situation: Situation, hold: Case, rows: tuple[Reason, ...]) -> Step:
    """The belief gives no figures: nothing can be advised but to measure."""
    return Step(
        action="measure",
        rate=None,
        schedule=None,
        look_at=situation.awake_from(situation.now + _REMEASURE),
        measure=say.to_read(situation),
        expect=Expect(None, (), hold.lit_co2),
        close_back_if="animals that breathe fast, hang at the surface or lie still: shut the gas",
        reasons=tuple(row for row in rows if row.about == "draws"),
        cautions=tuple(say.general(situation)),
    )


def _lower(situation: Situation) -> Step:
    """The rate at hand breaks a rule: close the valve as far as the rules ask."""
    found = downward(situation)
    case = found.case
    assert case is not None  # shutting the gas is always found
    further = nearest_countable(_BACK_PART * case.rate)
    case = replace(case, act=looks.when_to_turn(situation))
    return _step(
        situation,
        "lower",
        case,
        looks.after_change(case),
        (*found.rows, *found.refused),
        _back_to(further),
        cautions=say.setting(situation, case.rate),
        measure=say.to_read(situation),
    )


def _first(situation: Situation, diary: Diary) -> Step:
    """No setting yet: hours for the gas, and a first small rate."""
    proposed: Window | None = None
    if situation.gas is None:
        proposed = gas_hours(situation)
        situation = replace(situation, gas=proposed)
    hold = case_of(situation, None, gas=proposed)
    found, best = NOTHING, None
    for act in first_chances(situation):
        found = upward(situation, hold, gas=proposed, act=act)
        if found.case is not None and passes(found.rows):
            best = found.case
            break
        if found.case is None:
            break
    if best is None:
        return _cannot_start(situation, diary, hold, found)
    return _step(
        situation,
        "first setting",
        best,
        looks.after_change(best),
        (*found.rows, *found.refused),
        SHUT,
        cautions=(*say.FIRST, *say.setting(situation, best.rate)),
        measure=say.to_read(situation),
        later=_next_reading(situation, diary, best),
    )


def _cannot_start(situation: Situation, diary: Diary, hold: Case, found: Found) -> Step:
    """Not even a little gas is safe under the belief, or nobody could watch it."""
    refused = (*(row for row in found.rows if not row.passed), *found.refused)
    best = _best_reading(situation, diary)
    hold = replace(hold, plan=hold.plan._replace(gas=None))
    return _step(
        situation,
        "measure",
        hold,
        situation.awake_from(best.at or situation.now + _MISFIT_LOOK)
        if best is not None
        else looks.at_height(situation),
        refused or judge(hold),
        SHUT,
        measure=_reading_text(best),
    )


def _raise_or_hold(
    situation: Situation, diary: Diary, hold: Case, rows: tuple[Reason, ...]
) -> Step:
    """The rate at hand is allowed: more of it where rules and moment allow, else as it is."""
    found = upward(situation, hold)
    case = found.case
    if case is None:
        return _hold(situation, diary, hold, (*rows, *found.refused), found)
    if passes(found.rows):
        return _step(
            situation,
            "raise",
            case,
            looks.after_change(case),
            (*found.rows, *found.refused),
            _back_to(nearest_countable(situation.base or 0.0)),
            cautions=say.setting(situation, case.rate),
            measure=say.to_read(situation),
            later=_next_reading(situation, diary, case) if _limited(found) else "",
        )
    return _not_now(situation, diary, hold, found)


def _not_now(situation: Situation, diary: Diary, hold: Case, found: Found) -> Step:
    """A raise is wanted but not now: say why, and when it may be."""
    case = found.case
    assert case is not None
    refused = tuple(row for row in found.rows if not row.passed)
    doubtful = _failed(refused, "reading") or _failed(refused, "misfit")
    if doubtful and situation.gas_on:
        wait = _MISFIT_LOOK if _failed(refused, "misfit") else _REMEASURE
        look = situation.awake_from(situation.now + wait)
        action: Action = "measure"
        measure = say.to_read(situation)
    else:
        look = looks.before_raise(situation, refused)
        action = "measure" if doubtful else "hold"
        measure = say.to_read(situation)
    later = (
        f"at {moment(look, situation.now)}, if all looks as expected, a raise to "
        f"{rate_text(case.rate)} is likely"
    )
    return _step(
        situation,
        action,
        hold,
        look,
        (*refused, *judge(hold)),
        _closed_a_little(situation),
        measure=measure,
        later=later,
    )


def _hold(
    situation: Situation, diary: Diary, hold: Case, rows: tuple[Reason, ...], found: Found
) -> Step:
    """Leave the valve: the target is met, or the belief is too wide for more."""
    measure = _reading_text(_best_reading(situation, diary)) if _limited(found) else None
    return _step(
        situation,
        "hold",
        hold,
        looks.at_height(situation),
        rows,
        _closed_a_little(situation),
        measure=measure or say.to_read(situation),
    )


def _closed_a_little(situation: Situation) -> str:
    return _back_to(nearest_countable(_BACK_PART * (situation.rate or 0.0)))


def _back_to(rate: float) -> str:
    return f"close back to {rate_text(rate)}" if rate else SHUT


def _limited(found: Found) -> bool:
    """Whether it is the belief's width that holds the gas below the target."""
    return any(row.about in ("limit", "danger", "oxygen") for row in found.refused)


def _next_reading(situation: Situation, diary: Diary, case: Case) -> str:
    """Return which reading would let more gas be given, where the target is still far."""
    if case.lit_co2.mean >= _FAR_BELOW * situation.limits.target_mg_l:
        return ""
    text = _reading_text(_best_reading(situation, diary))
    return f"what would help to go on: {text}" if text else ""


def _best_reading(situation: Situation, diary: Diary) -> Reading | None:
    ranked = rank_readings(situation.tank, diary, situation.belief, situation.now)
    return ranked[0] if ranked and ranked[0].narrows_by > 0.0 else None


def _reading_text(reading: Reading | None) -> str | None:
    if reading is None:
        return None
    part = f"it would narrow CO2 by about {100.0 * reading.narrows_by:.0f} %"
    return f"{reading.what} ({part}). {reading.how}"
