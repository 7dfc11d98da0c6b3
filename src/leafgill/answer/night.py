"""The picture of oxygen through the coming night, out of a counsel."""

from __future__ import annotations

from datetime import datetime

import numpy as np

from leafgill.advise.forecast import bent
from leafgill.answer.counsel import Counsel
from leafgill.answer.figures import interval, moment
from leafgill.charts.night_picture import NightPicture
from leafgill.tank.clock import zone
from leafgill.tank.schedule import on_spans

_STEP_S = 600.0
_TICK_H = 6


def night_of(counsel: Counsel) -> NightPicture:
    """Return the picture of the day ahead as advised, from now on, where oxygen is lowest."""
    outlook = counsel.ahead.outlook
    first, last = float(outlook.times_s[0]), float(outlook.times_s[-1])
    times = np.union1d(np.arange(first, last, _STEP_S), [last])
    values = outlook.through("o2", times)
    low, high = np.quantile(values, [0.05, 0.95], axis=0)
    lowest = moment(counsel.ahead.o2_min_at, counsel.now)
    return NightPicture(
        title=f"{counsel.tank.name}: oxygen down to {interval(counsel.ahead.o2_min)}",
        subtitle=f"Lowest about {lowest}. The band holds it nine times in ten.",
        length_h=(last - first) / 3600.0,
        hours=(times - first) / 3600.0,
        mean=values.mean(axis=0),
        low=low,
        high=high,
        least_mg_l=counsel.limits.o2_min_mg_l,
        dark=_dark(counsel, first, last),
        ticks=_ticks(first, last, counsel.tank.timezone),
    )


def _dark(counsel: Counsel, first: float, last: float) -> tuple[tuple[float, float], ...]:
    """Return the (from, to) without light, hours since `first`."""
    timeline, _ = bent(counsel.belief, counsel.plan, counsel.act.timestamp())
    lit = on_spans(first, last, timeline.light, counsel.tank.timezone)
    edges = [first, *(edge for span in lit for edge in span), last]
    spans = zip(edges[::2], edges[1::2], strict=True)
    return tuple(((a - first) / 3600.0, (b - first) / 3600.0) for a, b in spans if a < b)


def _ticks(first: float, last: float, timezone: str) -> tuple[tuple[float, str], ...]:
    """Return (hour since `first`, clock) at every sixth hour of the clock."""
    here = zone(timezone)
    hour = datetime.fromtimestamp(first, here).replace(minute=0, second=0, microsecond=0)
    found = {}
    for _ in range(int((last - first) / 3600.0) + 3):
        at = hour.timestamp()
        if first <= at <= last and hour.hour % _TICK_H == 0:
            found[(at - first) / 3600.0] = f"{hour:%H:%M}"
        # by the clock that really passes, over the nights on which it is changed
        hour = datetime.fromtimestamp(at + 3600.0, here)
    return tuple(sorted(found.items()))
