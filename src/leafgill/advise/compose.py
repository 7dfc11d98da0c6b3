"""Putting a step together: what is common to all of them."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from leafgill.advise import say
from leafgill.advise.case import Case
from leafgill.advise.expect import close_back, expect_at
from leafgill.advise.measure import Reading, rank_readings
from leafgill.advise.rates import nearest_countable
from leafgill.advise.search import Found
from leafgill.advise.situation import Situation
from leafgill.advise.step import Action, Reason, Step
from leafgill.advise.words import rate_text
from leafgill.diary import Diary

SHUT = "shut the gas"
# Where things look worse than expected, the valve is closed to this part of what it gives.
_BACK_PART = 0.8
# A step that ends this far below the target for want of knowledge says which reading would help.
_FAR_BELOW = 0.9


def compose(
    action: Action,
    case: Case,
    look: datetime,
    reasons: Iterable[Reason],
    then: str,
    *,
    cautions: Iterable[str] = (),
    measure: str | None = None,
    later: str = "",
) -> Step:
    """Return a step with what is to be seen at its look; a rate where the case sets one.

    `then` says what to do where it looks worse than that.
    """
    situation = case.situation
    back = close_back(situation, case.ahead, look, then)
    air = situation.extra_air if case.sets else None
    return Step(
        action=action,
        rate=case.rate if case.sets else None,
        schedule=str(case.plan.gas) if case.sets and case.plan.gas is not None else None,
        look_at=look,
        measure=measure,
        expect=expect_at(situation, case.ahead, look),
        close_back_if=back.words,
        reasons=tuple(reasons),
        cautions=(*cautions, *say.general(situation)),
        act_at=case.act if case.sets else None,
        close_back_ph=back.ph,
        later=later,
        air=None if air is None else str(air),
    )


def failed(rows: Iterable[Reason], about: str) -> bool:
    """Return whether a row about something does not pass."""
    return any(row.about == about and not row.passed for row in rows)


def as_it_is(rows: Iterable[Reason]) -> tuple[Reason, ...]:
    """Return the rows that do not pass, said to be of the present setting."""
    return tuple(row._replace(text=f"as it is set: {row.text}") for row in rows if not row.passed)


def back_to(rate: float) -> str:
    """Return what to do with the valve: close back to a rate, or shut the gas."""
    return f"close back to {rate_text(rate)}" if rate else SHUT


def closed_a_little(rate: float) -> str:
    """Return what to do where a rate looks too high: close to four fifths of it."""
    return back_to(nearest_countable(_BACK_PART * rate))


def limited(found: Found) -> bool:
    """Whether it is the belief's width that holds the gas below the target."""
    return any(row.about in ("limit", "danger") for row in found.refused)


def to_go_on(situation: Situation, diary: Diary, found: Found) -> str | None:
    """Return the reading that would let more gas be given, None where none is wanting."""
    if failed(found.refused, "oxygen"):
        return say.OXYGEN_TEST
    return reading_text(best_reading(situation, diary)) if limited(found) else None


def best_reading(situation: Situation, diary: Diary) -> Reading | None:
    """Return the reading that would narrow CO2 most, None when none would."""
    ranked = rank_readings(situation.tank, diary, situation.belief, situation.now)
    return ranked[0] if ranked and ranked[0].narrows_by > 0.0 else None


def reading_text(reading: Reading | None) -> str | None:
    """Return a reading with what it is worth and how to take it."""
    if reading is None:
        return None
    part = f"it would narrow CO2 by about {100.0 * reading.narrows_by:.0f} %"
    return f"{reading.what} ({part}). {reading.how}"


def what_would_help(case: Case, diary: Diary) -> str:
    """Return which reading would let more gas be given, "" where the target is near."""
    if case.lit_co2.mean >= _FAR_BELOW * case.situation.limits.target_mg_l:
        return ""
    text = reading_text(best_reading(case.situation, diary))
    return f"what would help to go on: {text}" if text else ""
