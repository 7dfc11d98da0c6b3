"""A connection to the broker that lives only as long as somebody turns it.

Nothing here has a thread of its own: when what decides hangs, the connection is not kept alive
either, and the broker tells the last will.
"""

from __future__ import annotations

import logging
import time
from collections.abc import Callable
from typing import Any

from leafgill.web.ingest import broker as brokers

log = logging.getLogger(__name__)
# The broker tells the will when nothing came for half as long again.
KEEPALIVE_S = 20
_CONNECT_WITHIN_S = 5.0
_LAST_WORDS_S = 3.0


class Link:
    """One connection with a retained last will; `greet` is called each time it is let in."""

    def __init__(
        self,
        broker: brokers.Broker,
        client_id: str,
        will: tuple[str, str],
        greet: Callable[[Link], None],
    ) -> None:
        self._broker, self._greet = broker, greet
        self._client = brokers.client_of(broker, client_id, clean=True)
        self._client.connect_timeout = _CONNECT_WITHIN_S
        self._client.will_set(*will, qos=1, retain=True)
        self._client.on_connect = self._connected
        self._client.on_disconnect = self._disconnected
        self._begun = False
        self.up = False

    def begin(self) -> bool:
        """Call the broker where that has not been done; return whether it is there."""
        if self._begun:
            return True
        try:
            self._client.connect(self._broker.host, self._broker.port, KEEPALIVE_S)
        except (OSError, ValueError) as wrong:
            log.info("the broker cannot be reached: %s", wrong)
            return False
        self._begun = True
        return True

    def turn(self, wait_s: float) -> None:
        """Send and receive what there is, for at most so long."""
        if self._begun and self._client.loop(wait_s) != 0:
            self._begun = self.up = False

    def tell(self, topic: str, payload: str) -> None:
        """Say something that is true of now; it is lost where nobody hears it, and never late."""
        if self.up:
            # quality 0 is not kept for later: an old word is worse than none
            self._client.publish(topic, payload, qos=0, retain=False)

    def keep(self, topic: str, payload: str) -> Any:
        """Have the broker keep something that may always be taken for true."""
        return self._client.publish(topic, payload, qos=1, retain=True) if self.up else None

    def end(self, last_words: tuple[str, str]) -> None:
        """Say the last words, retained, as the will would, and go."""
        told = self.keep(*last_words)
        until = time.monotonic() + _LAST_WORDS_S
        while told is not None and self._begun and time.monotonic() < until:
            if told.is_published():
                break
            self.turn(0.05)
        else:
            # not heard for sure: without a goodbye the broker tells the will itself
            self._drop()
            return
        self._client.disconnect()
        self.turn(0.05)
        self._drop()

    def _drop(self) -> None:
        sock = self._client.socket()
        if sock is not None:
            sock.close()
        self._begun = self.up = False

    def _connected(self, _client: Any, _data: Any, _flags: Any, reason: Any, _more: Any) -> None:
        if reason.is_failure:
            log.warning("the broker refuses: %s", str(reason).lower())
            return
        self.up = True
        self._greet(self)

    def _disconnected(self, _client: Any, _data: Any, _flags: Any, _reason: Any, _m: Any) -> None:
        self.up = False
