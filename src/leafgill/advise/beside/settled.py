"""What is done where the valve needs nothing: the hours move, all is left alone, or it is held."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from leafgill.advise.beside.leave import leave_step
from leafgill.advise.beside.surface import less_at_night, less_by_day, more_at_night
from leafgill.advise.beside.timing import hours_step
from leafgill.advise.beside.water_day import change_notes, next_change
from leafgill.advise.case import Case
from leafgill.advise.step import Beside, Reason, Step
from leafgill.diary import Diary

# Steps that change nothing at the tank.
_STILL = ("hold", "leave")


def settle(held: Step, hold: Case, diary: Diary, rows: tuple[Reason, ...]) -> Step:
    """Return what to do where the valve stays: `held` as it is, other gas hours, or to leave it.

    `hold` is the case of leaving the valve, `rows` what the rules say of it.
    """
    step, note = hours_step(hold.situation, hold)
    if step is not None:
        return step
    notes = () if note is None else (note,)
    if not notes:
        left = leave_step(hold, diary, rows, _next_change_at(hold, diary))
        if left is not None:
            return left
    return replace(held, beside=(*held.beside, *notes))


def _next_change_at(hold: Case, diary: Diary) -> datetime | None:
    habit = next_change(hold.situation, diary)
    if habit is None:
        return None
    return datetime.fromtimestamp(habit.next_s + 86400.0, hold.situation.now.tzinfo)


def with_notes(step: Step, hold: Case, diary: Diary) -> Step:
    """Return a step with what is to be said beside it: surface and water changes.

    Of less surface movement only where the step changes nothing, so that two things are never
    changed at once; nothing at all while animals are in distress.
    """
    notes: list[Beside | None] = []
    if step.action in _STILL:
        notes += [less_at_night(hold), less_by_day(hold.situation)]
    notes += [more_at_night(hold) if step.air is None else None]
    notes += change_notes(hold.situation, diary)
    return replace(step, beside=(*step.beside, *(note for note in notes if note is not None)))
