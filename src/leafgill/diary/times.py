"""Reading times as people and programs write them."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta, timezone

from leafgill.diary.words import shown
from leafgill.errors import InputError

DAY_FIRST, MONTH_FIRST = "day", "month"
FIRST_YEAR, LAST_YEAR = 1990, 2199
HOW = "write it as 2025-03-04T12:30"

_CLOCK = (
    r"(?:[T\s,]+(?P<h>\d{1,2})[:.](?P<mi>\d{2})(?:[:.](?P<s>\d{2})(?:[.,](?P<f>\d{1,9}))?)?"
    r"\s*(?P<ap>[aApP]\.?[mM]\.?)?\s*(?P<z>[zZ]|[+-]\d{2}(?::?\d{2})?)?)?"
)
_YEAR_FIRST = re.compile(r"(?P<y>\d{4})(?P<sep>[-/.])(?P<m>\d{1,2})(?P=sep)(?P<d>\d{1,2})" + _CLOCK)
_YEAR_LAST = re.compile(r"(?P<a>\d{1,2})(?P<sep>[-/.])(?P<b>\d{1,2})(?P=sep)(?P<y>\d{4})" + _CLOCK)


def date_order(texts: list[str]) -> str | None:
    """Return DAY_FIRST or MONTH_FIRST when the dates of a whole file settle it, else None.

    A number over 12 can only be a day. A file whose dates disagree settles nothing.
    """
    seen = set()
    for text in texts:
        found = _YEAR_LAST.fullmatch(text.strip())
        if found:
            if int(found["a"]) > 12:
                seen.add(DAY_FIRST)
            if int(found["b"]) > 12:
                seen.add(MONTH_FIRST)
    return seen.pop() if len(seen) == 1 else None


def parse_time(text: str, order: str | None = None) -> tuple[datetime, tuple[str, ...]]:
    """Return the time `text` means, and the names of what had to be forgiven in it.

    The result is naive (the tank's wall time) unless the text carries Z or an offset. `order` is
    what `date_order` found out about the file. Raises InputError when the text is no time, when
    it has no clock time, or when day and month cannot be told apart.
    """
    text = text.strip().strip('"')
    if not text:
        raise InputError(f"time is empty; {HOW}")
    found = _YEAR_FIRST.fullmatch(text)
    if found:
        year, month, day = int(found["y"]), int(found["m"]), int(found["d"])
        forgiven = [] if found["sep"] == "-" else ["date-form"]
    else:
        found = _YEAR_LAST.fullmatch(text)
        if not found:
            raise InputError(f'time "{shown(text)}" is not a date and time; {HOW}')
        day, month, name = _day_month(int(found["a"]), int(found["b"]), text, order)
        year, forgiven = int(found["y"]), [name]
    if found["h"] is None:
        as_iso = f"{year:04d}-{month:02d}-{day:02d}T12:30"
        raise InputError(f'time "{shown(text)}" has no clock time; write it too, as {as_iso}')
    if forgiven == [] and "T" not in text:
        forgiven.append("time-with-space")
    try:
        when = _with_clock(datetime(year, month, day), found)
    except ValueError as wrong:
        raise InputError(f'time "{shown(text)}" does not exist ({wrong}); {HOW}') from None
    if when.tzinfo is not None:
        forgiven.append("time-with-offset")
    if not FIRST_YEAR <= year <= LAST_YEAR:
        raise InputError(
            f'time "{shown(text)}" is in the year {year}; accepted: {FIRST_YEAR} to {LAST_YEAR}'
        )
    return when, tuple(forgiven)


def _day_month(a: int, b: int, text: str, order: str | None) -> tuple[int, int, str]:
    if (a > 12) != (b > 12):
        order = DAY_FIRST if a > 12 else MONTH_FIRST
    elif a == b:
        order = order or DAY_FIRST
    if order is None:
        raise InputError(
            f'time "{shown(text)}" may be day-month or month-day; {HOW} (year, month, day) instead'
        )
    if order == DAY_FIRST:
        return a, b, "day-first-date"
    return b, a, "month-first-date"


def _with_clock(day: datetime, found: re.Match[str]) -> datetime:
    hour, minute, second = int(found["h"]), int(found["mi"]), int(found["s"] or 0)
    if found["ap"]:
        if not 1 <= hour <= 12:
            raise ValueError("hour must be in 1..12 before am or pm")
        hour = hour % 12 + (12 if found["ap"][0] in "pP" else 0)
    micro = int(((found["f"] or "") + "000000")[:6])
    if hour == 24 and minute == 0 and second == 0:
        return day + timedelta(days=1)
    zone = _zone(found["z"])
    return day.replace(hour=hour, minute=minute, second=second, microsecond=micro, tzinfo=zone)


def _zone(text: str | None) -> timezone | None:
    if not text:
        return None
    if text in "zZ":
        return UTC
    digits = text[1:].replace(":", "")
    minutes = int(digits[:2]) * 60 + int(digits[2:] or 0)
    return timezone(timedelta(minutes=-minutes if text[0] == "-" else minutes))


def write_time(when: datetime) -> str:
    """Return `when` as the diary file has it: ISO 8601, seconds only where there are any."""
    if when.microsecond:
        return when.isoformat()
    return when.isoformat(timespec="seconds" if when.second else "minutes")
