"""The rate that comes nearest to the target among those the rules allow."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

import numpy as np

from leafgill.advise.case import RESPONSE_PART, Case, case_of
from leafgill.advise.rates import FASTEST, between
from leafgill.advise.real_time import after
from leafgill.advise.rules import OF_THE_MOMENT, judge, passes
from leafgill.advise.situation import Situation
from leafgill.advise.step import Reason, held
from leafgill.advise.words import per_cent, rate_text
from leafgill.tank.schedule import Window

# Rates are searched this far up, so that what holds them back is a rule and not the search.
_SEARCHED_UP_TO = 8.0
# As near to the target as this the valve is left alone [part of the target].
_NEAR_ENOUGH = 0.04
# A setting planned for later has to be seen at work for this long [h].
_SHOWN_H = 6.0
# With more than this chance of the danger level now, gas is shut rather than lowered.
_SHUT_AT = 0.10


@dataclass(frozen=True)
class Found:
    """What a search found: the best case allowed, and the next one up with what refused it.

    `rows` are all rows of `case`, `refused` those of `above` that do not pass.
    """

    case: Case | None
    rows: tuple[Reason, ...]
    above: Case | None
    refused: tuple[Reason, ...]


@dataclass(frozen=True)
class Lowered:
    """A lower rate, its rows, and what refused the next one up."""

    case: Case
    rows: tuple[Reason, ...]
    refused: tuple[Reason, ...]


NOTHING = Found(None, (), None, ())


def upward(
    situation: Situation, hold: Case, *, gas: Window | None = None, act: datetime | None = None
) -> Found:
    """Return the best raise (or first setting) that all rules but those of the moment allow.

    `hold` is the case of leaving everything as it is; nothing is found where that is near enough
    to the target, or nearer than any raise.
    """
    base = situation.rate or 0.0
    high = min(max(_SEARCHED_UP_TO * base, _SEARCHED_UP_TO), FASTEST)

    def build(rate: float) -> Case:
        return case_of(situation, rate, gas=gas, act=act)

    target = situation.limits.target_mg_l
    if not situation.first and hold.lit_co2.mean >= (1.0 - _NEAR_ENOUGH) * target:
        return NOTHING
    found = _nearest(between(base, high), build)
    if found.case is not None and _miss(found.case, target) >= _miss(hold, target):
        return NOTHING
    return found


def downward(situation: Situation) -> Lowered:
    """Return the best lowering that the rules allow; shutting the gas where none is.

    A lower rate cannot take back what is in the water: it is judged from when its effect is in.
    Where the danger level may be there already, the gas is shut at once.
    """
    shut = case_of(situation, 0.0)
    danger = situation.limits.co2_danger_mg_l
    now_over = float(np.mean(shut.ahead.co2_max[:, 0] > danger))
    effect_s = shut.response.reached_s(RESPONSE_PART)

    def build(rate: float) -> Case:
        return case_of(situation, rate, judged_s=effect_s)

    found = NOTHING
    if now_over <= _SHUT_AT:
        rates = between(0.0, situation.rate or 0.0)
        found = _nearest([rate for rate in rates if rate < 0.98 * (situation.rate or 0.0)], build)
    if found.case is not None:
        return Lowered(found.case, found.rows, found.refused)
    shut = build(0.0)
    text = (
        f"chance that CO2 is above {danger:.3g} mg/L somewhere now: {per_cent(now_over)}; "
        f"beyond {_SHUT_AT:.0%} the gas is shut"
    )
    over = held(text, now_over, "<=", _SHUT_AT, 1, "now")
    return Lowered(shut, (over, *judge(shut)), found.refused)


def _nearest(rates: list[float], build: Callable[[float], Case]) -> Found:
    """Return the allowed rate nearest to the target, by halving: more gas is never safer."""
    low, high = -1, len(rates)
    seen: dict[int, tuple[Case, tuple[Reason, ...]]] = {}
    while high - low > 1:
        middle = (low + high) // 2
        case = build(rates[middle])
        rows = judge(case)
        seen[middle] = (case, rows)
        target = case.situation.limits.target_mg_l
        if passes(rows, but=OF_THE_MOMENT) and case.lit_co2.mean <= target:
            low = middle
        else:
            high = middle
    best, above = seen.get(low), seen.get(high)
    if above is not None and passes(above[1], but=OF_THE_MOMENT):
        # The next one up is beyond the target, but may still be the nearer of the two.
        target = above[0].situation.limits.target_mg_l
        if best is None or _miss(above[0], target) < _miss(best[0], target):
            best, above = above, None
    return Found(
        case=None if best is None else best[0],
        rows=() if best is None else best[1],
        above=None if above is None else above[0],
        refused=() if above is None else _refusals(*above),
    )


def _refusals(case: Case, rows: tuple[Reason, ...]) -> tuple[Reason, ...]:
    """Return what speaks against a case whatever the moment, with its rate said."""
    return tuple(
        row._replace(text=f"at {rate_text(case.rate)}: {row.text}")
        for row in rows
        if not row.passed and row.rule not in OF_THE_MOMENT
    )


def _miss(case: Case, target_mg_l: float) -> float:
    """Return how far CO2 in the lit hours is from the target [mg/L]."""
    return abs(case.lit_co2.mean - target_mg_l)


def first_chances(situation: Situation, days: int = 2) -> list[datetime]:
    """Return moments at which a valve could be set: now, then the start of each gas period.

    Only while the gas is on and somebody is about, and so far as the belief shows enough of the
    day after.
    """
    found, at = [], situation.now
    last_s = float(situation.belief.edges_s[-1]) - _SHOWN_H * 3600.0
    for _ in range(days + 1):
        begin = situation.gas_from(at)
        if begin is None:
            break
        begin = situation.awake_from(begin)
        if begin.timestamp() > last_s:
            break
        if situation.gas_from(begin) == begin:
            found.append(begin)
        period = situation.period(begin)
        if period is None:
            break
        at = after(period[1], 1.0 / 3600.0)
    return found
