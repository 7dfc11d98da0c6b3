"""The server's turns: which connections have something, without asking each of them every time.

The server's own loop asks every connection at every turn what it waits for. With hundreds of
sensors that keep theirs open, that is most of its work; here a connection is asked again only when
something happened to it, and all of them once a second.
"""

from __future__ import annotations

import select
import threading
import time
from collections import deque
from contextlib import suppress
from typing import Any

from waitress import wasyncore
from waitress.channel import HTTPChannel

_SWEEP_S = 1.0
_working = threading.local()


class Connections(dict[int, Any]):
    """The server's connections by file number; it notes which of them changed."""

    def __init__(self) -> None:
        super().__init__()
        # from any thread
        self.changed: deque[int] = deque()
        self.gone: deque[int] = deque()

    def __setitem__(self, number: int, connection: Any) -> None:
        super().__setitem__(number, connection)
        self.changed.append(number)

    def __delitem__(self, number: int) -> None:
        super().__delitem__(number)
        self.gone.append(number)


class Channel(HTTPChannel):  # type: ignore[misc]
    """A connection that is known by the thread that answers it."""

    def service(self) -> None:
        """Answer a request, in a thread of the server's."""
        _working.channel = self
        try:
            super().service()
        finally:
            _working.channel = None


def tell_changes(server: Any, connections: Connections) -> None:
    """Have a server's threads note whose connection changed before they wake it."""
    server.channel_class = Channel
    pull = server.pull_trigger

    def pull_trigger() -> None:
        channel = getattr(_working, "channel", None)
        if channel is not None:
            connections.changed.append(channel._fileno)
        pull()

    server.pull_trigger = pull_trigger


class Turns:
    """Waits for what happens to connections, and has them deal with it."""

    def __init__(self, connections: Connections) -> None:
        self._all = connections
        self._poll, self._unit = _poller()
        self._watched: dict[int, int] = {}
        self._swept_s = -_SWEEP_S

    def turn(self, most_s: float) -> None:
        """Deal with what happens next, or return after so long."""
        if self._poll is None:  # Windows
            wasyncore.loop(timeout=most_s, map=self._all, count=1)
            return
        self._look()
        for number, happened in self._poll.poll(most_s * self._unit):
            connection = self._all.get(number)
            if connection is not None:
                wasyncore.readwrite(connection, happened)
            self._all.changed.append(number)

    def close(self) -> None:
        """Give back what the system lent for waiting."""
        if hasattr(self._poll, "close"):
            self._poll.close()

    def _look(self) -> None:
        """Ask the connections that changed what they wait for; every second, all of them."""
        now_s = time.monotonic()
        if now_s - self._swept_s >= _SWEEP_S:
            self._swept_s = now_s
            self._all.changed.extend({*self._all, *self._watched})
        while self._all.gone:
            # its number may be another's by now, which the system has to be told of anew
            self._leave(self._all.gone.popleft())
        for _ in range(len(self._all.changed)):
            self._watch(self._all.changed.popleft())

    def _watch(self, number: int) -> None:
        connection, wanted = self._all.get(number), 0
        if connection is not None:
            if connection.readable():
                wanted |= select.POLLIN | select.POLLPRI
            if connection.writable() and not connection.accepting:
                wanted |= select.POLLOUT
        if wanted:
            if number not in self._watched:
                self._poll.register(number, wanted)
            elif self._watched[number] != wanted:
                self._poll.modify(number, wanted)
            self._watched[number] = wanted
        else:
            self._leave(number)

    def _leave(self, number: int) -> None:
        if self._watched.pop(number, None) is not None:
            # one that is shut has left the system's list by itself
            with suppress(OSError, KeyError):
                self._poll.unregister(number)


def _poller() -> tuple[Any, float]:
    """Return the system's way to wait for many connections, and its unit of time in a second."""
    if hasattr(select, "epoll"):
        return select.epoll(), 1.0
    return (select.poll(), 1000.0) if hasattr(select, "poll") else (None, 1.0)
