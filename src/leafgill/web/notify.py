"""Telling the system's service manager how the app is (systemd's sd_notify protocol).

One datagram to the socket that `NOTIFY_SOCKET` names; without it nothing is told. See sd_notify(3)
and systemd.service(5), WatchdogSec.
"""

from __future__ import annotations

import os
import socket
import time
from collections.abc import Callable

READY, STOPPING, ALIVE = "READY=1", "STOPPING=1", "WATCHDOG=1"


def tell(word: str) -> bool:
    """Tell the service manager a word; return whether there is one and it was handed over."""
    named = os.environ.get("NOTIFY_SOCKET", "")
    if not named or not hasattr(socket, "AF_UNIX"):
        return False
    # "@" stands for the zero byte of a name that lies in no folder
    place = "\0" + named[1:] if named.startswith("@") else named
    try:
        with socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM) as out:
            out.connect(place)
            out.sendall(word.encode())
    except OSError:
        return False
    return True


class Watchdog:
    """Tells that the app is alive, often enough for a manager that ends what falls silent.

    `beat` belongs into the loop that must not hang; it costs nothing in between.
    """

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        self._clock, self._last = clock, float("-inf")
        self._every_s = _every_s()

    def beat(self) -> None:
        """Tell it where it is time."""
        if self._every_s is None:
            return
        now = self._clock()
        if now - self._last >= self._every_s:
            self._last = now
            tell(ALIVE)


def _every_s() -> float | None:
    """Return how often is often enough: a third of the patience; None where nobody waits."""
    told, whose = os.environ.get("WATCHDOG_USEC", ""), os.environ.get("WATCHDOG_PID", "")
    if not told.isdigit() or int(told) == 0 or (whose and whose != str(os.getpid())):
        return None
    return int(told) / 3e6
