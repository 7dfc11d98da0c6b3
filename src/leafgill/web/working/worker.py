"""The worker of this server: tanks ask, it works them out one after the other and keeps them."""

from __future__ import annotations

import threading
import time
from contextlib import suppress
from typing import Any, Protocol

from django.conf import settings
from django.db import connection

from leafgill.tank.clock import zone
from leafgill.web.clock import now as clock_now
from leafgill.web.models import TankRow
from leafgill.web.store.tanks import spec_of
from leafgill.web.working import answers
from leafgill.web.working.job import (
    Job,
    Outcome,
    WatchJob,
    Work,
    counsel_job,
    rig_job,
    supply_job,
    watch_job,
)
from leafgill.web.working.process import Process, StoppedError
from leafgill.web.working.queue import Queue, Turn
from leafgill.web.working.reading import Told, told_of

# What failed is tried again when something was written, or after so long.
TRY_AGAIN_S = 600.0
EXTRAS: dict[str, Work] = {"supply": supply_job, "rig": rig_job}


class Runs(Protocol):
    """Something that does a job: the process, or the calling thread."""

    def start(self) -> None: ...  # noqa: D102

    def run(self, work: Work, job: Job) -> Outcome: ...  # noqa: D102

    def stop(self) -> None: ...  # noqa: D102

    def condition(self) -> str: ...  # noqa: D102


class Inline:
    """Does a job in the thread that asks."""

    def start(self) -> None:
        """Nothing is to be started."""

    def run(self, work: Work, job: Job) -> Outcome:
        """Return what comes of a job."""
        return work(job)

    def stop(self) -> None:
        """Nothing is to be stopped."""

    def condition(self) -> str:
        """Return that it is always ready."""
        return "ready"


class Worker:
    """Works tanks out by `runs` and keeps the answers, in a thread of its own."""

    def __init__(self, runs: Runs, *, inline: bool = False) -> None:
        self._runs, self._inline = runs, inline
        self._queue = Queue(self._in_thread(self._counsel), self._in_thread(self._extras))

    def start(self) -> None:
        """Start and warm in the background."""
        self._runs.start()

    def stop(self) -> None:
        """Stop at once; what was being worked out is let go."""
        self._runs.stop()
        self._queue.end()

    def condition(self) -> str:
        """Return how what does the jobs is: "ready", "starting", "broken" or "not started"."""
        return self._runs.condition()

    def ask(self, tank_id: int) -> None:
        """Have a tank worked out; within the call when inline."""
        if self._inline:
            self._counsel(tank_id)
            self._extras(tank_id)
        else:
            self._queue.ask(tank_id)

    def watch(self, tank_id: int) -> None:
        """Have the watch look at a tank when it is quiet, where it is time for it."""
        if not answers.watch_missing(tank_id, clock_now()):
            return
        if self._inline:
            self._watch(tank_id)
        else:
            self._queue.ask_later(tank_id)

    def wait(self, tank_id: int, wait_s: float) -> None:
        """Wait until a tank is worked out, at most so long."""
        if not self._inline:
            self._queue.wait(tank_id, wait_s)

    def busy(self, tank_id: int) -> bool:
        """Return whether a tank waits or is being worked out."""
        return not self._inline and self._queue.has(tank_id)

    def _in_thread(self, work: Turn) -> Turn:
        def done(tank_id: int) -> None:
            try:
                with suppress(StoppedError):
                    work(tank_id)
            finally:
                connection.close()

        return done

    def _counsel(self, tank_id: int) -> None:
        asked = answers.question_of(tank_id)
        if asked is None:
            return
        begun = time.monotonic()
        outcome = self._runs.run(counsel_job, asked.job)
        answers.store(asked, outcome, time.monotonic() - begun)

    def _watch(self, tank_id: int) -> None:
        """Have the watch look, where it is time for it."""
        if not answers.watch_missing(tank_id, clock_now()):
            return
        asked = answers.question_of(tank_id)
        if asked is None:
            return
        begun = time.monotonic()
        job = WatchJob(asked.job.tank, asked.job.diary, asked.job.now, tank_id)
        outcome = self._runs.run(watch_job, job)
        answers.store_watch(asked, outcome, time.monotonic() - begun)

    def _extras(self, tank_id: int) -> None:
        self._watch(tank_id)
        if not answers.extras_missing(tank_id):
            return
        asked = answers.question_of(tank_id)
        if asked is None:
            return
        found: dict[str, Any] = {}
        for name, work in EXTRAS.items():
            if self._queue.more_urgent():
                return
            outcome = self._runs.run(work, asked.job)
            found |= outcome.payload or {name: None}
        answers.store_extras(asked, found)


_lock = threading.Lock()
_worker: Worker | None = None


def the_worker() -> Worker | None:
    """Return this server's worker as the setting WORKER has it; None when it is "off"."""
    global _worker  # noqa: PLW0603 - one for the server, made when it is first needed
    if settings.WORKER == "off":
        return None
    if settings.WORKER == "inline":
        return Worker(Inline(), inline=True)
    with _lock:
        if _worker is None:
            _worker = Worker(Process())
        return _worker


def start() -> None:
    """Start the worker and warm it; returns at once."""
    worker = the_worker()
    if worker is not None:
        worker.start()


def stop() -> None:
    """Stop the worker, also in the middle of something."""
    global _worker
    with _lock:
        worker, _worker = _worker, None
    if worker is not None:
        worker.stop()


def condition() -> str:
    """Return how this server's worker is, as `Worker.condition`, or "off"; starts none."""
    if settings.WORKER == "off":
        return "off"
    with _lock:
        worker = _worker
    return "not started" if worker is None else worker.condition()


def ask_for(row: TankRow) -> None:
    """Have a tank worked out as it stands now; returns at once unless the worker is inline.

    However often a tank asks, it waits in one place, and what is worked out is the newest.
    """
    worker = the_worker()
    if worker is not None:
        worker.ask(row.pk)


def watch_for(row: TankRow) -> None:
    """Have the watch look at a tank where it is time for it; returns at once unless inline."""
    worker = the_worker()
    if worker is not None:
        worker.watch(row.pk)


def told_now(row: TankRow) -> Told:
    """Return what is known of a tank at this moment, without asking for more."""
    now = clock_now().astimezone(zone(spec_of(row).timezone))
    worker = the_worker()
    # busy is asked first: an answer that comes in between is then seen below
    busy = worker is not None and worker.busy(row.pk)
    version = answers.version_of(row.pk)
    return told_of(answers.kept_answer(row.pk), version, now, working=busy)


def fresh(row: TankRow, wait_s: float = 1.5) -> Told:
    """Return what is known now; when that is not all, ask for it and wait at most so long [s].

    What failed at this version a short while ago is not asked again.
    """
    told = told_now(row)
    worker = the_worker()
    if told.fresh or worker is None:
        return told
    kept, version = answers.kept_answer(row.pk), answers.version_of(row.pk)
    if kept is not None and answers.failed_lately(kept, version, clock_now(), TRY_AGAIN_S):
        return told
    worker.ask(row.pk)
    worker.wait(row.pk, wait_s)
    return told_now(row)
