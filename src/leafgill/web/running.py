"""What runs beside the web server, and who keeps it running.

A runner is anything with a `name` and a `run(stop)`. The supervisor gives each a thread of its own,
starts one that broke again, later each time, and stops all of them together.
"""

from __future__ import annotations

import logging
import threading
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Protocol

log = logging.getLogger(__name__)

# A runner that broke waits so long, doubled each time up to the most; one that ran well for a
# while before begins anew.
FIRST_PAUSE_S, MOST_PAUSE_S, WELL_S = 1.0, 60.0, 60.0
# A runner that has nothing to do is asked again after so long: settings may have changed.
REST_S = 15.0
# What all runners together have to finish what they are at.
FINISH_S = 15.0

RUNNING, RESTING, BROKEN, ENDED = "running", "resting", "broken", "ended"


class Runner(Protocol):
    """Something that works until it is told to stop."""

    @property
    def name(self) -> str:
        """One or two words for logs and for whoever looks after the app: "backups"."""

    def run(self, stop: threading.Event) -> None:
        """Work until `stop` is set, finish what was begun, and return within some seconds.

        Returning earlier says that there is nothing to do; `run` is then called again after a
        while. Raising says that it broke; `run` is called again after a pause. Each call comes in
        the same thread, whose database connections are closed between calls.
        """


@dataclass(frozen=True, slots=True)
class State:
    """How a runner is: what it does, since when [s since 1970], and how often it broke.

    `failures` are those in a row; `wrong` is the last one's kind, "" where there was none.
    """

    name: str
    doing: str
    since_s: float
    failures: int = 0
    wrong: str = ""


@dataclass(frozen=True, slots=True)
class Pauses:
    """How long is waited before a runner is called again [s]."""

    first_s: float = FIRST_PAUSE_S
    most_s: float = MOST_PAUSE_S
    well_s: float = WELL_S
    rest_s: float = REST_S

    def after(self, failures: int) -> float:
        """Return the pause after so many failures in a row, 1 or more."""
        return min(self.most_s, self.first_s * 2.0 ** min(failures - 1, 30))


class Supervisor:
    """Runs runners, each in a thread, until `stop`."""

    def __init__(
        self,
        runners: Sequence[Runner],
        pauses: Pauses = Pauses(),
        wall: Callable[[], float] = time.time,
    ) -> None:
        names = [runner.name for runner in runners]
        if len(set(names)) < len(names):
            raise ValueError(f"two runners have one name: {names}")
        self._pauses, self._wall = pauses, wall
        self._stop = threading.Event()
        self._lock = threading.Lock()
        self._states = {name: State(name, RESTING, wall()) for name in names}
        self._threads = [
            threading.Thread(target=self._keep, args=(runner,), name=runner.name, daemon=True)
            for runner in runners
        ]

    def start(self) -> None:
        """Start all of them."""
        for thread in self._threads:
            thread.start()

    def stop(self, within_s: float = FINISH_S) -> list[str]:
        """Tell all to stop and wait; return the names of those that are still at it.

        Twice is once; one that was never started has ended.
        """
        self._stop.set()
        until = time.monotonic() + within_s
        for thread in self._threads:
            if thread.ident is not None:
                thread.join(max(0.0, until - time.monotonic()))
        late = [thread.name for thread in self._threads if thread.is_alive()]
        for name in late:
            log.warning("%s did not stop in time", name)
        return late

    def states(self) -> list[State]:
        """Return how each runner is now."""
        with self._lock:
            return list(self._states.values())

    def _keep(self, runner: Runner) -> None:
        failures = 0
        while not self._stop.is_set():
            began = time.monotonic()
            self._note(runner.name, RUNNING)
            try:
                runner.run(self._stop)
            except Exception as broken:
                well = time.monotonic() - began >= self._pauses.well_s
                failures = 1 if well else failures + 1
                pause_s = self._pauses.after(failures)
                self._note(runner.name, BROKEN, failures, type(broken).__name__)
                # the whole of it once; a broker that is away for a night fills no disk
                log.warning(
                    "%s broke and is started again in %g s: %s",
                    runner.name,
                    pause_s,
                    broken,
                    exc_info=broken if failures == 1 else None,
                )
            else:
                failures, pause_s = 0, self._pauses.rest_s
                self._note(runner.name, RESTING)
            finally:
                _close_connections()
            self._stop.wait(pause_s)
        self._note(runner.name, ENDED)

    def _note(self, name: str, doing: str, failures: int | None = None, wrong: str = "") -> None:
        with self._lock:
            was = self._states[name]
            kept = was.failures if failures is None and doing == RUNNING else failures or 0
            since_s = was.since_s if was.doing == doing else self._wall()
            self._states[name] = replace(
                was, doing=doing, since_s=since_s, failures=kept, wrong=wrong or was.wrong
            )


def _close_connections() -> None:
    from django.db import connections

    connections.close_all()


# -- the supervisor of this process, for the pages that tell of it

_current: Supervisor | None = None


def set_current(supervisor: Supervisor | None) -> None:
    """Let `current` give a supervisor, or none any more."""
    global _current  # noqa: PLW0603 - a process runs the app once
    _current = supervisor


def current() -> Supervisor | None:
    """Return the supervisor that runs in this process, None where there is none."""
    return _current
