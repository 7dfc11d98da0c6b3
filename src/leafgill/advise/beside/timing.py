"""Gas hours of a running tank: the target met at lights-on, no gas wasted in the evening.

The valve stays as it is; only the hours move, and only where it is worth a keeper's while.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np

from leafgill.advise import looks, say
from leafgill.advise.beside.gates import clear_to_move
from leafgill.advise.beside.settled_day import SettledDay
from leafgill.advise.beside.shift import best_lead, best_tail, lead_h, tail_h, window_of
from leafgill.advise.case import LEAST_WAIT_H, Case, case_of
from leafgill.advise.compose import closed_a_little, compose
from leafgill.advise.hours import MET_PART
from leafgill.advise.real_time import after
from leafgill.advise.rules import judge, passes
from leafgill.advise.situation import Situation
from leafgill.advise.step import Beside, Reason, Step, Weighed, held
from leafgill.advise.words import grams, mg_l, per_cent
from leafgill.estimate.belief import interval
from leafgill.science.compiled import FloatArray
from leafgill.tank.schedule import Window

# A move is worth it from so long [h] that brings so much of the target, or saves so much gas.
WORTH_H = 0.5
WORTH_LEVEL = 0.10
WORTH_GAS = 0.05
_SAME_H = 1e-6


@dataclass(frozen=True)
class Move:
    """Other gas hours, and what they make of the settled day.

    CO2 [mg/L] at lights-on and an hour before lights-off, before and after the move, and the gas
    a day it saves (below 0: uses more) [g], all [m]; `saved_part` of what is used now.
    """

    old: Window
    new: Window
    aim_mg_l: float
    on_before: FloatArray = field(repr=False)
    on_after: FloatArray = field(repr=False)
    late_before: FloatArray = field(repr=False)
    late_after: FloatArray = field(repr=False)
    saved_g: FloatArray = field(repr=False)

    @property
    def saved_part(self) -> float:
        """Part of the gas that is saved."""
        return 1.0 - self.new.hours / self.old.hours

    @property
    def gained(self) -> float:
        """What the level gains at lights-on, or late where that is more, of the target."""
        gains = (
            float(np.median(after_) - np.median(before))
            for before, after_ in (
                (self.on_before, self.on_after),
                (self.late_before, self.late_after),
            )
        )
        return max(gains) / self.aim_mg_l

    @property
    def worth_it(self) -> bool:
        """Whether it brings or saves enough."""
        return self.gained >= WORTH_LEVEL or self.saved_part >= WORTH_GAS

    def met(self, level: FloatArray) -> float:
        """Return the chance that a level [m] is 90 % of the aim."""
        return float(np.mean(level >= MET_PART * self.aim_mg_l))


def hours_step(situation: Situation, hold: Case) -> tuple[Step | None, Beside | None]:
    """Return the step that moves the gas hours, or what speaks against a move that is worth it.

    Nothing of either where the last change has not shown, a reading is stale or does not fit, the
    target is not met in the lit hours, animals are not well, or no move is worth it.
    """
    day = SettledDay.of(situation)
    if day is None or not situation.rate or not clear_to_move(hold):
        return None, None
    refused: tuple[Move, tuple[Reason, ...]] | None = None
    for new in wanted(day):
        move = move_to(day, new)
        if not move.worth_it:
            continue
        case = case_of(situation, None, gas=new)
        rows = judge(case)
        if passes(rows):
            return _step(case, move, rows), None
        refused = refused or (move, tuple(row for row in rows if not row.passed))
    if refused is None:
        return None, None
    move, against = refused
    text = f"{_says(move)} Not now: {against[0].text}."
    return None, Beside("hours", text, figures_of(move))


def wanted(day: SettledDay) -> list[Window]:
    """Return gas hours worth trying, the best first: both ends moved, then either, then halfway.

    An end that would move by less than half an hour stays.
    """
    aim = day.situation.limits.target_mg_l
    lead, tail = lead_h(day.gas, day.light), tail_h(day.gas, day.light)
    new_lead = _moved(lead, best_lead(day, aim))
    new_tail = _moved(tail, best_tail(day, new_lead))
    half = lead + 0.25 * np.floor(2.0 * (new_lead - lead))
    pairs = [(new_lead, new_tail), (new_lead, tail), (half, new_tail), (lead, new_tail)]
    found = [
        window_of(day.light, first, last)
        for first, last in pairs
        if abs(first - lead) > _SAME_H or abs(last - tail) > _SAME_H
    ]
    return [window for window in dict.fromkeys(found) if window != day.gas]


def _moved(now_h: float, best_h: float) -> float:
    return best_h if abs(best_h - now_h) >= WORTH_H - _SAME_H else now_h


def move_to(day: SettledDay, new: Window) -> Move:
    """Return what other gas hours make of a settled day."""
    before, after_ = day.as_it_is, day.under(new)
    return Move(
        old=day.gas,
        new=new,
        aim_mg_l=day.situation.limits.target_mg_l,
        on_before=day.at_on(before),
        on_after=day.at_on(after_),
        late_before=day.late(before),
        late_after=day.late(after_),
        saved_g=day.gas_g_h * (day.gas.hours - new.hours),
    )


def _step(case: Case, move: Move, rows: tuple[Reason, ...]) -> Step:
    situation = case.situation
    look = looks.at_height(situation)
    then = closed_a_little(situation.rate or 0.0)
    if case.longer:
        look = situation.awake_from(after(case.begins, LEAST_WAIT_H))
        then = f"set the gas hours back to {move.old}; with animals unwell, shut the gas"
    step = compose(
        "hours",
        case,
        look,
        (_worth(move), *rows),
        then,
        cautions=(say.WATCH,) if case.longer else (),
        measure=say.to_read(situation),
        later="the valve is not raised before a day has shown what the new hours do",
    )
    told = Beside("hours", _says(move), figures_of(move))
    return replace(step, schedule=str(move.new), act_at=case.act, beside=(told,))


def _worth(move: Move) -> Reason:
    """Return what makes the move worth it, as a row."""
    if move.saved_part >= WORTH_GAS:
        text = f"other gas hours save {per_cent(move.saved_part)} of the gas"
        return held(f"{text}; {WORTH_GAS:.0%} is worth it", move.saved_part, ">=", WORTH_GAS, 0,
                    "worth")  # fmt: skip
    text = f"other gas hours bring {per_cent(move.gained)} of the target at an end of the light"
    return held(f"{text}; {WORTH_LEVEL:.0%} is worth it", move.gained, ">=", WORTH_LEVEL, 0,
                "worth")  # fmt: skip


def figures_of(move: Move) -> tuple[Weighed, ...]:
    """Return the figures of a move by name."""
    return (
        Weighed("co2_at_lights_on_now", interval(move.on_before), "mg/L"),
        Weighed("co2_at_lights_on_then", interval(move.on_after), "mg/L"),
        Weighed("chance_met_at_lights_on_now", move.met(move.on_before), ""),
        Weighed("chance_met_at_lights_on_then", move.met(move.on_after), ""),
        Weighed("co2_an_hour_before_lights_off_now", interval(move.late_before), "mg/L"),
        Weighed("co2_an_hour_before_lights_off_then", interval(move.late_after), "mg/L"),
        Weighed("gas_saved_a_day", interval(move.saved_g), "g"),
    )


def _says(move: Move) -> str:
    """Say what a move does, in whole sentences."""
    saved = interval(move.saved_g)
    less = saved.mean >= 0.0
    size = saved if less else interval(-move.saved_g)
    return (
        f"With gas {move.new} instead of {move.old} CO2 at lights-on is "
        f"{mg_l(interval(move.on_after))} instead of {mg_l(interval(move.on_before))}; the chance "
        f"of {MET_PART:.0%} of the {move.aim_mg_l:.3g} mg/L aimed at is then "
        f"{per_cent(move.met(move.on_after))} instead of {per_cent(move.met(move.on_before))}. "
        f"An hour before lights-off it is {mg_l(interval(move.late_after))} instead of "
        f"{mg_l(interval(move.late_before))}. It {'saves' if less else 'uses'} {grams(size)} of "
        f"gas a day{'' if less else ' more'}."
    )
