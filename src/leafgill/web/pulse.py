"""How the running app is: gathered in its process, kept in a file for whoever looks from outside.

The file lies in the data folder and is written anew every few seconds; `leafgill doctor` reads it.
"""

from __future__ import annotations

import json
import os
import threading
import time
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import Any

from leafgill.web import running
from leafgill.web.home import home

FILE = "running.json"
EVERY_S = 15.0
# A pulse that is older has stopped: the app hangs, or the folder cannot be written.
STILL_ALIVE_S = 60.0


def gathered(now_s: float) -> dict[str, Any]:
    """Return how this process is, in plain data: its runners and its worker."""
    from leafgill.web.working import worker

    supervisor = running.current()
    states = [] if supervisor is None else supervisor.states()
    return {
        "pid": os.getpid(),
        "at_s": now_s,
        "worker": worker.condition(),
        "runners": [
            {
                "name": state.name,
                "doing": state.doing,
                "since_s": state.since_s,
                "failures": state.failures,
                "wrong": state.wrong,
            }
            for state in states
        ],
    }


class Pulse:
    """A runner that keeps the file fresh and takes it away at the end."""

    name = "pulse"

    def __init__(
        self,
        about: dict[str, Any],
        every_s: float = EVERY_S,
        now_s: Callable[[], float] = time.time,
    ) -> None:
        self._about, self._every_s, self._now_s = about, every_s, now_s

    def run(self, stop: threading.Event) -> None:
        """Write until told to stop. Raises OSError where the folder cannot be written."""
        path = home() / FILE
        try:
            while not stop.is_set():
                _write(path, self._about | gathered(self._now_s()))
                stop.wait(self._every_s)
        finally:
            with suppress(OSError):
                path.unlink(missing_ok=True)


def _write(path: Path, told: dict[str, Any]) -> None:
    part = path.with_name(f".{path.name}-{os.getpid()}")
    try:
        part.write_text(json.dumps(told), encoding="utf-8")
        part.replace(path)
    finally:
        part.unlink(missing_ok=True)


def read() -> dict[str, Any] | None:
    """Return what the file tells, None where there is none that can be read."""
    try:
        told = json.loads((home() / FILE).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return None
    return told if isinstance(told, dict) and isinstance(told.get("at_s"), int | float) else None
