"""One process beside the server that works things out; it comes back when it dies."""

from __future__ import annotations

import logging
import os
import signal
import threading
from concurrent.futures import CancelledError, Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import suppress
from multiprocessing import get_context

from leafgill.web.working.job import Job, Outcome, Work, begin, warm

log = logging.getLogger(__name__)
# On a machine that has never run the program everything is compiled first.
_WARM_WITHIN_S = 900.0
_STARTED_WITHIN_S = 30.0
# Far above what any job takes; one that hangs is ended.
JOB_WITHIN_S = 120.0
CRASHED = "the worker stopped twice while it worked this out"


class StoppedError(RuntimeError):
    """The process was told to stop for good while something was to be worked out."""


class Process:
    """A worker process. `run` may be called from one thread at a time."""

    def __init__(self, within_s: float = JOB_WITHIN_S) -> None:
        self._within_s = within_s
        self._lock = threading.Lock()
        self._stopped = False
        self._pool: ProcessPoolExecutor | None = None
        self._pid: Future[int] | None = None
        self._warm: Future[None] | None = None

    def start(self) -> None:
        """Start the process if it does not run, and warm it; returns at once."""
        with self._lock:
            if self._pool is None and not self._stopped:
                # fork would copy the server's threads' locks as they happen to stand
                self._pool = ProcessPoolExecutor(1, get_context("spawn"), initializer=begin)
                self._pid = self._pool.submit(os.getpid)
                self._warm = self._pool.submit(warm)

    def run(self, work: Work, job: Job) -> Outcome:
        """Return what comes of a job; a process that dies of it is started and tried once more.

        Raises StoppedError after `stop`.
        """
        for _ in range(2):
            try:
                return self._once(work, job)
            except (BrokenProcessPool, CancelledError, TimeoutError) as crash:
                if self._stopped:
                    raise StoppedError from None
                log.warning("the worker process stopped: %s", type(crash).__name__)
                self._end()
        return Outcome(None, CRASHED)

    def stop(self) -> None:
        """End the process for good, also when it is in the middle of something."""
        self._stopped = True
        self._end()

    def _end(self) -> None:
        with self._lock:
            pool, started = self._pool, self._pid
            self._pool = self._pid = self._warm = None
        if pool is None or started is None:
            return
        with suppress(BrokenProcessPool, TimeoutError, ProcessLookupError, PermissionError):
            os.kill(started.result(timeout=_STARTED_WITHIN_S), signal.SIGTERM)
        pool.shutdown(wait=False, cancel_futures=True)

    def condition(self) -> str:
        """Return how the process is, at once: "ready", "starting", "broken" or "not started"."""
        with self._lock:
            pool, warmed = self._pool, self._warm
        if pool is None or warmed is None:
            return "not started"
        if not warmed.done():
            return "starting"
        return "ready" if warmed.exception() is None else "broken"

    def pid(self) -> int:
        """Return the process id; the process is started where it does not run.

        Raises BrokenProcessPool, CancelledError, TimeoutError.
        """
        self.start()
        with self._lock:
            started = self._pid
        if started is None:
            raise BrokenProcessPool("stopped")
        return started.result(timeout=_STARTED_WITHIN_S)

    def _once(self, work: Work, job: Job) -> Outcome:
        self.start()
        with self._lock:
            pool, warmed = self._pool, self._warm
        if pool is None or warmed is None:  # stopped by another thread meanwhile
            raise BrokenProcessPool("stopped")
        warmed.result(timeout=_WARM_WITHIN_S)
        return pool.submit(work, job).result(timeout=self._within_s)
