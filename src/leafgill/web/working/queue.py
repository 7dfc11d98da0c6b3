"""Which tanks wait to be worked out: each once, in the order they first asked."""

from __future__ import annotations

import logging
import threading
import time
from collections.abc import Callable

log = logging.getLogger(__name__)

Turn = Callable[[int], None]
# Rig and gas left wait until nothing was asked for so long: an entry comes before them.
QUIET_S = 2.0


class Queue:
    """Runs one piece of work at a time in a thread of its own, which ends when all is done.

    `first` is done for a tank as soon as its turn comes; a tank that asks again while it waits
    keeps its place, one that asks while it is worked on is done again. `after` follows when it
    has been quiet.
    """

    def __init__(self, first: Turn, after: Turn, quiet_s: float = QUIET_S) -> None:
        self._first, self._after, self._quiet_s = first, after, quiet_s
        self._changed = threading.Condition()
        self._waiting: dict[int, None] = {}
        self._later: dict[int, None] = {}
        self._current: int | None = None
        self._thread: threading.Thread | None = None
        self._ending = False

    def ask(self, tank_id: int) -> None:
        """Put a tank in the queue; returns at once."""
        self._put(self._waiting, tank_id)

    def ask_later(self, tank_id: int) -> None:
        """Have what follows later done for a tank when it is quiet; returns at once."""
        self._put(self._later, tank_id)

    def _put(self, places: dict[int, None], tank_id: int) -> None:
        with self._changed:
            places[tank_id] = None
            if self._thread is None:
                self._ending = False
                self._thread = threading.Thread(target=self._run, name="working", daemon=True)
                self._thread.start()
            self._changed.notify_all()

    def has(self, tank_id: int) -> bool:
        """Return whether a tank waits or is worked on."""
        with self._changed:
            return self._has(tank_id)

    def wait(self, tank_id: int, wait_s: float) -> bool:
        """Wait until a tank is done, at most so long; return whether it is."""
        with self._changed:
            return self._changed.wait_for(lambda: not self._has(tank_id), wait_s)

    def end(self) -> None:
        """Let the thread go when what it does is done; what waits is let go."""
        with self._changed:
            self._ending = True
            self._waiting.clear()
            self._later.clear()
            self._changed.notify_all()
            thread = self._thread
        if thread is not None:
            thread.join(timeout=5.0)

    def more_urgent(self) -> bool:
        """Return whether something waits that comes before what follows later."""
        with self._changed:
            return bool(self._waiting) or self._ending

    def _has(self, tank_id: int) -> bool:
        return tank_id in self._waiting or self._current == tank_id

    def _run(self) -> None:
        while (turn := self._next()) is not None:
            work, tank_id = turn
            try:
                work(tank_id)
            except Exception:
                # one tank's trouble is not the next one's
                log.exception("working out tank %s broke", tank_id)
            with self._changed:
                self._current = None
                self._changed.notify_all()

    def _next(self) -> tuple[Turn, int] | None:
        """Return the next piece of work; None ends the thread."""
        quiet_from = time.monotonic()
        with self._changed:
            while not self._ending:
                if self._waiting:
                    self._current = next(iter(self._waiting))
                    del self._waiting[self._current]
                    self._later[self._current] = None
                    return self._first, self._current
                left_s = quiet_from + self._quiet_s - time.monotonic()
                if self._later and left_s <= 0.0:
                    tank_id = next(iter(self._later))
                    del self._later[tank_id]
                    return self._after, tank_id
                if not self._later:
                    break
                self._changed.wait(left_s)
            # under the same lock, so that who asks next starts another
            self._thread = None
            return None
