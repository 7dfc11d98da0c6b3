"""When the gas hours of a running tank were last moved, read off the diary."""

from __future__ import annotations

from datetime import datetime

from leafgill.advise.real_time import hours_from
from leafgill.diary import Diary, Kind
from leafgill.tank.schedule import Window

# Hours written down before the first setting, or within this long after it, belong to it [h].
_TOGETHER_H = 1.0


def hours_moved_at(diary: Diary, described: Window | None) -> datetime | None:
    """Return when gas hours were last written down that differ from those before.

    `described` are the hours of the tank file, which hold before any of the diary's. None where
    they never moved since the first setting: what a tank starts with is no move.
    """
    settings = [entry for entry in diary.of(Kind.BUBBLE_RATE) if entry.number > 0.0]
    if not settings:
        return None
    moved, before = None, described
    for entry in diary.of(Kind.GAS_DAY):
        later = hours_from(settings[0].time, entry.time) > _TOGETHER_H
        if later and before is not None and entry.window != before:
            moved = entry.time
        before = entry.window
    return moved
