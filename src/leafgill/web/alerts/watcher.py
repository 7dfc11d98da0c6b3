"""The watcher: goes round the tanks, has the watch look, and keeps the book of alerts."""

from __future__ import annotations

import logging
import threading
import time

from django.db import Error

from leafgill.web.alerts import book
from leafgill.web.alerts.gathering import facts_of
from leafgill.web.alerts.rules import look
from leafgill.web.clock import now as clock_now
from leafgill.web.models import TankRow
from leafgill.web.working import worker

log = logging.getLogger(__name__)
EVERY_S = 20.0
_TIDY_EVERY_S = 86_400.0


def look_at(row: TankRow) -> None:
    """Look at one tank by all rules, and write down what is found."""
    now = clock_now()
    book.keep(row, look(facts_of(row, now)), now)


class Watcher:
    """A runner that looks at every tank again and again; those put away are left alone."""

    name = "watcher"

    def __init__(self, every_s: float = EVERY_S) -> None:
        self._every_s = every_s
        self._tidied = -_TIDY_EVERY_S

    def run(self, stop: threading.Event) -> None:
        """Begin with a round at once; one that has begun is finished."""
        while not stop.is_set():
            for row in TankRow.objects.filter(archived_at__isnull=True).order_by("pk"):
                if stop.is_set():
                    return
                self._one(row)
            if time.monotonic() - self._tidied >= _TIDY_EVERY_S:
                self._tidied = time.monotonic()
                book.tidy(clock_now())
            stop.wait(self._every_s)

    def _one(self, row: TankRow) -> None:
        """Look at a tank; what breaks with one leaves the others watched."""
        worker.watch_for(row)
        try:
            look_at(row)
        except Error:
            raise  # the store's trouble is every tank's
        except Exception:
            log.exception("looking at tank %s broke", row.pk)
