"""Steps that close the valve, or say nothing about it: lower, emergency, no figures."""

from __future__ import annotations

from dataclasses import replace

from leafgill.advise import looks, say
from leafgill.advise.case import case_of
from leafgill.advise.compose import SHUT, as_it_is, closed_a_little, compose
from leafgill.advise.emergency import ways_out
from leafgill.advise.real_time import after, sooner
from leafgill.advise.search import downward
from leafgill.advise.situation import Situation
from leafgill.advise.step import Expect, Reason, Step

_GASPING_LOOK_H = 10.0 / 60.0
_SHUT_LOOK_H = 1.0
_REMEASURE_H = 0.25
_AFTER_SHUT = "once CO2 is well below the limit the gas starts again from little"


def emergency(situation: Situation, rows: tuple[Reason, ...]) -> Step:
    """Animals in distress: gas shut, air, water; look again at once."""
    shut = case_of(situation, 0.0)
    figures = ways_out(situation.belief, situation.now, situation.limits.co2_mg_l)
    distress = (row for row in rows if row.about == "distress")
    step = compose(
        "emergency",
        shut,
        after(situation.now, _GASPING_LOOK_H),
        (*distress, *say.relief_rows(figures)),
        SHUT,
        cautions=say.ways_out(figures),
        measure="pH, then oxygen, ammonia and nitrite; write down how the animals are each time",
        later="once they breathe calmly, write that down; the gas then starts again from little",
    )
    stays = "the gas stays shut until the animals are written down as normal"
    return replace(step, close_back_if=stays, close_back_ph=None)


def no_figures(situation: Situation, rows: tuple[Reason, ...]) -> Step:
    """The belief gives no figures: nothing can be advised but to measure."""
    return Step(
        action="measure",
        rate=None,
        schedule=None,
        look_at=situation.awake_from(after(situation.now, _REMEASURE_H)),
        measure=say.to_read(situation),
        expect=Expect(None, (), situation.belief.co2(situation.now)),
        close_back_if="animals that breathe fast, hang at the surface or lie still: shut the gas",
        reasons=tuple(row for row in rows if row.about == "draws"),
        cautions=tuple(say.general(situation)),
    )


def lower(situation: Situation, rows: tuple[Reason, ...]) -> Step:
    """The rate at hand breaks a rule (`rows`): close the valve as far as the rules ask."""
    found = downward(situation)
    case = replace(found.case, act=looks.when_to_turn(situation))
    look, cautions = looks.after_change(case), say.setting(situation, case.rate)
    if case.rate == 0.0 and situation.gas_on:
        figures = ways_out(situation.belief, situation.now, situation.limits.co2_mg_l)
        look = sooner(look, situation.awake_from(after(situation.now, _SHUT_LOOK_H)))
        cautions = say.ways_out(figures)
    return compose(
        "lower",
        case,
        look,
        (*as_it_is(rows), *found.rows, *found.refused),
        closed_a_little(case.rate),
        cautions=cautions,
        measure=say.to_read(situation),
        later=_AFTER_SHUT if case.rate == 0.0 else "",
    )
