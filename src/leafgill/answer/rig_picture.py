"""A rig as plain numbers for its chart."""

from __future__ import annotations

import numpy as np

from leafgill.advise.rig.fit import CLOSE, NO, YES
from leafgill.advise.rig.plan import RigPlan
from leafgill.advise.steady_day import Cycle
from leafgill.answer import rig_said as said
from leafgill.charts.picture import Bar
from leafgill.charts.rig_picture import Lasting, RigPicture, SourceDay
from leafgill.estimate.belief import band
from leafgill.tank.schedule import Window

_NOTES = {YES: "fits", CLOSE: "fits closely", NO: "too large"}


def picture_of(plan: RigPlan) -> RigPicture:
    """Return what the chart of a plan shows."""
    found = {source.kind: source for source in plan.sources}
    shut = plan.source if not plan.source.at_night else found["cylinder"]
    yeast = found["yeast"]
    return RigPicture(
        title=f"{plan.tank.name}: {said.headline(plan)}",
        subtitle="How long one filling of each cylinder lasts, and what the sources do to the day. "
        "Bars and band hold the truth nine times in ten; > is the one to get.",
        cylinders=tuple(
            Lasting(
                choice.size.name,
                choice.months.value,
                choice.months.low or choice.months.value,
                choice.months.high or choice.months.value,
                _NOTES.get(choice.fit.verdict, ""),
                choice is plan.choice,
            )
            for choice in plan.choices
        ),
        days=(
            _day(f"{shut.name}, gas off at night", shut.cycle, banded=True),
            _day(f"{shut.name}, {_strongest(plan, shut.kind)}", shut.strongest),
            _day(f"{yeast.name}, day and night", yeast.cycle),
            _day(f"{yeast.name}, at its strongest", yeast.strongest),
        ),
        limit_mg_l=plan.limits.co2_mg_l,
        target_mg_l=plan.need.target_mg_l,
        bars=_bars(plan, shut.hours),
    )


def _strongest(plan: RigPlan, kind: str) -> str:
    if kind == "acid-bicarbonate":
        return "at its strongest"
    regulator = "single-stage" if kind == "cartridge" else plan.tank.rig.regulator
    return f"the end left alone, {regulator or plan.regulator}"


def _day(name: str, cycle: Cycle, *, banded: bool = False) -> SourceDay:
    inside = (cycle.hours >= 0.0) & (cycle.hours <= 24.0)
    level = cycle.co2[:, inside]
    middle = np.median(level, axis=0)
    if not banded:
        return SourceDay(name, cycle.hours[inside], middle)
    ends = band(level)
    return SourceDay(name, cycle.hours[inside], middle, ends.low, ends.high)


def _bars(plan: RigPlan, gas: Window) -> tuple[Bar, ...]:
    day = plan.need.day
    bars = [Bar("light", _spans(day.light)), Bar("gas, where it can be shut", _spans(gas))]
    air = day.timeline.air[-1][1]
    if air is not None and not air.never:
        bars.append(Bar("extra air", _spans(air)))
    return tuple(bars)


def _spans(window: Window) -> tuple[tuple[float, float], ...]:
    return tuple((a / 3600.0, b / 3600.0) for a, b in window.spans_s if a < b)
