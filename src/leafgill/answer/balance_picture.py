"""The picture of a balance: each nutrient through the weeks, tests, doses and water changes."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

import numpy as np
from numpy.typing import NDArray

from leafgill.advise.balance.habits import changes_of, habits_of
from leafgill.advise.balance.result import Balance, NutrientOutlook
from leafgill.answer.balance_said import title
from leafgill.answer.explain import amount
from leafgill.charts.balance_picture import BalancePicture, Deed, NutrientPanel, TestMark
from leafgill.diary import Diary, Kind
from leafgill.tank.clock import DAY_S

DOSES, CHANGES = "doses", "water changes"
# The weeks before now that are drawn, at most.
_BACK_DAYS = 35.0
_TICKS = 6
_STEPS = (1, 2, 7, 14, 28, 56)
# The first of the doses advised is given half a day from now.
_FIRST_DOSE_DAYS = 0.5


def picture_of(balance: Balance, diary: Diary) -> BalancePicture:
    """Return the picture of a balance with the diary it is of.

    Traces that nothing tells of are left out.
    """
    drawn = [one for one in balance.nutrients if one.known or not one.trace]
    now_s = balance.now.timestamp()
    every_day = (drawn[0].times_s - now_s) / DAY_S
    some = every_day >= -_BACK_DAYS
    days = every_day[some]
    weeks = f"{balance.weeks} weeks" if balance.weeks > 1 else "one week"
    return BalancePicture(
        title=title(balance),
        subtitle=f"Nutrients, {weeks} ahead; dashed with the doses advised. Bands hold the truth "
        "nine times in ten; scales are closer towards the top.",
        days=days,
        panels=tuple(_panel(one, some, now_s, float(days[0])) for one in drawn),
        deeds=tuple(_deeds(balance, diary, float(days[0]), float(days[-1]))),
        ticks=_ticks(balance, float(days[0]), float(days[-1])),
    )


def _panel(
    one: NutrientOutlook, some: NDArray[np.bool_], now_s: float, first: float
) -> NutrientPanel:
    marks = (
        TestMark((test.time_s - now_s) / DAY_S, test.value_mg_l, test.low_mg_l, test.high_mg_l,
                 test.shown, test.fits)
        for test in one.tests
    )  # fmt: skip
    mean, low, high = (part[some] for part in one.as_now)
    dosed_mean, dosed_low, dosed_high = (part[some] for part in one.dosed)
    return NutrientPanel(
        name=one.name if one.known else f"{one.name}, not tested",
        mean=mean,
        low=low,
        high=high,
        dosed_mean=dosed_mean,
        dosed_low=dosed_low,
        dosed_high=dosed_high,
        floor_mg_l=one.target.floor_mg_l,
        ceiling_mg_l=one.target.ceiling_mg_l,
        marks=tuple(mark for mark in marks if mark.days >= first),
    )


def _deeds(balance: Balance, diary: Diary, first: float, last: float) -> Iterator[Deed]:
    """Yield what was done since the first day, then what is to be done until the last."""
    tank, now_s = balance.tank, balance.now.timestamp()
    known = diary if diary.timezone is not None else diary.localised(tank.timezone)
    known = known.until(balance.now)
    for kind, name in ((Kind.DOSE, DOSES), (Kind.WATER_CHANGE, CHANGES)):
        for entry in known.of(kind):
            days = (entry.time.timestamp() - now_s) / DAY_S
            if days >= first:
                words = f"{amount(entry.number)} {entry.unit} {entry.note}".strip()
                yield Deed(days, name, words, done=True)
    for dose in balance.plan.doses:
        words = f"{amount(dose.each.value, 2)} {dose.unit} of {dose.what}"
        for days in np.arange(_FIRST_DOSE_DAYS, last, 7.0 / dose.a_week):
            yield Deed(float(days), DOSES, words, done=False)
    for habit in habits_of(tank, changes_of(tank, known), [], now_s):
        for event in habit.until(now_s + last * DAY_S):
            days = (event.time_s - now_s) / DAY_S
            yield Deed(days, CHANGES, f"{amount(100.0 * event.part, 2)} %", done=False)


def _ticks(balance: Balance, first: float, last: float) -> tuple[tuple[float, str], ...]:
    """Return about six dates, whole days apart, now among them."""
    step = next((s for s in _STEPS if s >= (last - first) / _TICKS), _STEPS[-1])
    days = np.arange(np.ceil(first / step) * step, last + 1e-9, step)
    return tuple((float(d), _short(balance, float(d))) for d in days)


def _short(balance: Balance, days: float) -> str:
    at = balance.now + timedelta(days=days)
    return f"{at.day} {at:%b}"
