"""Wall time: times of day as people write them, and the zones whose clocks show them."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterator
from datetime import UTC, datetime, time
from functools import lru_cache
from zoneinfo import ZoneInfo, available_timezones

from leafgill.errors import InputError

DAY_S = 86_400.0
# No zone has changed its clock twice within this time since aquariums had valves.
_SAMPLE_S = 43_200.0

_CLOCK = re.compile(
    r"(?P<h>\d{1,2})(?:[:.](?P<m>\d{2})(?::(?P<s>\d{2}))?)?\s*(?P<ap>[ap]\.?\s?m\.?)?",
    re.IGNORECASE,
)


def seconds_of(moment: time) -> float:
    """Return the seconds since midnight that a clock shows; `time.max` is the end of the day."""
    if moment == time.max:
        return DAY_S
    whole = moment.hour * 3600 + moment.minute * 60 + moment.second
    return whole + moment.microsecond * 1e-6


def hours_text(moment: time) -> str:
    """Return a time of day as it is written in the files: 08:30, 08:30:15, 24:00."""
    if moment == time.max:
        return "24:00"
    return moment.isoformat(timespec="minutes" if not moment.second else "seconds")


def parse_clock(text: str, *, end_of_day: bool = False) -> time:
    """Return the time of day that "08:30", "8:30 am" or "17.30" means.

    "24:00" is midnight; with `end_of_day` it is `time.max`. Raises InputError in one line.
    """
    found = _CLOCK.fullmatch(text.strip())
    if found and (found["m"] or found["ap"]):
        hour, minute, second = int(found["h"]), int(found["m"] or 0), int(found["s"] or 0)
        if found["ap"]:
            half = 12 if found["ap"][0] in "pP" else 0
            hour = hour % 12 + half if 1 <= hour <= 12 else 99
        if hour == 24 and minute == second == 0:
            return time.max if end_of_day else time(0)
        if hour < 24 and minute < 60 and second < 60:
            return time(hour, minute, second)
    shown = " ".join(text.split())
    raise InputError(f'time of day "{shown}" cannot be read; accepted: 00:00 to 24:00, as 08:30')


@lru_cache(maxsize=64)
def zone(name: str) -> ZoneInfo:
    """Return a time zone by its name. Raises InputError naming it and the nearest known one."""
    try:
        return ZoneInfo(name)
    except (KeyError, ValueError, OSError):
        pass
    like = nearest_zone(name)
    hint = f" (did you mean {like}?)" if like else ""
    raise InputError(
        f'timezone "{name}" is not known{hint}; accepted: a name such as Europe/Berlin or UTC'
    )


def nearest_zone(name: str) -> str:
    """Return the known zone most like a name, or "" when none is."""
    wanted = name.strip().lower().replace(" ", "_")
    known = {full.lower(): full for full in sorted(available_timezones())}
    if wanted in known:
        return known[wanted]
    # a city alone, or with the wrong continent before it
    city = wanted.rsplit("/", 1)[-1]
    for lower, full in known.items():
        if city and lower.rsplit("/", 1)[-1] == city:
            return full
    found = difflib.get_close_matches(wanted, known, n=1, cutoff=0.7)
    return known[found[0]] if found else ""


def offset_s(at_s: float, timezone: str) -> float:
    """Return how far the zone's clock is ahead of UTC at an epoch second [s]."""
    shift = datetime.fromtimestamp(at_s, UTC).astimezone(zone(timezone)).utcoffset()
    return shift.total_seconds() if shift else 0.0


def offsets(start_s: float, end_s: float, timezone: str) -> Iterator[tuple[float, float, float]]:
    """Yield (from, to, offset), epoch seconds, that tile start_s to end_s; one offset in each."""
    begin, at, offset = start_s, start_s, offset_s(start_s, timezone)
    while at < end_s:
        ahead = min(at + _SAMPLE_S, end_s)
        new = offset_s(ahead, timezone)
        if new != offset:
            turn = min(_turn(at, ahead, new, timezone), end_s)
            if begin < turn:
                yield begin, turn, offset
            begin, offset = turn, new
        at = ahead
    if begin < end_s:
        yield begin, end_s, offset


def _turn(low: float, high: float, new: float, timezone: str) -> float:
    """Return the whole second between low and high from which the offset is `new`."""
    before, after = int(low // 1), int(-(-high // 1))
    while after - before > 1:
        middle = (before + after) // 2
        if offset_s(middle, timezone) == new:
            after = middle
        else:
            before = middle
    return float(after)
