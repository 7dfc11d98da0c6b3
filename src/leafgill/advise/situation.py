"""How things stand at the tank when advice is asked for: read once, used throughout."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, time
from functools import cached_property
from zoneinfo import ZoneInfo

import numpy as np

from leafgill.advise.beside.moved import hours_moved_at
from leafgill.advise.count_doubt import count_misfit
from leafgill.advise.forecast import Outlook, Plan, look_ahead
from leafgill.advise.real_time import after, hours_from
from leafgill.advise.response import Response, response_of_setting
from leafgill.diary import Diary, Entry, Kind
from leafgill.errors import InputError
from leafgill.estimate.belief import Belief, Misfit
from leafgill.science.compiled import FloatArray
from leafgill.tank.limits import Limits, limits_of
from leafgill.tank.schedule import Window, is_on, next_off, next_on, period_at, window_in_force
from leafgill.tank.spec import Tank

# A word about the animals counts this long [h].
FISH_COUNTS_H = 6.0
# A reading that does not fit holds a raise up this long [h].
MISFIT_COUNTS_H = 24.0
# No reading is fresh for longer [h].
STALE_H = 36.0
# A gas period younger than this has not shown anything yet [h].
_YOUNG_PERIOD_H = 1.0
# A valve that gives this much more or less than it was set to has crept [1].
_CREPT = 0.15
# A rate written down again within this part of itself is the same setting [1].
_SAME_RATE = 0.02


@dataclass(frozen=True)
class Situation:
    """What rules and plans look at, all at one moment `now` in the tank's zone.

    `gas` are the gas hours in force, None while none are known; `setting` the last bubble rate
    written down or counted [1/s], None when there is none, `rate` what is believed to run when
    the gas is on; `pending` the setting where the belief does not know of it yet, being older;
    `last_running` the last rate above 0. `reading` is the newest pH or colour,
    `fish` the newest word about the animals while it counts, `misfits` the readings of the last
    day that contradict the belief. `extra_air` are hours of aeration advised along with the gas;
    `hours_set_at` is when the gas hours of a running tank were last moved, `changed_at` when
    water was last changed, both None where they never were.
    """

    tank: Tank
    belief: Belief
    limits: Limits
    now: datetime
    awake: Window
    light: Window | None
    gas: Window | None
    setting: float | None
    rate: float | None
    set_at: datetime | None
    pending: float | None
    last_running: float | None
    reading: datetime | None
    fish: Entry | None
    misfits: tuple[Misfit, ...]
    extra_air: Window | None = None
    hours_set_at: datetime | None = None
    changed_at: datetime | None = None

    @property
    def now_s(self) -> float:
        """Now as epoch seconds."""
        return self.now.timestamp()

    @property
    def gas_on(self) -> bool:
        """Whether the gas is on by its hours."""
        return is_on(self.now, self.gas, self.tank.timezone)

    @property
    def first(self) -> bool:
        """Whether no setting is known yet."""
        return self.setting is None

    @property
    def restart(self) -> bool:
        """Whether the valve is shut."""
        return self.setting == 0.0

    @cached_property
    def last_response(self) -> Response | None:
        """Return the response to the last setting, None when that is a day ago or unknown."""
        if self.set_at is None or hours_from(self.set_at, self.now) >= 24.0:
            return None
        return response_of_setting(self.belief, self.set_at.timestamp())

    @cached_property
    def as_it_is(self) -> Outlook:
        """Return the draws from now to the end of the belief's days with nothing changed."""
        end_s = float(self.belief.edges_s[-1])
        return look_ahead(self.belief, self.nothing_changed, self.now_s, end_s)

    @property
    def nothing_changed(self) -> Plan:
        """Return the plan that leaves everything as the keeper has set it."""
        return Plan(bubble_rate=self.pending, air=self.extra_air)

    def is_raise(self, rate: float) -> bool:
        """Whether setting this rate gives more gas than runs now."""
        return rate > (self.rate or 0.0) + 1e-6

    @property
    def crept(self) -> bool:
        """Whether the valve gives so much more or less than it was set to that it is told."""
        return bool(self.setting and self.rate and abs(np.log(self.rate / self.setting)) > _CREPT)

    @property
    def base(self) -> float | None:
        """Return the rate a raise starts from [1/s]: of what was set and what runs, the smaller."""
        if self.setting is None or self.rate is None:
            return None
        return min(self.setting, self.rate)

    def period(self, at: datetime) -> tuple[datetime, datetime] | None:
        """Return the gas period (on, off) a moment falls in, None outside or around the clock."""
        return period_at(at, self.gas, self.tank.timezone)

    def gas_from(self, at: datetime) -> datetime | None:
        """Return the first moment from `at` on at which the gas is on, None when never."""
        if is_on(at, self.gas, self.tank.timezone):
            return at
        return next_on(at, self.gas, self.tank.timezone)

    def awake_from(self, at: datetime) -> datetime:
        """Return the first moment from `at` on at which somebody is about."""
        if is_on(at, self.awake, self.tank.timezone):
            return at
        return next_on(at, self.awake, self.tank.timezone) or at

    @property
    def fresh_since(self) -> datetime:
        """Return from when on a reading is fresh: since the last gas period began, or 36 h.

        The last gas period is the present one once it is an hour old, else the one before.
        """
        oldest = after(self.now, -STALE_H)
        young = after(self.now, -_YOUNG_PERIOD_H)
        inside = self.period(young)
        if inside is not None:
            return max(inside[0], oldest)
        back = next_off(oldest, self.gas, self.tank.timezone)
        begun = oldest
        while back is not None and back <= young:
            period = self.period(after(back, -1.0 / 3600.0))
            begun = period[0] if period is not None else begun
            back = next_off(back, self.gas, self.tank.timezone)
        return max(begun, oldest)


def look_around(
    tank: Tank, diary: Diary, belief: Belief, now: datetime, awake: tuple[float, float]
) -> Situation:
    """Return the situation at `now` (aware, or naive by the tank's clock).

    `awake` are the hours of the day between which somebody can be at the tank, 0 to 24. Raises
    InputError for hours that are none, and for a `now` outside the belief's days.
    """
    zone = ZoneInfo(tank.timezone)
    now = now.replace(tzinfo=zone) if now.tzinfo is None else now.astimezone(zone)
    if not belief.edges_s[0] <= now.timestamp() <= belief.edges_s[-1]:
        raise InputError(f"the belief does not reach to {now:%Y-%m-%dT%H:%M}; it has to be renewed")
    known = diary if diary.timezone is not None else diary.localised(tank.timezone)
    seen = known.until(now)
    timeline = belief.problem.evidence.timeline
    setting, set_at, last_running = _setting(seen)
    pending = setting if _unknown_to(belief, seen) else None
    doubted = () if pending is not None else count_misfit(belief, seen, counted_rate(belief))
    return Situation(
        tank=tank,
        belief=belief,
        limits=limits_of(tank),
        now=now,
        awake=_awake(awake),
        light=window_in_force(timeline.light, now.timestamp()),
        gas=_some(window_in_force(timeline.gas, now.timestamp())),
        setting=setting,
        rate=setting if pending is not None else _running(belief, setting),
        set_at=set_at,
        pending=pending,
        last_running=last_running,
        reading=_last_reading(seen, zone),
        fish=_fish(seen, now),
        misfits=tuple(
            misfit
            for misfit in (*belief.misfits, *doubted)
            if hours_from(misfit.time, now) <= MISFIT_COUNTS_H
        ),
        hours_set_at=hours_moved_at(seen, tank.day.gas),
        changed_at=_last_change(seen),
    )


def _some(window: Window | None) -> Window | None:
    return None if window is None or window.never else window


def _awake(hours: tuple[float, float]) -> Window:
    low, high = hours
    if not (0.0 <= low <= 24.0 and 0.0 <= high <= 24.0 and low != high):
        raise InputError(f"awake hours {low:g} to {high:g} cannot be; accepted: 0 to 24")
    return Window(_clock(low % 24.0), time.max if high == 24.0 else _clock(high))


def _clock(hour: float) -> time:
    minutes = round(hour * 60.0) % 1440
    return time(minutes // 60, minutes % 60)


def _setting(diary: Diary) -> tuple[float | None, datetime | None, float | None]:
    """Return the rate last set (or first counted), since when, and the last rate above 0 [1/s].

    The same rate written down again is no change.
    """
    entries = diary.of(Kind.BUBBLE_RATE)
    if not entries:
        counts = [entry for entry in diary.of(Kind.BUBBLE_COUNT) if entry.number > 0.0]
        return (counts[-1].number, None, counts[-1].number) if counts else (None, None, None)
    since = entries[-1]
    for entry in reversed(entries):
        if abs(entry.number - since.number) > _SAME_RATE * since.number:
            break
        since = entry
    running = [entry.number for entry in entries if entry.number > 0.0]
    return entries[-1].number, since.time, running[-1] if running else None


def _unknown_to(belief: Belief, diary: Diary) -> bool:
    """Return whether the last setting is none of the belief's stretches."""
    entries = diary.of(Kind.BUBBLE_RATE)
    if not entries:
        return False
    at_s = entries[-1].time.timestamp()
    starts = belief.problem.evidence.timeline.setting_s
    return all(abs(start - at_s) > 1.0 for start in starts) and at_s >= max(starts, default=0.0)


def counted_rate(belief: Belief) -> FloatArray:
    """Return the bubble rate a count would find now while the gas is on [1/s], [m]."""
    flow = belief.problem.evidence.flow
    if not flow.start_s:
        return np.zeros(belief.count)
    rates = flow.rates(belief.problem.several(belief.z, "flow_"), np.zeros(belief.count))
    now: FloatArray = rates[:, -1]
    return now


def _running(belief: Belief, setting: float | None) -> float | None:
    """Return what is believed to run of a setting: a valve creeps, and counts tell how far."""
    if not setting:
        return setting
    believed = float(np.mean(counted_rate(belief)))
    return believed if believed > 0.0 else setting


def _last_change(diary: Diary) -> datetime | None:
    """Return when part of the water was last changed."""
    changes = [entry for entry in diary.of(Kind.WATER_CHANGE) if entry.number > 0.0]
    return changes[-1].time if changes else None


def _last_reading(diary: Diary, zone: ZoneInfo) -> datetime | None:
    """Return when pH or the drop checker was last read."""
    times = [entry.time for entry in diary.of(Kind.PH, Kind.PH_PROBE, Kind.DROP_CHECKER)[-1:]]
    stream = diary.streams.get("ph")
    if stream is not None and len(stream):
        times.append(datetime.fromtimestamp(int(stream.times_s[-1]), zone))
    return max(times, default=None)


def _fish(diary: Diary, now: datetime) -> Entry | None:
    """Return the newest word about the animals, None when it is old or missing."""
    words = diary.of(Kind.FISH)
    if not words or hours_from(words[-1].time, now) > FISH_COUNTS_H:
        return None
    return words[-1]
