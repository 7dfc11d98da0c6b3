"""Water-change days: what a change did, when the next is best done, and what it does to advice."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from typing import NamedTuple

import numpy as np

from leafgill.advise.aim import lit_co2, lit_hours
from leafgill.advise.balance.habits import Habit, changes_of, habits_of
from leafgill.advise.drawn import drawn
from leafgill.advise.emergency import with_change
from leafgill.advise.forecast import Outlook, run
from leafgill.advise.real_time import after, hours_from, later, sooner
from leafgill.advise.situation import Situation
from leafgill.advise.step import Beside, Weighed
from leafgill.advise.words import mg_l, moment
from leafgill.diary import Diary, Entry, Kind
from leafgill.estimate.belief import Interval, interval
from leafgill.science.cited import Range
from leafgill.science.compiled import FloatArray
from leafgill.science.constants import DKH_MEQ_L
from leafgill.tank.schedule import next_on

# A change is told of while it may still matter to today's figures [h].
_TOLD_H = 12.0
# The next change is spoken of this long ahead [h].
_SOON_H = 36.0
# Best this long before the gas comes on, while there is least CO2 to lose [h].
_BEFORE_GAS_H = 0.5
_BEFORE_OFF_H = 1.0
# A tap's KH from week to week, nine in ten [dKH]; a choice of ours.
_TAP_KH_WANDERS = 0.5
# CO2 is read so long after a change, when the waters have mixed [s].
_MIXED_S = 900.0


@dataclass(frozen=True)
class Done:
    """What a change in the thought of the belief does at a moment: CO2 and pH before and after.

    `lit` is CO2 in the lit hours of that day with it; all [m].
    """

    at: datetime
    co2_before: FloatArray = field(repr=False)
    co2_after: FloatArray = field(repr=False)
    ph_change: FloatArray = field(repr=False)
    kh_after: FloatArray = field(repr=False)
    lit: FloatArray = field(repr=False)


def change_notes(situation: Situation, diary: Diary) -> tuple[Beside, ...]:
    """Return what is to be said of a change just done and of the next one."""
    notes = (after_change(situation, diary), before_change(situation, diary))
    return tuple(note for note in notes if note is not None)


def after_change(situation: Situation, diary: Diary) -> Beside | None:
    """Return what the last change did, None where none was made in the last 12 hours."""
    belief, now = situation.belief, situation.now
    at = situation.changed_at
    if at is None or hours_from(at, now) > _TOLD_H or at.timestamp() < belief.edges_s[0]:
        return None
    entry = [e for e in diary.until(now).of(Kind.WATER_CHANGE) if e.number > 0.0][-1]
    k = int(np.searchsorted(belief.edges_s, at.timestamp(), side="right")) - 1
    # the model changes the water at the start of the step the moment falls in
    (co2, co2_then), (kh, kh_then) = (
        (interval(values[:, k]), interval(values[:, k + 1]))
        for values in (belief.days.co2, belief.days.alkalinity_meq_l / DKH_MEQ_L)
    )
    read = situation.reading is not None and situation.reading >= at
    text = (
        f"{entry.number:.0f} % of the water was changed {moment(at, now)}: CO2 went from "
        f"{mg_l(co2)} to {mg_l(co2_then)} and KH from {_dkh(kh)} to {_dkh(kh_then)}."
        f"{'' if read else ' Nothing is raised before pH or colour has been read since.'}"
        f"{_ask_kh(entry)}"
    )
    figures = (
        Weighed("co2_before", co2, "mg/L"),
        Weighed("co2_after", co2_then, "mg/L"),
        Weighed("kh_before", kh, "dKH"),
        Weighed("kh_after", kh_then, "dKH"),
    )
    return Beside("water change", text, figures)


def _ask_kh(entry: Entry) -> str:
    if entry.new_kh_dkh is not None:
        return ""
    return ' The KH of the new water is not noted: write it beside the change, as "kh 3".'


def before_change(situation: Situation, diary: Diary) -> Beside | None:
    """Return when the next change is best done, None where none is due within a day and a half."""
    habit = next_change(situation, diary)
    if habit is None:
        return None
    now = situation.now
    due = datetime.fromtimestamp(habit.next_s, now.tzinfo)
    times = best_and_late(situation, due)
    if times is None:
        return None
    best, late = (_change_at(situation, at, times.lit, habit) for at in times[:2])
    kh = situation.tank.tap.kh_dkh
    fall = f"from {mg_l(interval(late.co2_before))} to {mg_l(interval(late.co2_after))}"
    text = (
        f"A change of {100.0 * habit.part:.0f} % is due {moment(due, now)}. Best at "
        f"{moment(best.at, now)}, {_when(situation, best.at)}: CO2 in the lit hours is then "
        f"{mg_l(interval(best.lit))}. At {moment(late.at, now)} it would fall at once {fall}, and "
        f"pH change by {_ph(interval(late.ph_change))}. "
        f"{_kh_words(kh, interval(best.kh_after))} Read pH or colour after it: nothing is raised "
        "before."
    )
    figures = (
        Weighed("part", habit.part, ""),
        Weighed("co2_lit_with_it_early", interval(best.lit), "mg/L"),
        Weighed("co2_lit_with_it_late", interval(late.lit), "mg/L"),
        Weighed("co2_before_late", interval(late.co2_before), "mg/L"),
        Weighed("co2_after_late", interval(late.co2_after), "mg/L"),
        Weighed("ph_change_early", interval(best.ph_change), "pH"),
        Weighed("ph_change_late", interval(late.ph_change), "pH"),
        Weighed("kh_after", interval(best.kh_after), "dKH"),
    )
    return Beside("water change", text, figures)


def _when(situation: Situation, at: datetime) -> str:
    if situation.gas_from(at) == at:
        return "as soon as somebody is there"
    return "before the gas comes on"


def next_change(situation: Situation, diary: Diary) -> Habit | None:
    """Return the habit of changing water whose next time comes within a day and a half."""
    tank, now_s = situation.tank, situation.now_s
    for habit in habits_of(tank, changes_of(tank, diary.until(situation.now)), [], now_s):
        if habit.part > 0.0 and habit.next_s <= now_s + 3600.0 * _SOON_H:
            return habit
    return None


class Times(NamedTuple):
    """When a change is best, when it costs most, and the lit hours of that day."""

    best: datetime
    late: datetime
    lit: tuple[datetime, datetime]


def best_and_late(situation: Situation, due: datetime) -> Times | None:
    """Return half an hour before gas-on, from the due day on, and that day's height of CO2.

    As soon after that as somebody is about. None where the gas never comes on, or nobody is about
    before CO2 stands at its height.
    """
    now, zone = situation.now, situation.tank.timezone
    midnight = due.replace(hour=0, minute=0, second=0, microsecond=0)
    begin = next_on(later(after(now, _BEFORE_GAS_H), midnight), situation.gas, zone)
    if begin is None:
        return None
    best = situation.awake_from(after(begin, -_BEFORE_GAS_H))
    lit = lit_hours(situation, begin, situation.gas)
    late = later(after(lit[1], -_BEFORE_OFF_H), lit[0])
    if late.timestamp() > situation.belief.edges_s[-1] or best >= lit[0]:
        return None
    return Times(best, late, lit)


def _change_at(
    situation: Situation, at: datetime, lit: tuple[datetime, datetime], habit: Habit
) -> Done:
    """Run the belief's draws on with a change of the habit's part at a moment."""
    belief, tank, at_s = situation.belief, situation.tank, at.timestamp()
    timeline, draws = belief.problem.evidence.timeline, belief.draws
    changed, renewed = with_change(belief, timeline, draws, at_s, habit.part)
    kh = None if tank.tap.kh_dkh is None else tank.tap.kh_dkh * (1.0 - habit.pure)
    if kh is not None:
        columns = renewed.new_alkalinity_meq_l.copy()
        known = Range(kh, max(kh - _TAP_KH_WANDERS, 0.01), kh + _TAP_KH_WANDERS)
        columns[:, -1] = DKH_MEQ_L * drawn(known, belief.count, "new water: kh")
        renewed = renewed._replace(new_alkalinity_meq_l=columns)
    end = sooner(lit[1], datetime.fromtimestamp(float(belief.edges_s[-1]), at.tzinfo))
    until_s = max(end.timestamp(), at_s + 2.0 * _MIXED_S)
    ahead = run(belief, changed, renewed, situation.now_s, until_s)
    left = run(belief, timeline, draws, situation.now_s, until_s)
    alkaline = belief.through("alkalinity_meq_l", np.array([at_s]))[:, 0]
    mixed = (1.0 - habit.part) * alkaline + habit.part * renewed.new_alkalinity_meq_l[:, -1]
    return Done(
        at=at,
        co2_before=left.at("co2", at_s),
        co2_after=ahead.at("co2", at_s + _MIXED_S),
        ph_change=_ph_moves(ahead, left, at_s),
        kh_after=mixed / DKH_MEQ_L,
        lit=lit_co2(ahead, lit),
    )


def _ph_moves(ahead: Outlook, left: Outlook, at_s: float) -> FloatArray:
    moved: FloatArray = ahead.at("ph", at_s + _MIXED_S) - left.at("ph", at_s)
    return moved


def _kh_words(tap_kh: float | None, kh_after: Interval) -> str:
    if tap_kh is None:
        return 'The KH of the new water is not known: test it, and note it as "kh 3".'
    return f"KH is then {_dkh(kh_after)}."


def _dkh(value: Interval) -> str:
    return f"{value.mean:.1f} dKH ({value.low:.1f} to {value.high:.1f})"


def _ph(value: Interval) -> str:
    return f"{value.mean:+.2f} ({value.low:+.2f} to {value.high:+.2f})"
