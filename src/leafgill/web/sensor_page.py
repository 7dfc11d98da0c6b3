"""One sensor as its page shows it: what it sent, what was odd of it, and its ways in."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, tzinfo
from typing import Any

from django.db.models import Count

from leafgill.answer import figures
from leafgill.diary import SENSORS
from leafgill.web.forms.field import Choice, FormField
from leafgill.web.forms.tank_words import capital
from leafgill.web.ingest import broker, status
from leafgill.web.ingest.checks import WORDS
from leafgill.web.ingest.tokens import LONGEST_NAME, open_tokens
from leafgill.web.ingest.topics import JSON, NUMBER
from leafgill.web.models import ReadingRow, SensorRow, TopicRow
from leafgill.web.views.helping import stamp

_DAY_S = 86_400


@dataclass(frozen=True, slots=True)
class Doubts:
    """How often each doubt was had within a day: (words, count) each, the most frequent first."""

    readings: int
    lines: tuple[tuple[str, int], ...]


def doubts_of(sensor: SensorRow, now: datetime) -> Doubts:
    """Return a sensor's doubts of the last 24 hours."""
    since = int(now.timestamp()) - _DAY_S
    rows = ReadingRow.objects.filter(sensor=sensor, time_s__gt=since).values_list("flag")
    counts = dict(rows.annotate(count=Count("pk")).order_by())
    lines = [
        (words, sum(count for flag, count in counts.items() if flag & bit))
        for bit, words in WORDS.items()
    ]
    seen = sorted((line for line in lines if line[1]), key=lambda line: -line[1])
    return Doubts(sum(counts.values()), tuple(seen))


def tokens_shown(sensor: SensorRow, here: tzinfo) -> list[dict[str, Any]]:
    """Return the tokens that work, as the page lists them."""
    return [
        {
            "number": token.pk,
            "name": token.name or "without a name",
            "made": stamp(token.made_at.astimezone(here)),
        }
        for token in open_tokens(sensor)
    ]


def topics_shown(sensor: SensorRow) -> list[dict[str, Any]]:
    """Return the topics of a sensor, as the page lists them."""
    return [
        {"number": row.pk, "topic": row.topic, "words": _topic_words(row)}
        for row in TopicRow.objects.filter(sensor=sensor).order_by("pk")
    ]


def _topic_words(row: TopicRow) -> str:
    if row.payload == NUMBER:
        words = "a plain number, of the moment it comes"
    else:
        place = f"at {row.path}" if row.path else "the whole message"
        when = f"its time at {row.time_path}" if row.time_path else "of the moment it comes"
        words = f"JSON: the value {place}, {when}"
    return f"{words}, in {row.unit}" if row.unit else words


def listener_words(now: datetime, here: tzinfo) -> str:
    """Return how the listener is, in a sentence."""
    found, how = broker.load(), status.read()
    if found is None:
        return (
            "No broker is named yet. On the machine that runs the app: leafgill broker mqtt://HOST"
        )
    if how is None or how.address != found.address:
        return f"The broker is {found.address}; nothing has listened to it yet."
    since = how.since_when
    at = "" if since is None else f" since {figures.moment(since.astimezone(here), now)}"
    told = f": {how.words}" if how.words else ""
    return f"The broker is {found.address}; the listener is {how.state}{at}{told}."


def sensor_fields(typed: dict[str, str], errors: dict[str, str]) -> list[FormField]:
    """Return the fields by which a sensor is made."""
    kinds = tuple(Choice(s.name, capital(s.says)) for s in SENSORS.values())
    return [
        FormField("kind", "What it measures", "choice", typed.get("kind", ""), choices=kinds,
                  error=errors.get("kind", "")),
        FormField("name", "Name", value=typed.get("name", ""), error=errors.get("name", ""),
                  help="Left empty, it is called by what it measures."),
    ]  # fmt: skip


def token_fields(typed: dict[str, str]) -> list[FormField]:
    """Return the field by which a token is made."""
    return [
        FormField("name", "What sends", value=typed.get("name", "")[:LONGEST_NAME], apart="token",
                  help="So that you know later whose token it is."),
    ]  # fmt: skip


def topic_fields(sensor: SensorRow, typed: dict[str, str]) -> list[FormField]:
    """Return the fields by which a topic is added."""
    unit = SENSORS[sensor.kind].unit
    fields = [
        FormField("topic", "Topic", value=typed.get("topic", ""), required=True, apart="topic",
                  help="As den/ph; + stands for any one step, # for all below."),
        FormField("payload", "A message is", "radio", typed.get("payload", NUMBER), apart="topic",
                  choices=(Choice(NUMBER, "a plain number"), Choice(JSON, "JSON"))),
        FormField("path", "Where the value is in JSON", value=typed.get("path", ""), apart="topic",
                  help="As water.ph or readings[0].value."),
        FormField("time_path", "Where its time is in JSON", value=typed.get("time_path", ""),
                  apart="topic", help="A reading that tells its time counts also when it comes "
                  "late. Left empty, it is of the moment it comes, and none is kept for later."),
    ]  # fmt: skip
    if unit:
        fields.append(
            FormField("unit", "Unit of the value", value=typed.get("unit", ""), apart="topic",
                      help="Left empty, the sensor's own.")
        )  # fmt: skip
    return fields
