"""The listener: a broker's messages become readings, acknowledged when they are on the disk."""

from __future__ import annotations

import logging
import queue
import threading
import time
from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db import Error

from leafgill.errors import InputError
from leafgill.web.clock import now as clock_now
from leafgill.web.home import home
from leafgill.web.ingest import broker as brokers
from leafgill.web.ingest import status, ways
from leafgill.web.ingest.durable import make_durable
from leafgill.web.ingest.failing import StoreError, words_of
from leafgill.web.ingest.parcel import Parcel, packed
from leafgill.web.ingest.taking import Desk
from leafgill.web.ingest.topics import TopicMap, reading_of, routes
from leafgill.web.lock import Lock

log = logging.getLogger(__name__)
LOCK_FILE = "listener.lock"
_KEEPALIVE_S = 30
# Topics may be changed while it runs.
_LOOK_EVERY_S = 5.0
_MOST_AT_ONCE = 1_000
# Readings without a time of their own that wait when nothing can be kept; older ones are of no use.
_MOST_WAITING = 10_000
_FIRST_PAUSE_S, _MOST_PAUSE_S = 0.5, 30.0
_SUBSCRIBE_AT_ONCE = 100


@dataclass(frozen=True, slots=True)
class Message:
    """A message as it came; `link` counts the connections, since an acknowledgement is of one."""

    link: int
    mid: int
    qos: int
    topic: str
    data: bytes
    retained: bool
    again: bool
    came: datetime


def parcels_of(message: Message, topics: TopicMap) -> list[Parcel]:
    """Return a message's readings, one for each sensor that reads its topic; never raises."""
    found = []
    for route in topics.of(message.topic):
        if not route.timed and (message.retained or message.again):
            continue  # nobody knows of when it is
        try:
            time_s, value = reading_of(route, message.data, message.came)
        except InputError as wrong:
            found.append(packed(route.sender, [], [], refused=1, why=[str(wrong)]))
        except Exception:
            # one message must not come again for good, and keep all others waiting
            log.exception("a message could not be read")
            why = ["something unforeseen; the log says what"]
            found.append(packed(route.sender, [], [], refused=1, why=why))
        else:
            found.append(packed(route.sender, time_s, value))
    return found


class Listener:
    """A runner that listens to the broker, where there is one and a topic to listen to.

    `told` is called with the messages of each commit, after they were acknowledged.
    """

    name = "listener"

    def __init__(self, told: Callable[[Sequence[Message]], None] | None = None) -> None:
        self._told = told
        self._waiting: queue.Queue[Message] = queue.Queue()
        self._link = 0
        self._client: Any = None
        self._topics = TopicMap(())
        self._mark: ways.Mark = ()
        self._subscribed: set[str] = set()
        self._address = ""

    def run(self, stop: threading.Event) -> None:
        """Listen until `stop`; return at once where there is nothing to listen to."""
        found = brokers.load()
        # before the topics: one that is added in between is found when it is looked again
        self._mark = ways.mark()
        self._topics = TopicMap(routes())
        if found is None or not self._topics.routes:
            return
        lock = Lock(home() / LOCK_FILE)
        if not lock.take():
            log.info("another process listens to the broker for this data folder already")
            return
        try:
            self._listen(found, stop)
        finally:
            lock.release()

    # -- in the thread that runs

    def _listen(self, found: brokers.Broker, stop: threading.Event) -> None:
        before = status.read()
        self._subscribed = set(before.subscribed if before else ())
        self._address, self._waiting = found.address, queue.Queue()
        self._client = client = brokers.client_of(found, found.client_id, manual_ack=True)
        client.on_connect, client.on_disconnect = self._connected, self._disconnected
        client.on_connect_fail, client.on_message = self._not_reached, self._came
        self._note(status.AWAY, "it is being called")
        client.connect_async(found.host, found.port, _KEEPALIVE_S)
        client.loop_start()
        try:
            self._work(found, stop)
        finally:
            client.disconnect()
            client.loop_stop()
            self._client = None
            self._note(status.STOPPED)

    def _work(self, found: brokers.Broker, stop: threading.Event) -> None:
        desk = Desk(clock_now, live=True)
        looked = time.monotonic()
        while not stop.is_set():
            group = self._group()
            if group and not self._keep(desk, group, stop):
                return  # not acknowledged: the broker sends it again
            if time.monotonic() - looked >= _LOOK_EVERY_S:
                looked = time.monotonic()
                if brokers.load() != found:
                    return
                self._look_again()

    def _group(self) -> list[Message]:
        """Return the messages that wait, at most so many; none after a short while."""
        group: list[Message] = []
        with suppress(queue.Empty):
            group.append(self._waiting.get(timeout=0.25))
            while len(group) < _MOST_AT_ONCE:
                group.append(self._waiting.get_nowait())
        return group

    def _keep(self, desk: Desk, group: list[Message], stop: threading.Event) -> bool:
        """Keep messages' readings, however long it takes, and acknowledge them; False at `stop`."""
        parcels = [parcel for message in group for parcel in parcels_of(message, self._topics)]
        pause_s = _FIRST_PAUSE_S
        while True:
            try:
                make_durable()
                if parcels:
                    desk.take_all(parcels)
                break
            except StoreError as wrong:
                self._note(status.CONNECTED, f"nothing can be kept: {wrong}")
                if pause_s == _FIRST_PAUSE_S:
                    log.warning("readings wait at the broker: %s", wrong)
                if stop.wait(pause_s):
                    return False
                pause_s = min(2 * pause_s, _MOST_PAUSE_S)
        if pause_s > _FIRST_PAUSE_S:
            self._note(status.CONNECTED)
        for message in group:
            if message.qos and message.link == self._link:
                self._client.ack(message.mid, message.qos)
        if self._told is not None:
            self._told(group)
        return True

    def _look_again(self) -> None:
        """Take up topics that were added, and leave those that were taken away."""
        try:
            mark = ways.mark()
            if mark == self._mark:
                return
            topics, self._mark = TopicMap(routes()), mark
        except Error as wrong:
            log.warning("the topics could not be looked up: %s", words_of(wrong))
            return
        if topics.routes != self._topics.routes:
            self._topics = topics
            self._subscribe()

    # -- in the client's thread

    def _connected(self, client: Any, _data: Any, _flags: Any, reason: Any, _more: Any) -> None:
        self._link += 1
        if reason.is_failure:
            self._note(status.AWAY, f"it refuses: {str(reason).lower()}")
            return
        self._subscribe()
        self._note(status.CONNECTED)

    def _disconnected(self, _client: Any, _data: Any, _flags: Any, reason: Any, _more: Any) -> None:
        self._link += 1
        told = f"the connection ended: {str(reason).lower()}" if reason.is_failure else ""
        self._note(status.AWAY, told)

    def _not_reached(self, _client: Any, _data: Any) -> None:
        self._note(status.AWAY, "it cannot be reached")

    def _came(self, _client: Any, _data: Any, came: Any) -> None:
        if not came.qos and self._waiting.qsize() >= _MOST_WAITING:
            return
        try:
            topic = came.topic
        except UnicodeDecodeError:
            topic = ""
        self._waiting.put(
            Message(
                self._link,
                came.mid,
                came.qos,
                topic,
                came.payload,
                bool(came.retain),
                bool(came.dup),
                clock_now(),
            )
        )

    # -- in either

    def _subscribe(self) -> None:
        wanted = self._topics.filters
        gone = sorted(self._subscribed - set(wanted))
        for start in range(0, len(gone), _SUBSCRIBE_AT_ONCE):
            self._client.unsubscribe(gone[start : start + _SUBSCRIBE_AT_ONCE])
        pairs = list(wanted.items())
        for start in range(0, len(pairs), _SUBSCRIBE_AT_ONCE):
            self._client.subscribe(pairs[start : start + _SUBSCRIBE_AT_ONCE])
        self._subscribed = set(wanted)

    def _note(self, state: str, words: str = "") -> None:
        subscribed = sorted(self._subscribed)
        now = clock_now().isoformat()
        status.write(status.Listening(state, now, words, self._address, subscribed))
