"""When a task of the list was done last, by the list and by what was worked out of the diary."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any


def done_last(ticked: datetime | None, job: Mapping[str, Any] | None) -> datetime | None:
    """Return when a task was done last: ticked in the list, or told by the diary (its `job`)."""
    told = job.get("last_done") if job else None
    written = datetime.fromisoformat(told) if told else None
    return max((at for at in (ticked, written) if at is not None), default=None)
