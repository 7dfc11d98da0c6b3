"""The moment of a reading, in every way sensors and their programs write one."""

from __future__ import annotations

import re
from datetime import datetime, tzinfo
from typing import Any

from leafgill.diary.times import parse_time
from leafgill.errors import InputError, quoted

_EPOCH = re.compile(r"[0-9]{9,16}(\.[0-9]{1,9})?", re.ASCII)
# Seconds since 1970 stay below this until the year 5138; what is above are milliseconds, or
# thousandths of those.
_MILLI, _MICRO = 1e11, 1e14


def moment_s(given: Any, here: tzinfo, now: datetime) -> float:
    """Return a moment in seconds since 1970; now where none is given (None).

    Numbers are seconds, milliseconds or microseconds since 1970. Texts are those, or a date and
    time; without an offset it is the tank's wall clock's, `here`. Raises InputError otherwise.
    """
    if given is None:
        return now.timestamp()
    if isinstance(given, bool) or not isinstance(given, int | float | str):
        raise InputError(f"time {quoted(given)} is no moment; accepted: 2025-03-08T12:10:00Z")
    if isinstance(given, str):
        text = given.strip()
        if not _EPOCH.fullmatch(text):
            return _of_text(text, here, now)
        given = float(text)
    try:
        number = float(given)
    except OverflowError:
        raise InputError(f"time {quoted(given)} is no moment") from None
    if number > _MICRO:
        return number / 1e6
    return number / 1e3 if number > _MILLI else number


def _of_text(text: str, here: tzinfo, now: datetime) -> float:
    when = parse_time(text[:60])[0]
    if when.tzinfo is not None:
        return when.timestamp()
    return wall_s(when, here, now)


def wall_s(when: datetime, here: tzinfo, now: datetime) -> float:
    """Return the moment at which a zone's clock shows a naive time, in seconds since 1970.

    In the night the clocks are put back some times come twice: of the two the one nearer to now is
    meant, as a sensor sends what it has just seen. One that the clocks skip is moved later.
    """
    first, second = (when.replace(tzinfo=here, fold=fold) for fold in (0, 1))
    one, other = first.timestamp(), second.timestamp()
    if one < other:  # the hour comes twice
        here_now = now.timestamp()
        return one if abs(one - here_now) <= abs(other - here_now) else other
    # equal on any other day; in the hour that is skipped fold 0 moves it later
    return one
