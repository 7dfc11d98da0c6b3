"""The day's picture out of a counsel: bands, readings and hours as plain numbers."""

from __future__ import annotations

from datetime import datetime, time, timedelta
from itertools import pairwise

import numpy as np

from leafgill.advise.forecast import bent
from leafgill.answer.counsel import Counsel
from leafgill.answer.figures import interval
from leafgill.charts.picture import Bar, DayPicture, Mark
from leafgill.diary import Entry, Kind
from leafgill.estimate import Belief
from leafgill.science.carbonate_readings import HALF_90, within
from leafgill.science.compiled import FloatArray
from leafgill.science.indicator import COLOURS, co2_boundaries_mg_l
from leafgill.tank.clock import zone
from leafgill.tank.schedule import on_spans

_STEP_S = 600.0
_TICK_H = 3
# What one reading by itself may be off by, nine times in ten [pH]: an electrode its offset of
# about 0.07 and a little more, a colour test its bottle's bias and the eye, about 0.1 each.
_PROBE_ERROR = 0.12
_HAND_ERROR = HALF_90 * 0.14
_LOGGED_EVERY_S = 3600.0
# A logged reading this near to one in the diary is the same one.
_APART_H = 0.25


def picture_of(counsel: Counsel) -> DayPicture:
    """Return the picture of the day that `now` falls in, by the tank's clock."""
    first, last = day_ends(counsel.now, counsel.tank.timezone)
    belief = counsel.belief
    grid = np.arange(first, last + 1.0, _STEP_S)
    times = grid[(grid >= belief.edges_s[0]) & (grid <= belief.edges_s[-1])]
    bands = _bands(counsel, times)
    co2 = belief.co2(counsel.now)
    return DayPicture(
        title=f"{counsel.tank.name}: CO2 {interval(co2)} at {counsel.now:%H:%M}",
        subtitle=f"{counsel.now:%A} {counsel.now.day} {counsel.now:%B %Y}. "
        "Inner band: even chance; outer band: nine in ten.",
        length_h=(last - first) / 3600.0,
        now_h=(counsel.now.timestamp() - first) / 3600.0,
        hours=(times - first) / 3600.0,
        mean=bands[0],
        outer_low=bands[1],
        outer_high=bands[2],
        inner_low=bands[3],
        inner_high=bands[4],
        limit_mg_l=counsel.limits.co2_mg_l,
        target_mg_l=counsel.limits.target_mg_l,
        ticks=_ticks(first, last, counsel.tank.timezone),
        marks=tuple(_marks(counsel, first, last)),
        bars=_bars(counsel, first, last),
    )


def day_ends(now: datetime, timezone: str) -> tuple[float, float]:
    """Return the epoch seconds of midnight before and midnight after, by the zone's clock."""
    here = zone(timezone)
    day = now.astimezone(here).date()
    ends = (datetime.combine(d, time(0), here) for d in (day, day + timedelta(days=1)))
    first, last = (end.timestamp() for end in ends)
    return first, last


def _bands(counsel: Counsel, times: FloatArray) -> tuple[FloatArray, ...]:
    """Return mean, outer low and high, inner low and high at epoch seconds [n].

    Up to now as it was, from now on as the plan makes it.
    """
    if not times.size:
        return (times, times, times, times, times)
    values = counsel.belief.through("co2", times)
    outlook = counsel.ahead.outlook
    for k in np.flatnonzero(times > outlook.times_s[0]):
        values[:, k] = outlook.at("co2", float(times[k]))
    rows = [values.mean(axis=0), *np.quantile(values, [0.05, 0.95, 0.25, 0.75], axis=0)]
    return tuple(np.asarray(row) for row in rows)


def _ticks(first: float, last: float, timezone: str) -> tuple[tuple[float, str], ...]:
    """Return (hour, clock) every three hours by the clock, midnight at both ends."""
    here = zone(timezone)
    day = datetime.fromtimestamp(first, here).date()
    ticks = []
    for hour in range(0, 24, _TICK_H):
        at = datetime.combine(day, time(hour), here).timestamp()
        ticks.append(((at - first) / 3600.0, f"{hour:02d}:00"))
    ticks.append(((last - first) / 3600.0, "24:00"))
    # a tick in the hour the clocks skip falls on the one after it
    return (*(a for a, b in pairwise(ticks) if a[0] < b[0]), ticks[-1])


def _bars(counsel: Counsel, first: float, last: float) -> tuple[Bar, ...]:
    """Return when light, gas and, where there is any, extra air are on, as the plan has it."""
    timeline, _ = bent(counsel.belief, counsel.plan, counsel.act.timestamp())
    gas = timeline.gas
    if counsel.plan.bubble_rate == 0.0:  # its hours go on, but nothing comes
        gas = (*gas, (counsel.act.timestamp(), None))
    bars = []
    for name, changes in (("light", timeline.light), ("gas", gas), ("air", timeline.air)):
        if name == "air" and not changes:
            continue
        spans = on_spans(first, last, changes, counsel.tank.timezone)
        hours = tuple(((a - first) / 3600.0, (b - first) / 3600.0) for a, b in spans)
        bars.append(Bar(name, hours))
    return tuple(bars)


def _marks(counsel: Counsel, first: float, last: float) -> list[Mark]:
    """Return the day's readings that speak of CO2, each with what it alone may mean."""
    until = min(last, counsel.now.timestamp())
    found = []
    for entry in counsel.diary.of(Kind.PH, Kind.PH_PROBE, Kind.DROP_CHECKER):
        at = entry.time.timestamp()
        if first <= at <= until and at >= counsel.belief.edges_s[0]:
            found.append(_mark(counsel, entry, (at - first) / 3600.0))
    stream = counsel.diary.streams.get("ph")
    if stream is not None:
        written = [mark.hour for mark in found if mark.kind == "electrode"]
        start = max(first, float(counsel.belief.edges_s[0]))
        for at in np.arange(first + _LOGGED_EVERY_S / 2.0, until, _LOGGED_EVERY_S):
            near = stream.between(max(at - 300.0, start), min(at + 300.0, until))
            hour = (at - first) / 3600.0
            if len(near) and all(abs(hour - other) > _APART_H for other in written):
                shown = float(np.median(near.values))
                found.append(_ph_mark(counsel.belief, at, hour, shown, "electrode"))
    return sorted(found, key=lambda mark: mark.hour)


def _mark(counsel: Counsel, entry: Entry, hour: float) -> Mark:
    if entry.kind is Kind.DROP_CHECKER:
        lag_h = counsel.belief.unknowns()["checker_lag"][0].mean
        return _checker_mark(counsel.tank.temperature_c, entry.word, max(hour - lag_h, 0.0))
    kind = "hand test" if entry.kind is Kind.PH else "electrode"
    return _ph_mark(counsel.belief, entry.time.timestamp(), hour, entry.number, kind)


def _ph_mark(belief: Belief, at: float, hour: float, ph: float, kind: str) -> Mark:
    """Return what a pH alone says: the draws' own CO2, moved from their pH to the one read.

    At one alkalinity CO2 goes as 10^-pH, so each draw brings its KH and its acids with it.
    """
    moment = np.array([at])
    co2, true_ph = belief.through("co2", moment)[:, 0], belief.through("ph", moment)[:, 0]
    read = within(ph, _HAND_ERROR if kind == "hand test" else _PROBE_ERROR, 40)
    values = co2[:, None] * 10.0 ** (true_ph[:, None] - read[None, :])
    low, middle, high = np.quantile(values, [0.05, 0.5, 0.95])
    return Mark(hour, float(middle), float(low), float(high), kind, f"pH {ph:.2f}")


def _checker_mark(temperature_c: float, colour: str, hour: float) -> Mark:
    """Return what a colour says by the card, in the middle of its range.

    The hour is the one it speaks of: the checker shows what the water was a while ago.
    """
    steps = [0.0, *co2_boundaries_mg_l(temperature_c).tolist()]
    at = COLOURS.index(colour)
    low = steps[at]
    high = steps[at + 1] if at + 1 < len(steps) else 1.3 * low
    return Mark(hour, 0.5 * (low + high), low, high, "drop checker", colour)
