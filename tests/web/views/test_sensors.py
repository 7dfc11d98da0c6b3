import json
import re
from datetime import timedelta

import pytest
from django.test import Client

from leafgill.web.ingest import broker, counter, status, tokens
from leafgill.web.ingest.checks import RANGE, WORDS
from leafgill.web.ingest.taking import take
from leafgill.web.models import ReadingRow, SensorRow, TokenRow, TopicRow
from leafgill.web.store.readings import sensor_for

pytestmark = pytest.mark.django_db


@pytest.fixture
def sensor(ring):
    return sensor_for(ring.tank, "ph")


@pytest.fixture
def t(now):
    return int(now.timestamp())


def page_of(ring, sensor, who="owner"):
    return ring.get(who, f"sensors/{sensor.slug}/")


def test_a_sensor_is_made_and_its_page_opens(ring, text):
    response = ring.post("writer", "sensors/add/", kind="temperature", name="  By the  filter ")
    made = SensorRow.objects.get()
    assert (made.name, made.kind, made.unit) == ("By the filter", "temperature", "degC")
    assert response["Location"].endswith(f"/sensors/{made.slug}/")
    page = text(page_of(ring, made, "reader"))
    assert "By the filter" in page
    assert "Nothing yet." in page
    assert "By the filter" in text(ring.get("reader", "sensors/"))


def test_left_without_a_name_it_is_called_by_what_it_measures(ring):
    ring.post("owner", "sensors/add/", kind="o2")
    assert SensorRow.objects.get().name == "o2"


@pytest.mark.parametrize(
    ("typed", "words"),
    [({"kind": "salt"}, "Choose what it measures."), ({"kind": "ph", "name": "x" * 41}, "At most"),
     ({"kind": "ph"}, "There is a sensor of that name"), ({}, "Choose what it measures.")],
)  # fmt: skip
def test_what_cannot_be_meant_is_told_beside_its_field(ring, sensor, text, typed, words):
    response = ring.post("owner", "sensors/add/", **typed)
    assert response.status_code == 422
    assert words in text(response)
    assert SensorRow.objects.count() == 1


def test_a_token_is_shown_once_and_opens_the_door_until_it_is_taken_back(
    ring, sensor, text, monkeypatch
):
    monkeypatch.setattr(counter, "COUNTER", counter.DirectCounter())
    response = ring.post("owner", f"sensors/{sensor.slug}/token/", name="logger")
    assert "no-cache" in response["Cache-Control"]
    (token,) = re.findall(r"lg_[\w-]{43}", response.content.decode())
    page = page_of(ring, sensor).content.decode()
    assert "logger" in page
    assert token not in page
    (address,) = re.findall(r"http://testserver(/in/\w+/)", page)

    def send():
        client = Client(HTTP_HOST="testserver", enforce_csrf_checks=True)
        headers = {"Authorization": f"Bearer {token}"}
        body = json.dumps({"value": 6.8})
        return client.post(address, body, content_type="application/json", headers=headers)

    assert send().status_code == 200
    assert ReadingRow.objects.count() == 1
    number = TokenRow.objects.get().pk
    back = ring.post("writer", f"sensors/{sensor.slug}/token/{number}/")
    assert back.status_code == 302
    assert send().status_code == 401
    assert "No token works." in text(page_of(ring, sensor))


def test_too_many_tokens_are_told(ring, sensor, now, text):
    for _ in range(tokens.MOST_EACH):
        tokens.make(sensor, "", ring.keepers["owner"], now)
    response = ring.post("owner", f"sensors/{sensor.slug}/token/")
    assert response.status_code == 422
    assert "take one back first" in text(response)


def test_another_tanks_sensor_is_not_reached_through_ones_own(ring, other_tank, sensor):
    for rest in ("", "token/", "topic/", "remove/"):
        address = f"sensors/{sensor.slug}/{rest}"
        response = other_tank.post("owner", address) if rest else other_tank.get("owner", address)
        assert response.status_code == 404
    mine = sensor_for(other_tank.tank, "ph")
    topic = TopicRow.objects.create(sensor=sensor, topic="den/ph")
    other_tank.post("owner", f"sensors/{mine.slug}/topic/{topic.pk}/")
    assert TopicRow.objects.count() == 1


def test_topics_are_added_and_taken_away(ring, sensor, text):
    typed = {"topic": "den/all", "payload": "json", "path": "water.ph", "time_path": "at"}
    assert ring.post("writer", f"sensors/{sensor.slug}/topic/", **typed).status_code == 302
    ring.post("writer", f"sensors/{sensor.slug}/topic/", topic="den/ph", payload="number")
    page = text(page_of(ring, sensor, "reader"))
    assert "den/all JSON: the value at water.ph, its time at at" in page
    assert "den/ph a plain number, of the moment it comes" in page
    ring.post("writer", f"sensors/{sensor.slug}/topic/{TopicRow.objects.first().pk}/")
    assert TopicRow.objects.get().topic == "den/ph"


def test_a_topic_that_is_none_is_told_and_shown_again(ring, sensor, text):
    typed = {"topic": "den/#/ph", "payload": "json", "path": "a b"}
    response = ring.post("owner", f"sensors/{sensor.slug}/topic/", **typed)
    assert response.status_code == 422
    assert 'topic "den/#/ph" is none' in text(response)
    assert 'value="den/#/ph"' in response.content.decode()
    assert not TopicRow.objects.exists()


def test_doubts_and_refusals_are_told(ring, sensor, now, t, text):
    take(sensor, [t - 120, t - 60, t], [6.8, 15.0, 14.9], now)
    take(sensor, [t - 90], [float("nan")], now)
    page = text(page_of(ring, sensor))
    assert f"2 readings: {WORDS[RANGE]}" in page
    assert f"Doubted: {WORDS[RANGE]}" in page
    assert "3 readings since" in page
    assert "1 reading so far; the newest on 8 March 2025, 12:10: nan cannot be" in page
    assert f"Doubted: {WORDS[RANGE]}" in text(ring.get("reader", "diary/"))


def test_doubts_of_yesterday_are_past(ring, sensor, now, t, text):
    take(sensor, [t - 90_000], [15.0], now - timedelta(hours=25))
    assert WORDS[RANGE] in text(page_of(ring, sensor))  # its newest reading still is
    take(sensor, [t], [6.8], now)
    page = text(page_of(ring, sensor))
    assert WORDS[RANGE] not in page
    assert "1 within the last 24 hours" in page


def test_a_sensor_with_readings_stays(ring, sensor, now, t, text):
    take(sensor, t, 6.8, now)
    response = ring.post("owner", f"sensors/{sensor.slug}/remove/")
    assert response.status_code == 422
    assert "It has readings, and stays." in text(response)
    other = sensor_for(ring.tank, "o2")
    assert ring.post("owner", f"sensors/{other.slug}/remove/").status_code == 302
    assert list(SensorRow.objects.all()) == [sensor]


def test_how_the_listener_is_is_told(ring, sensor, now, text):
    assert "No broker is named yet." in text(ring.get("reader", "sensors/"))
    found = broker.broker_at("mqtt://den", "ada", "secret")
    broker.save(found)
    page = text(ring.get("reader", "sensors/"))
    assert "The broker is mqtt://den:1883; nothing has listened to it yet." in page
    since = (now - timedelta(hours=1)).isoformat()
    status.write(status.Listening(status.AWAY, since, "it cannot be reached", found.address))
    page = text(ring.get("reader", "sensors/"))
    assert "the listener is away since today 11:10: it cannot be reached." in page
    assert "secret" not in page
    assert "ada" not in page
