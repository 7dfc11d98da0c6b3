"""The moment every page and the worker take as now."""

from __future__ import annotations

import os
from datetime import UTC, datetime

from leafgill.errors import InputError, quoted

NOW = "LEAFGILL_NOW"


def now() -> datetime:
    """Return now, aware: the standing moment that `LEAFGILL_NOW` names, else the machine's.

    Raises InputError for a name that is no moment with an offset.
    """
    named = os.environ.get(NOW)
    if not named:
        return datetime.now(UTC)
    try:
        when = datetime.fromisoformat(named)
    except ValueError:
        raise InputError(
            f"{NOW} = {quoted(named)} is no time; write 2025-03-08T12:10+00:00"
        ) from None
    if when.tzinfo is None:
        raise InputError(f"{NOW} = {quoted(named)} has no offset; write 2025-03-08T12:10+00:00")
    return when


def stands() -> bool:
    """Return whether the clock stands, as in a demonstration."""
    return bool(os.environ.get(NOW))
