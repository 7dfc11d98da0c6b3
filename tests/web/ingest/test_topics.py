from datetime import UTC, datetime

import pytest

from leafgill.errors import InputError
from leafgill.web.ingest import topics
from leafgill.web.ingest.mqtt import Message, parcels_of
from leafgill.web.ingest.parcel import Sender
from leafgill.web.ingest.topics import JSON, NUMBER, Route, TopicMap, add, check_topic, reading_of
from leafgill.web.models import TopicRow
from leafgill.web.store.readings import sensor_for

NOW = datetime(2025, 3, 8, 11, 10, tzinfo=UTC)
S = int(NOW.timestamp())
PH = Sender(1, "ph", 1)


def route(topic="den/ph", sender=PH, **more):
    return Route(topic, sender, "Europe/Berlin", **more)


@pytest.mark.parametrize(
    "topic", ["a", "den/ph", "den/+/ph", "+", "#", "den/#", "/", "a/+/+/#", "ä/ö"]
)
def test_topics_as_brokers_have_them(topic):
    check_topic(topic)


@pytest.mark.parametrize(
    "topic", ["", "a+", "a/b+/c", "#/a", "a#", "den/#/ph", "$SYS/x", "a\0b", "a\n", "x" * 201]
)
def test_what_is_no_topic_is_refused(topic):
    with pytest.raises(InputError, match="topic"):
        check_topic(topic)


def test_a_number_is_of_the_moment_it_comes():
    assert reading_of(route(), b" 6,82 ", NOW) == (S, 6.82)


def test_a_place_in_json_with_its_time_and_unit():
    found = route(sender=Sender(1, "temperature", 1), payload=JSON, path="water.t",
                  time_path="at", unit="°F")  # fmt: skip
    data = b'{"water": {"t": "77"}, "at": "2025-03-08T12:09:00"}'
    time_s, value = reading_of(found, data, NOW)
    assert (time_s, round(value, 9)) == (S - 60, 25.0)
    assert found.timed


@pytest.mark.parametrize(
    "data",
    [b"", b"x", b"\xff", b"{", b"6.8", b'{"v": 6.8}', b'{"v": 6.8, "t": null}',
     b'{"v": true, "t": 1}', b'{"v": 6.8, "t": "x"}', b'{"v": NaN, "t": 1741432200}', b"[" * 60_000,
     b'{"t": 1741432200}'],
)  # fmt: skip
def test_what_is_no_reading_is_told_in_one_line(data):
    found = route(payload=JSON, path="v", time_path="t")
    with pytest.raises(InputError) as told:
        reading_of(found, data, NOW)
    assert "\n" not in str(told.value)


def test_the_map_finds_every_sensor_of_a_message():
    filters = ["den/ph", "den/+", "den/#", "hall/ph"]
    routes = [route(topic, Sender(n, "ph", 1)) for n, topic in enumerate(filters, start=1)]
    found = TopicMap(routes)
    assert [r.sender.sensor_id for r in found.of("den/ph")] == [1, 2, 3]
    assert [r.sender.sensor_id for r in found.of("den/ph/x")] == [3]
    assert found.of("nobody") == []


def test_what_has_no_time_of_its_own_is_not_kept_back_by_the_broker():
    timed = {"payload": JSON, "path": "v", "time_path": "t"}
    found = TopicMap([route("a"), route("b", **timed), route("c"), route("c", **timed)])
    assert found.filters == {"a": 0, "b": 1, "c": 1}


def message(topic="den/ph", data=b"6.8", retained=False, again=False):
    return Message(1, 1, 1, topic, data, retained, again, NOW)


@pytest.mark.parametrize("how", [{"retained": True}, {"again": True}])
def test_an_old_message_counts_only_where_it_tells_its_time(how):
    assert parcels_of(message(**how), TopicMap([route()])) == []
    timed = TopicMap([route(payload=JSON, path="v", time_path="t")])
    (parcel,) = parcels_of(message(data=b'{"v": 6.8, "t": 1741432000}', **how), timed)
    assert parcel.times_s.tolist() == [1741432000]


def test_a_message_that_is_none_becomes_a_refusal_of_each_sensor():
    found = TopicMap([route(), route("den/+", Sender(2, "ph", 1))])
    parcels = parcels_of(message(data=b"warm"), found)
    assert [(p.sender.sensor_id, p.times_s.size, p.refused, p.why) for p in parcels] == [
        (1, 0, 1, ('value "warm" is no number',)),
        (2, 0, 1, ('value "warm" is no number',)),
    ]


@pytest.mark.django_db
def test_a_topic_is_kept_with_what_belongs_to_it(sensor):
    add(sensor, route("den/ph", path="ignored", time_path="ignored"))
    add(sensor, route("den/all", payload=JSON, path="ph", time_path="at"))
    assert list(TopicRow.objects.values_list("topic", "payload", "path", "time_path")) == [
        ("den/ph", NUMBER, "", ""),
        ("den/all", JSON, "ph", "at"),
    ]
    (first, second) = topics.routes()
    assert (first.topic, first.sender.sensor_id, first.timezone) == (
        "den/ph",
        sensor.pk,
        "Europe/Berlin",
    )
    assert second.timed


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"topic": "a/#/b"}, 'topic "a/#/b" is none'),
        ({"payload": JSON, "path": "a..b"}, "path"),
        ({"payload": JSON, "path": "v", "time_path": "t["}, "path"),
        ({"payload": JSON, "path": "x" * 121}, "at most 120 letters"),
        ({"unit": "°F"}, "ph has no unit"),
        ({"topic": "there"}, "has that topic already"),
    ],
)
def test_what_cannot_be_meant_is_refused(sensor, given, words):
    add(sensor, route("there"))
    with pytest.raises(InputError, match=words):
        add(sensor, route(**{"topic": "new"} | given))
    assert TopicRow.objects.count() == 1


@pytest.mark.django_db
def test_one_topic_is_with_a_time_or_without_for_all_its_sensors(sensor, row):
    add(sensor, route("den/all", payload=JSON, path="ph", time_path="at"))
    other = sensor_for(row, "temperature")
    with pytest.raises(InputError, match="one with a time and one without"):
        add(other, route("den/all", payload=JSON, path="t"))
    add(other, route("den/all", payload=JSON, path="t", time_path="at", unit="°F"))
    with pytest.raises(InputError, match="psi"):
        add(other, route("x", unit="psi"))


@pytest.mark.django_db
def test_a_sensor_has_a_few_topics_and_one_put_away_none(sensor, row, now):
    for n in range(topics.MOST_EACH):
        add(sensor, route(f"t{n}"))
    with pytest.raises(InputError, match="at most 10 topics"):
        add(sensor, route("one more"))
    row.archived_at = now
    row.save()
    assert topics.routes() == ()


def test_something_unforeseen_in_a_message_keeps_no_other_waiting(monkeypatch, caplog):
    def broken(*_):
        raise ZeroDivisionError

    monkeypatch.setattr("leafgill.web.ingest.mqtt.reading_of", broken)
    (parcel,) = parcels_of(message(), TopicMap([route()]))
    assert (parcel.refused, parcel.why) == (1, ("something unforeseen; the log says what",))
    assert "ZeroDivisionError" in caplog.text
