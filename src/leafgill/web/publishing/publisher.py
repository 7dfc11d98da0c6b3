"""The publisher: tells the broker of each tank that its owner publishes, while all is fresh."""

from __future__ import annotations

import logging
import threading
import time
from dataclasses import dataclass

from leafgill.web.alert_models import PublishRow
from leafgill.web.alerts.book import open_alerts
from leafgill.web.clock import now as clock_now
from leafgill.web.ingest import broker as brokers
from leafgill.web.models import TankRow
from leafgill.web.publishing import messages
from leafgill.web.publishing.link import Link
from leafgill.web.publishing.messages import BEAT_S, OFF, OFFLINE, ON, ONLINE, TELL_S, Topics
from leafgill.web.publishing.permission import permission_of
from leafgill.web.publishing.standing import Memory, standing_of
from leafgill.web.working import worker

log = logging.getLogger(__name__)
_FIRST_PAUSE_S, _MOST_PAUSE_S = 1.0, 60.0
# All links together are turned so often [s].
_TURN_S = 0.25


@dataclass
class _Tank:
    """A published tank: its topics, its own connection, and what is remembered of it."""

    row: TankRow
    topics: Topics
    guard: Link
    memory: Memory
    name: str


class Publisher:
    """A runner that publishes, where there is a broker and a tank to be published.

    Each tank has a connection of its own, whose last will withdraws its permission; one more tells
    that the app runs, and the rest.
    """

    name = "publisher"

    def __init__(self, beat_s: float = BEAT_S, tell_s: float = TELL_S) -> None:
        self._beat_s, self._tell_s = beat_s, tell_s
        self._tanks: dict[int, _Tank] = {}
        self._retry_at, self._pause_s = 0.0, _FIRST_PAUSE_S

    def run(self, stop: threading.Event) -> None:
        """Publish until `stop`; at the end every permission is withdrawn."""
        found = brokers.load()
        if found is None or not PublishRow.objects.exists():
            return
        alive = messages.alive_topic(found.client_id)
        app = Link(found, f"{found.client_id}-app", (alive, OFFLINE), self._greeting(alive))
        self._retry_at, self._pause_s = 0.0, _FIRST_PAUSE_S
        try:
            self._go_on(found, app, alive, stop)
        finally:
            for tank in self._tanks.values():
                tank.guard.end((tank.topics.gas_permitted, OFF))
            self._tanks.clear()
            app.end((alive, OFFLINE))

    def _go_on(self, found: brokers.Broker, app: Link, alive: str, stop: threading.Event) -> None:
        beat_at = tell_at = 0.0
        while not stop.is_set():
            now = time.monotonic()
            if now >= beat_at:
                beat_at = now + self._beat_s
                if brokers.load() != found or not self._look_again(found, app, alive):
                    return
                # the rest only now and then
                telling = now >= tell_at
                tell_at = now + self._tell_s if telling and app.up else tell_at
                for tank in self._tanks.values():
                    self._beat(tank, app, telling=telling and app.up)
            if not self._turn([app, *(tank.guard for tank in self._tanks.values())]):
                stop.wait(_TURN_S)

    # -- connections

    def _greeting(self, alive: str):  # type: ignore[no-untyped-def]
        def greet(app: Link) -> None:
            app.keep(alive, ONLINE)
            for tank in self._tanks.values():
                self._discover(app, tank, alive)

        return greet

    def _discover(self, app: Link, tank: _Tank, alive: str) -> None:
        told = messages.discovery(tank.topics.public_id, tank.row.name, alive)
        for topic, payload in told.items():
            app.keep(topic, payload)

    def _look_again(self, found: brokers.Broker, app: Link, alive: str) -> bool:
        """Take up tanks that are published now, leave the others; return whether any is left."""
        rows = {
            row.pk: row
            for row in TankRow.objects.filter(publishrow__isnull=False, archived_at__isnull=True)
        }
        for number in [n for n in self._tanks if n not in rows]:
            gone = self._tanks.pop(number)
            gone.guard.end((gone.topics.gas_permitted, OFF))
            for topic in messages.forget_discovery(gone.topics.public_id):
                app.keep(topic, "")
        for number, row in rows.items():
            tank = self._tanks.get(number)
            if tank is None:
                tank = self._tanks[number] = _taken_up(found, row)
            elif tank.name == row.name:
                continue
            tank.row, tank.name = row, row.name
            self._discover(app, tank, alive)
        return bool(rows)

    def _turn(self, links: list[Link]) -> bool:
        """Turn every connection once, and call the broker where it is time; False without any."""
        if time.monotonic() >= self._retry_at:
            if all(link.begin() for link in links):
                self._pause_s = _FIRST_PAUSE_S
            else:
                self._retry_at = time.monotonic() + self._pause_s
                self._pause_s = min(2.0 * self._pause_s, _MOST_PAUSE_S)
        for link in links:
            link.turn(_TURN_S / len(links))
        return any(link.up for link in links)

    # -- what is told

    def _beat(self, tank: _Tank, app: Link, *, telling: bool) -> None:
        now = clock_now()
        alerts = open_alerts(tank.row)
        standing = standing_of(tank.row, tank.memory, now, alerts)
        permission = permission_of(standing)
        if permission.permitted:
            tank.guard.tell(tank.topics.gas_permitted, ON)
        else:
            tank.guard.keep(tank.topics.gas_permitted, OFF)
        app.tell(tank.topics.permission, messages.permission_json(permission, standing.now))
        if telling:
            told = worker.told_now(tank.row)
            app.tell(tank.topics.alerts, messages.alerts_json(alerts, standing.now))
            for topic, payload in (
                (tank.topics.belief, messages.belief_json(told)),
                (tank.topics.step, messages.step_json(told)),
            ):
                if payload is not None:
                    app.tell(topic, payload)


def _taken_up(found: brokers.Broker, row: TankRow) -> _Tank:
    topics = Topics(row.public_id)

    def greet(guard: Link) -> None:
        # whatever was said before this connection is not true any more
        guard.keep(topics.gas_permitted, OFF)

    client_id = f"{found.client_id}-{row.public_id}"
    guard = Link(found, client_id, (topics.gas_permitted, OFF), greet)
    return _Tank(row, topics, guard, Memory(row), row.name)
