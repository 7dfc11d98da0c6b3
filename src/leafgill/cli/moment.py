"""The moment a question is asked for."""

from __future__ import annotations

from datetime import datetime

from leafgill.errors import InputError, quoted
from leafgill.tank.clock import zone

_EXAMPLE = "accepted: ISO 8601, as 2025-03-13T14:30, by the tank's clock unless an offset is given"


def parse_now(text: str | None, timezone: str) -> datetime:
    """Return the moment that `--now` names, aware; without one the present moment.

    Raises InputError in one line for anything that is no moment.
    """
    here = zone(timezone)
    if text is None:
        return datetime.now(here).replace(microsecond=0)
    try:
        when = datetime.fromisoformat(text.strip())
    except ValueError:
        raise InputError(f"--now = {quoted(text)} is no time; {_EXAMPLE}") from None
    if not 1970 < when.year < 2200:
        raise InputError(
            f"--now = {quoted(text)}: the year {when.year} cannot be meant; {_EXAMPLE}"
        )
    return when.replace(tzinfo=here) if when.tzinfo is None else when.astimezone(here)
