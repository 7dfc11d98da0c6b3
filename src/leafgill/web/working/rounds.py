"""Going round the tanks, so that whoever looks finds figures of now and not of hours ago."""

from __future__ import annotations

import threading
from datetime import datetime, timedelta

from leafgill.web.clock import now as clock_now
from leafgill.web.models import AnswerRow, TankRow
from leafgill.web.store.changed import tank_changed
from leafgill.web.working import worker
from leafgill.web.working.reading import GOOD_FOR

EVERY_S = 60.0
# An answer is worked out anew a while before it is taken for old.
_SOONER = timedelta(minutes=5)
# Keeping every tank fresh takes at most this part of one core; on a slow machine, or with dozens
# of tanks, it is done less often.
_SHARE = 0.1


def listen() -> None:
    """Have a tank worked out whenever something of it was written."""
    tank_changed.connect(_written, dispatch_uid="leafgill.web.working.rounds")


def _written(sender: object, row: TankRow, **_more: object) -> None:
    worker.ask_for(row)


def due(now: datetime) -> list[TankRow]:
    """Return the tanks whose answer lacks an entry or grows old; those put away are left alone.

    What failed a short while ago is left, too.
    """
    answers = {answer.tank_id: answer for answer in AnswerRow.objects.defer("payload")}
    seconds = sum(answer.seconds for answer in answers.values())
    good_for = max(GOOD_FOR - _SOONER, timedelta(seconds=seconds / _SHARE))
    rows = TankRow.objects.filter(archived_at__isnull=True).order_by("pk")
    return [row for row in rows if _is_due(row, answers.get(row.pk), now, good_for)]


def _is_due(row: TankRow, answer: AnswerRow | None, now: datetime, good_for: timedelta) -> bool:
    if answer is None:
        return True
    if answer.failed_at is not None and answer.failed_version == row.version:
        return abs(now - answer.failed_at) >= timedelta(seconds=worker.TRY_AGAIN_S)
    if answer.version != row.version or answer.asked_for is None:
        return True
    return abs(now - answer.asked_for) >= good_for


class Rounds:
    """A runner that asks for the tanks that are due, every minute."""

    name = "rounds"

    def __init__(self, every_s: float = EVERY_S) -> None:
        self._every_s = every_s

    def run(self, stop: threading.Event) -> None:
        """Begin with a round at once; one that has begun is finished."""
        while not stop.is_set():
            for row in due(clock_now()):
                worker.ask_for(row)
            stop.wait(self._every_s)
