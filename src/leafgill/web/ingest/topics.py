"""Which messages of a broker are which sensor's readings."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

import numpy as np

from leafgill.diary.sensors import SENSORS, converted
from leafgill.errors import InputError, quoted
from leafgill.tank.clock import zone
from leafgill.web.ingest.moments import moment_s
from leafgill.web.ingest.parcel import Sender, sender_of
from leafgill.web.ingest.payload import at_path, json_of, number_of, steps_of, text_of
from leafgill.web.models import SensorRow, TopicRow
from leafgill.web.store.tanks import spec_of

LONGEST_TOPIC, LONGEST_PATH, LONGEST_UNIT = 200, 120, 16
MOST_EACH = 10
NUMBER, JSON = "number", "json"


@dataclass(frozen=True, slots=True)
class Route:
    """How a message of a topic becomes a reading of a sensor."""

    topic: str
    sender: Sender
    timezone: str
    payload: str = NUMBER
    path: str = ""
    time_path: str = ""
    unit: str = ""

    @property
    def timed(self) -> bool:
        """Whether a message tells its own time; it then counts whenever it comes."""
        return bool(self.time_path)


def reading_of(route: Route, data: bytes, now: datetime) -> tuple[float, float]:
    """Return (moment in seconds since 1970, value in the sensor's unit) of a message.

    Raises InputError for a message that has none.
    """
    text = text_of(data)
    content: Any = json_of(text) if route.payload == JSON else text
    value = number_of(at_path(content, steps_of(route.path), route.path))
    if route.unit:
        value = float(converted(np.array([value]), route.sender.kind, route.unit)[0])
    given = None
    if route.timed:
        given = at_path(content, steps_of(route.time_path), route.time_path)
        if given is None:
            raise InputError(f"there is no time at {quoted(route.time_path)}")
    return moment_s(given, zone(route.timezone), now), value


def check_topic(topic: str) -> None:
    """Raise InputError for what is no topic filter (MQTT 3.1.1, section 4.7)."""
    accepted = "accepted: one such as den/ph, with + for any one step and # for all below"
    if not topic or len(topic) > LONGEST_TOPIC or not topic.isprintable():
        raise InputError(f"topic {quoted(topic)} is none; {accepted}")
    if topic.startswith("$"):
        raise InputError("a topic that begins with $ is the broker's own")
    steps = topic.split("/")
    wild = any(("+" in s and s != "+") or ("#" in s and s != "#") for s in steps)
    if wild or "#" in steps[:-1]:
        raise InputError(f"topic {quoted(topic)} is none; {accepted}")


def add(sensor: SensorRow, route: Route) -> TopicRow:
    """Let messages of a topic be a sensor's readings.

    Raises InputError for a topic, a path or a unit that is none, and when there are too many.
    """
    check_topic(route.topic)
    path, time_path = (route.path, route.time_path) if route.payload == JSON else ("", "")
    for given in (path, time_path):
        if len(given) > LONGEST_PATH:
            raise InputError(f"a path has at most {LONGEST_PATH} letters")
        steps_of(given)
    if route.unit:
        if not SENSORS[sensor.kind].unit or len(route.unit) > LONGEST_UNIT:
            raise InputError(f"{sensor.kind} has no unit {quoted(route.unit)}")
        converted(np.zeros(1), sensor.kind, route.unit)
    rows = TopicRow.objects.filter(sensor=sensor)
    if rows.count() >= MOST_EACH:
        raise InputError(f"a sensor has at most {MOST_EACH} topics")
    if rows.filter(topic=route.topic, path=path).exists():
        raise InputError("this sensor has that topic already")
    same = TopicRow.objects.filter(topic=route.topic)
    same = same.filter(time_path="") if time_path else same.exclude(time_path="")
    if same.exists():
        raise InputError(
            "another sensor reads that topic, one with a time and one without; a topic is either"
        )
    return TopicRow.objects.create(
        sensor=sensor,
        topic=route.topic,
        payload=route.payload,
        path=path,
        time_path=time_path,
        unit=route.unit,
    )


def routes() -> tuple[Route, ...]:
    """Return the routes of all sensors, those of tanks that are put away left out."""
    zones: dict[int, str] = {}
    found = []
    rows = TopicRow.objects.select_related("sensor__tank").order_by("pk")
    for row in rows.filter(sensor__tank__archived_at__isnull=True):
        tank = row.sensor.tank
        if tank.pk not in zones:
            zones[tank.pk] = spec_of(tank).timezone
        found.append(
            Route(
                row.topic,
                sender_of(row.sensor),
                zones[tank.pk],
                row.payload,
                row.path,
                row.time_path,
                row.unit,
            )
        )
    return tuple(found)


class TopicMap:
    """Routes by the topic that a message comes with."""

    def __init__(self, found: Iterable[Route]) -> None:
        self.routes = tuple(found)
        self._exact: dict[str, list[Route]] = {}
        self._wild: list[Route] = []
        for route in self.routes:
            if "+" in route.topic or "#" in route.topic:
                self._wild.append(route)
            else:
                self._exact.setdefault(route.topic, []).append(route)

    @property
    def filters(self) -> dict[str, int]:
        """Return what to subscribe to, with the quality of service.

        A reading without a time of its own is good at the moment it is sent and at no other: its
        topic is taken at 0, for which no broker keeps messages back.
        """
        found: dict[str, int] = {}
        for route in self.routes:
            found[route.topic] = max(found.get(route.topic, 0), int(route.timed))
        return found

    def of(self, topic: str) -> list[Route]:
        """Return the routes of a message."""
        from paho.mqtt.client import topic_matches_sub

        wild = [r for r in self._wild if topic_matches_sub(r.topic, topic)]
        return [*self._exact.get(topic, ()), *wild]
