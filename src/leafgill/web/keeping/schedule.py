"""A backup each day while the app runs, and an end for those that have served."""

from __future__ import annotations

import logging
import threading
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

from leafgill.web.keeping.backing_up import Made, back_up, folder
from leafgill.web.keeping.backup_format import BEFORE_UPGRADE, DAILY, told_by_name
from leafgill.web.keeping.rotation import Keep, superfluous

log = logging.getLogger(__name__)

EVERY = timedelta(hours=24)
KEEP = Keep()
# Of those before another form the last few: once pages have been used they help no more.
KEEP_UPGRADES = 3
# The start of the app and its first pages come before.
FIRST_AFTER_S, LOOK_EVERY_S = 120.0, 600.0


class Backups:
    """A runner that makes a backup when the last is a day old, and tries again where it cannot."""

    name = "backups"

    def __init__(
        self,
        first_after_s: float = FIRST_AFTER_S,
        look_every_s: float = LOOK_EVERY_S,
        now: Callable[[], datetime] = lambda: datetime.now(UTC),
    ) -> None:
        self._first_after_s, self._look_every_s, self._now = first_after_s, look_every_s, now
        self._begun = False

    def run(self, stop: threading.Event) -> None:
        """Look every few minutes. Raises InputError where a backup cannot be made."""
        if not self._begun:
            stop.wait(self._first_after_s)
            self._begun = True
        while not stop.is_set():
            made = back_up_when_due(self._now())
            if made is not None:
                log.info(
                    "backup made and read back",
                    extra={"file": made.path.name, "bytes": made.bytes},
                )
            stop.wait(self._look_every_s)


def back_up_when_due(now: datetime) -> Made | None:
    """Make a backup when there is none of the last day, then let go of those that have served.

    Nothing is deleted before the new one was read back. Raises InputError as `back_up`.
    """
    last = newest(DAILY)
    # one of tomorrow was made by a clock that was wrong
    if last is not None and abs(now - last) < EVERY:
        return None
    made = back_up(now, DAILY)
    rotate()
    return made


def newest(*kinds: str) -> datetime | None:
    """Return when the newest backup of some kinds was made, of all where none is named."""
    times = [at for at, kind, _ in backups() if not kinds or kind in kinds]
    return max(times, default=None)


def backups() -> list[tuple[datetime, str, Path]]:
    """Return the backups in their folder: when, which kind, which file; the oldest first.

    Other files are none of ours, and are left alone.
    """
    try:
        paths = list(folder().iterdir())
    except OSError:
        return []
    told = ((told_by_name(path.name), path) for path in paths)
    return sorted((*name, path) for name, path in told if name is not None)


def rotate() -> list[Path]:
    """Delete the backups that have served; return them. Those made by hand stay."""
    there = backups()
    daily = {at: path for at, kind, path in there if kind == DAILY}
    served = [daily[at] for at in superfluous(daily, KEEP)]
    upgrades = [path for _, kind, path in there if kind == BEFORE_UPGRADE]
    served += upgrades[:-KEEP_UPGRADES]
    for path in served:
        path.unlink(missing_ok=True)
    return served
