"""The web server: answers until it is told to stop, then finishes what it is at."""

from __future__ import annotations

import signal
import socket
import threading
import time
from collections.abc import Callable
from types import FrameType
from typing import Any

from waitress import wasyncore
from waitress.server import create_server

from leafgill.web.importing.upload import LARGEST
from leafgill.web.turns import Connections, Turns, tell_changes

_THREADS = 8
# The largest file that is taken, and the form around it; what is larger is not even read.
_MOST_BODY = max(LARGEST.values()) + 2_000_000
# Sensors keep their connections; beyond this new ones wait. Below the 1024 files that a process
# may have open on most systems.
_MOST_CONNECTIONS = 800
_TURN_S = 1.0
# What is being answered when the server is stopped has so long to end.
_FINISH_S = 10.0
# Not the host: many a proxy hands on unseen what a client wrote there.
_FROM_PROXY = {"x-forwarded-for", "x-forwarded-proto"}


class Server:
    """A server at a socket that listens already.

    `trusted_proxy` is the address whose word is taken on who asked and whether by TLS, "" for
    none; `tls` says that everything comes by TLS. `each_turn` is called every second or sooner
    while it runs, in the thread that does.
    """

    def __init__(
        self,
        application: Any,
        listening: socket.socket,
        *,
        trusted_proxy: str = "",
        tls: bool = False,
        each_turn: Callable[[], None] = lambda: None,
    ) -> None:
        proxy = (
            {"trusted_proxy": trusted_proxy, "trusted_proxy_headers": _FROM_PROXY}
            if trusted_proxy
            else {}
        )
        connections = Connections()
        self._server: Any = create_server(
            application,
            map=connections,
            sockets=[listening],
            threads=_THREADS,
            max_request_body_size=_MOST_BODY,
            channel_timeout=60,
            url_scheme="https" if tls else "http",
            ident=None,
            # without a proxy to trust they stay, so that the app sees somebody handed it on
            clear_untrusted_proxy_headers=bool(trusted_proxy),
            connection_limit=_MOST_CONNECTIONS,
            **proxy,
        )
        tell_changes(self._server, connections)
        self._turns = Turns(connections)
        self._stopping, self._each_turn = threading.Event(), each_turn

    def stop(self) -> None:
        """Have `run` return; from any thread, or a signal's handler. Twice is once."""
        if not self._stopping.is_set():
            self._stopping.set()
            self._server.pull_trigger()

    def stop_at_signals(self) -> None:
        """Stop when the system or the keyboard says so. Raises ValueError outside the main thread.

        A second time ends it at once.
        """

        def stop(number: int, _frame: FrameType | None) -> None:
            signal.signal(number, signal.SIG_DFL)
            self.stop()

        for number in (signal.SIGINT, signal.SIGTERM):
            signal.signal(number, stop)

    def run(self) -> None:
        """Answer until `stop`; then take nothing new and finish what is being answered."""
        try:
            while not self._stopping.is_set():
                self._turn(_TURN_S)
            self._server.accepting = False
            self._server.socket.close()
            self._server.del_channel()
            until = time.monotonic() + _FINISH_S
            while self._at_work() and time.monotonic() < until:
                self._turn(0.05)
        finally:
            self._server.task_dispatcher.shutdown(timeout=1)
            wasyncore.close_all(self._server._map, ignore_all=True)
            self._turns.close()

    def _turn(self, most_s: float) -> None:
        self._each_turn()
        self._turns.turn(most_s)

    def _at_work(self) -> bool:
        return any(
            channel.requests or channel.total_outbufs_len
            for channel in list(self._server.active_channels.values())
        )
