"""The picture of a supply: gas left through time, readings, when to change, as plain numbers."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import TypeVar

import numpy as np

from leafgill.advise.drawn import range_of
from leafgill.advise.supply import Supply
from leafgill.answer.explain import amount
from leafgill.answer.supply_said import Told, date, day_of, days_text
from leafgill.charts.supply_picture import MassMark, SupplyPicture
from leafgill.science.cited import Range
from leafgill.science.cylinder import mass_kg_from_gauge

T = TypeVar("T")
_TICKS = 7
_MOST_MARKS = 40
# What one reading of a gauge may be off by, nine times in ten [bar], and the room [K].
_GAUGE_OFF_BAR, _ROOM_OFF_C = 5.0, 3.0


def picture_of(told: Told) -> SupplyPicture:
    """Return the picture of a supply from the start of this filling to its end."""
    supply = told.supply
    course, change = supply.course, supply.change_days
    return SupplyPicture(
        title=f"{supply.tank.name}: gas for {days_text(told.of('days_left_days'))}",
        subtitle=f"{date(supply.now, supply.now)} {supply.now.year}, {told.within('gas_left_kg')} "
        f"left, {told.within('use_g_per_day')} used. The band holds the truth nine times in ten.",
        days=course.days,
        middle_kg=course.middle_g * 1e-3,
        low_kg=course.low_g * 1e-3,
        high_kg=course.high_g * 1e-3,
        last_liquid_kg=supply.guard.last_liquid_g.value * 1e-3,
        change_kg=None if supply.change_g is None else supply.change_g.value * 1e-3,
        change_days=(change.low, change.high),
        change_dates=(
            date(day_of(supply, change.low), supply.now),
            date(day_of(supply, change.high), supply.now),
        ),
        ticks=_ticks(supply),
        marks=_marks(supply),
    )


def _ticks(supply: Supply) -> tuple[tuple[float, str], ...]:
    """Return about seven dates, a whole number of days apart."""
    first, last = float(supply.course.days[0]), float(supply.course.days[-1])
    wanted = (last - first) / _TICKS
    step = next((s for s in (1, 2, 7, 14, 30, 60, 90, 180, 365) if s >= wanted), 730)
    days = np.arange(np.ceil(first / step) * step, last + 1e-9, step)
    return tuple((float(d), _short(supply.now + timedelta(days=float(d)))) for d in days)


def _short(when: datetime) -> str:
    return f"{when.day} {when:%b} {when:%y}"


def _marks(supply: Supply) -> tuple[MassMark, ...]:
    """Return the readings of this filling as the gas each stands for alone."""
    life, state = supply.taking.log.now, supply.every.state
    marks = []
    for one in _some(life.weighings):
        tare = state.tare_g + (state.regulator_g if one.regulator else 0.0)
        left = range_of(np.maximum(one.gross_g - tare, 0.0) * 1e-3)
        marks.append(_mark(supply, one.at_s, left, "scale", f"{one.gross_g:g} g"))
    for gauge in _some(life.gauges):
        room = supply.room_c if gauge.room_c is None else gauge.room_c
        left = _by_gauge(supply, gauge.gauge_bar, room)
        marks.append(_mark(supply, gauge.at_s, left, "gauge", f"{gauge.gauge_bar:g} bar"))
    return tuple(marks)


def _by_gauge(supply: Supply, gauge_bar: float, room_c: float) -> Range:
    """Return the gas one gauge reading allows [kg]; anything up to the charge beside liquid."""
    charge, water = (
        float(np.median(values))
        for values in (supply.every.state.charge_g * 1e-3, supply.every.state.water_l)
    )
    ends = []
    for off, sign in ((0.0, 0.0), (_GAUGE_OFF_BAR, 1.0), (_GAUGE_OFF_BAR, -1.0)):
        shown = max(gauge_bar + sign * off, 0.0)
        warm = room_c - sign * _ROOM_OFF_C
        ends.append(mass_kg_from_gauge(shown, water, warm, charge_kg=charge))
    low, high = min(e.low for e in ends), max(e.high for e in ends)
    # where liquid may be there the reading says no more than "at least"
    middle = low if any(end.liquid for end in ends) else ends[0].low
    return Range(float(middle), float(low), float(high))


def _mark(supply: Supply, at_s: float, left: Range, kind: str, shown: str) -> MassMark:
    days = (at_s - supply.taking.now_s) / 86400.0
    least = "at least " if left.value == left.low else ""
    said = f"{shown}: {least}{amount(left.value, 2)} kg left"
    return MassMark(days, left.value, left.low, left.high, kind, said)


def _some(readings: tuple[T, ...]) -> tuple[T, ...]:
    """Return at most so many readings, evenly taken."""
    step = max(-(-len(readings) // _MOST_MARKS), 1)
    return readings[::-1][::step][::-1]
