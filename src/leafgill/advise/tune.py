"""The next step: the one place where the rules meet the belief."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from leafgill.advise import say
from leafgill.advise.beside.settled import with_notes
from leafgill.advise.case import Case, case_of
from leafgill.advise.closing import emergency, lower, no_figures
from leafgill.advise.compose import failed
from leafgill.advise.opening import first, raise_or_hold
from leafgill.advise.rules import judge, passes
from leafgill.advise.situation import Situation, look_around
from leafgill.advise.step import Expect, Reason, Step
from leafgill.diary import Diary
from leafgill.estimate.belief import Belief
from leafgill.tank.spec import Tank

__all__ = ["Expect", "Reason", "Step", "next_step"]

# Up to this chance of too little oxygen gas may be given together with air at night; beyond it
# the air comes first, and gas when it is seen to help.
_MOST_MENDED = 0.05


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
    `rules.RULES` passes for a rate it names (with `Step.air`, where that is given). Raises
    InputError for a `now` or hours that cannot be meant.
    """
    situation = look_around(tank, diary, belief, now, awake)
    hold = case_of(situation, None)
    rows = judge(hold)
    if failed(rows, "distress"):
        return emergency(situation, rows)
    if failed(rows, "draws"):
        return no_figures(situation, rows)
    # Oxygen that falls short without any gas is not the gas's doing: it bars every raise, but
    # closing the valve would not mend it.
    starved = failed(rows, "oxygen") and failed(judge(case_of(situation, 0.0)), "oxygen")
    blamed = tuple(row for row in rows if not (starved and row.about == "oxygen"))
    if not passes(blamed) and situation.rate:
        step = lower(situation, blamed)
    elif starved:
        return with_notes(_starved(situation, diary, hold, rows), hold, diary)
    else:
        step = _open_or_hold(situation, diary, hold, rows)
    if starved:
        step = replace(step, cautions=(_about_oxygen(situation, rows), *step.cautions))
    return with_notes(step, hold, diary)


def _open_or_hold(situation: Situation, diary: Diary, hold: Case, rows: tuple[Reason, ...]) -> Step:
    if situation.first:
        return first(situation, diary)
    return raise_or_hold(situation, diary, hold, rows)


def _starved(situation: Situation, diary: Diary, hold: Case, rows: tuple[Reason, ...]) -> Step:
    """Oxygen may fall short without any gas: gas only with air at night, or not at all."""
    chance = _oxygen_chance(rows)
    light = situation.light
    if chance <= _MOST_MENDED and light is not None and not light.rest.never:
        aired = replace(situation, extra_air=light.rest)
        aired_hold = case_of(aired, None)
        aired_rows = judge(aired_hold)
        if not failed(aired_rows, "oxygen"):
            step = _open_or_hold(aired, diary, aired_hold, aired_rows)
            if step.rate is not None:
                only = say.only_with_air(chance, situation.limits.o2_min_mg_l, light.rest)
                return replace(step, cautions=(only, *step.cautions))
    step = _open_or_hold(situation, diary, hold, rows)
    return replace(step, cautions=(_about_oxygen(situation, rows), *step.cautions))


def _oxygen_chance(rows: tuple[Reason, ...]) -> float:
    return next(row.figure for row in rows if row.about == "oxygen")


def _about_oxygen(situation: Situation, rows: tuple[Reason, ...]) -> str:
    return say.oxygen(_oxygen_chance(rows), situation.limits.o2_min_mg_l)
