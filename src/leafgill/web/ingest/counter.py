"""One thread that takes in what many hand over: whoever waits, waits for one commit of all."""

from __future__ import annotations

import logging
import queue
import threading
from concurrent.futures import Future
from typing import Protocol

from django.db import connection

from leafgill.web.clock import now as clock_now
from leafgill.web.ingest.durable import make_durable
from leafgill.web.ingest.failing import StoreError, UnsureError
from leafgill.web.ingest.parcel import Parcel, Taken
from leafgill.web.ingest.taking import Desk

log = logging.getLogger(__name__)
# Beyond this a commit takes so long that whoever waits for it is no better off.
_MOST_AT_ONCE = 2_000


class Counter(Protocol):
    """Where a parcel is handed over."""

    def hand_over(self, parcel: Parcel, within_s: float) -> Taken:
        """Return what became of a parcel once it is safely kept. Raises StoreError."""


class DirectCounter:
    """Takes each parcel in within the call, in the calling thread."""

    def hand_over(self, parcel: Parcel, within_s: float) -> Taken:
        """Return what became of a parcel. Raises StoreError."""
        return Desk(clock_now).take_all([parcel])[0]


class GroupCounter:
    """Takes parcels in from any thread, those that wait together in one transaction."""

    def __init__(self) -> None:
        self._waiting: queue.SimpleQueue[tuple[Parcel, Future[Taken]]] = queue.SimpleQueue()
        self._lock = threading.Lock()
        self._thread: threading.Thread | None = None

    def hand_over(self, parcel: Parcel, within_s: float) -> Taken:
        """Return what became of a parcel once it is safely kept.

        Raises StoreError where it cannot be kept, and UnsureError where that takes longer [s].
        """
        done: Future[Taken] = Future()
        self._waiting.put((parcel, done))
        self._start()
        try:
            return done.result(timeout=within_s)
        except TimeoutError:
            raise UnsureError("the database is busy") from None

    def _start(self) -> None:
        if self._thread is None:
            with self._lock:
                if self._thread is None:
                    self._thread = threading.Thread(target=self._run, name="counter", daemon=True)
                    self._thread.start()

    def _run(self) -> None:
        desk = Desk(clock_now, live=True)
        while True:
            group = [self._waiting.get()]
            while len(group) < _MOST_AT_ONCE:
                try:
                    group.append(self._waiting.get_nowait())
                except queue.Empty:
                    break
            self._take(desk, group)

    def _take(self, desk: Desk, group: list[tuple[Parcel, Future[Taken]]]) -> None:
        try:
            make_durable()
            taken = desk.take_all([parcel for parcel, _ in group])
        except StoreError as wrong:
            for _, done in group:
                done.set_exception(wrong)
        except Exception:
            log.exception("readings could not be taken in")
            connection.close()
            for _, done in group:
                done.set_exception(StoreError("something unforeseen; the log says what"))
        else:
            for (_, done), found in zip(group, taken, strict=True):
                done.set_result(found)


# Tests, whose database is another thread's secret, put a DirectCounter here.
COUNTER: Counter = GroupCounter()
