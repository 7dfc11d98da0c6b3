"""The listener with a real broker. What survives kills and stops is in tests/bench/test_live_*."""

import json
import os
import subprocess
import sys
import threading
import time
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[3]))
from bench.live.mosquitto import Mosquitto, binary

from leafgill.web.ingest import mqtt, status
from leafgill.web.ingest.broker import Broker, client_of, load, save
from leafgill.web.ingest.mqtt import Listener
from leafgill.web.ingest.topics import JSON, Route, add
from leafgill.web.lock import Lock

pytestmark = pytest.mark.django_db
S = 1_741_430_000


@pytest.fixture(autouse=True)
def _here(monkeypatch, now):
    monkeypatch.setenv("LEAFGILL_NOW", now.isoformat())
    monkeypatch.setattr(mqtt, "make_durable", lambda: None)


def started(folder, *more):
    if binary() is None:
        missing = "mosquitto is not there; on Debian: apt-get install mosquitto"
        if os.environ.get("LEAFGILL_TESTS_NEED_ALL"):
            pytest.fail(missing)
        pytest.skip(missing)
    folder.mkdir()
    found = Mosquitto(folder, *more)
    found.start()
    return found


@pytest.fixture
def broker(tmp_path):
    found = started(tmp_path / "broker")
    save(Broker("127.0.0.1", found.port, client_id="leafgill-test"))
    yield found
    found.stop()


@pytest.fixture
def topic(sensor):
    return add(sensor, Route("den/ph", None, "", JSON, "v", "t")).topic


def said(value, time_s):
    return json.dumps({"v": value, "t": time_s})


def publish(port, messages, **login):
    """Publish (topic, payload, retained) at QoS 1, each acknowledged by the broker."""
    client = client_of(Broker("127.0.0.1", port, **login), "publisher", clean=True)
    client.connect("127.0.0.1", port)
    client.loop_start()
    for where, payload, *retained in messages:
        client.publish(where, payload, qos=1, retain=bool(retained)).wait_for_publish(10)
    client.disconnect()
    client.loop_stop()


def listen(until, *, beside=lambda: None, within_s=30.0):
    """Listen in this thread until `until(messages so far)`; `beside` runs once it is connected."""
    stop, came = threading.Event(), []

    def told(messages):
        came.extend(messages)
        if until(came):
            stop.set()

    def other():
        end = time.monotonic() + within_s
        while time.monotonic() < end and (status.read() or _OFF).state != status.CONNECTED:
            if stop.wait(0.02):
                return
        time.sleep(0.2)
        beside()

    thread = threading.Thread(target=other)
    watch = threading.Timer(within_s, stop.set)
    thread.start()
    watch.start()
    Listener(told).run(stop)
    watch.cancel()
    thread.join()
    assert until(came), f"{len(came)} messages came; {status.read()}"
    return came


_OFF = status.Listening(status.STOPPED, "")


def test_a_message_is_kept_and_then_acknowledged(broker, topic, sensor, kept):
    listen(
        lambda came: len(came) >= 2,
        beside=lambda: publish(broker.port, [(topic, said(6.8, S)), (topic, said(6.9, S + 60))]),
    )
    assert kept(sensor) == [(S, 6.8, 0), (S + 60, 6.9, 0)]
    assert status.read().state == status.STOPPED
    assert status.read().subscribed == [topic]
    # all were acknowledged: nothing comes again
    again = []
    stop = threading.Event()
    threading.Timer(1.0, stop.set).start()
    Listener(again.extend).run(stop)
    assert again == []


def test_what_comes_while_nobody_listens_is_kept_by_the_broker(broker, topic, sensor, kept):
    listen(lambda came: came, beside=lambda: publish(broker.port, [(topic, said(6.8, S))]))
    publish(broker.port, [(topic, said(6.8 + 0.01 * n, S + 60 * n)) for n in range(1, 50)])
    listen(lambda came: len(came) >= 49)
    assert len(kept(sensor)) == 50


def test_what_was_not_acknowledged_comes_again_and_is_there_once(
    broker, topic, sensor, kept, monkeypatch
):
    # taken in, and the process ends before it is acknowledged
    monkeypatch.setattr("paho.mqtt.client.Client.ack", lambda *_: 0)
    listen(lambda came: came, beside=lambda: publish(broker.port, [(topic, said(6.8, S))]))
    monkeypatch.undo()
    monkeypatch.setattr(mqtt, "make_durable", lambda: None)
    monkeypatch.setenv("LEAFGILL_HOME", str(Path(broker._config).parents[1]))
    (again,) = listen(lambda came: came)
    assert again.again
    assert kept(sensor) == [(S, 6.8, 0)]


def test_where_nothing_can_be_kept_it_waits_at_the_broker(broker, topic, sensor, kept, monkeypatch):
    wrong = iter([mqtt.StoreError("the disk is full or fails")] * 2)
    real = mqtt.Desk.take_all

    def sometimes(desk, parcels):
        for error in wrong:
            raise error
        return real(desk, parcels)

    monkeypatch.setattr(mqtt.Desk, "take_all", sometimes)
    monkeypatch.setattr(mqtt, "_FIRST_PAUSE_S", 0.05)
    seen = []
    monkeypatch.setattr(status, "write", _noting(seen, status.write))
    listen(lambda came: came, beside=lambda: publish(broker.port, [(topic, said(6.8, S))]))
    assert kept(sensor) == [(S, 6.8, 0)]
    words = [told.words for told in seen]
    assert words.count("nothing can be kept: the disk is full or fails") == 2
    assert words[-2:] == ["", ""]


def _noting(seen, real):
    def write(told):
        seen.append(told)
        real(told)

    return write


def test_nonsense_is_acknowledged_and_told_to_the_keeper(broker, topic, sensor, kept):
    messages = [(topic, b"\xff"), (topic, b""), (topic, "warm"), (topic, said(6.8, S))]
    listen(lambda came: len(came) >= 4, beside=lambda: publish(broker.port, messages))
    assert kept(sensor) == [(S, 6.8, 0)]
    sensor.refresh_from_db()
    assert sensor.refused_count >= 1


def test_a_retained_number_of_nobody_knows_when_is_left(broker, sensor, kept):
    plain = add(sensor, Route("den/plain", None, "")).topic
    publish(broker.port, [(plain, "6.1", True)])
    listen(lambda came: len(came) >= 2, beside=lambda: publish(broker.port, [(plain, "6.8")]))
    assert [v for _, v, _ in kept(sensor)] == [6.8]


def test_topics_are_taken_up_and_left_while_it_runs(broker, topic, sensor, kept, monkeypatch):
    monkeypatch.setattr(mqtt, "_LOOK_EVERY_S", 0.1)
    # the store is this thread's alone, so what would be changed in it is told by hand
    found, marks = [*mqtt.routes()], [(1,)]
    monkeypatch.setattr(mqtt, "routes", lambda: tuple(found))
    monkeypatch.setattr(mqtt.ways, "mark", lambda: marks[0])

    def beside():
        publish(broker.port, [(topic, said(6.8, S))])
        time.sleep(0.5)
        found[:] = [Route("hall/ph", found[0].sender, "UTC", JSON, "v", "t")]
        marks[0] = (2,)
        time.sleep(1.0)
        publish(broker.port, [(topic, said(6.9, S + 60)), ("hall/ph", said(7.0, S + 120))])

    came = listen(lambda came: len(came) >= 2, beside=beside)
    assert [m.topic for m in came] == ["den/ph", "hall/ph"]
    assert status.read().subscribed == ["hall/ph"]


def test_a_topic_left_while_nobody_listened_is_left_at_the_next_start(broker, topic, sensor):
    listen(lambda came: came, beside=lambda: publish(broker.port, [(topic, said(6.8, S))]))
    sensor.topicrow_set.all().delete()
    add(sensor, Route("hall/ph", None, "", JSON, "v", "t"))

    def beside():
        publish(broker.port, [(topic, said(6.9, S + 60)), ("hall/ph", said(7.0, S + 120))])

    came = listen(lambda came: came, beside=beside)
    assert [m.topic for m in came] == ["hall/ph"]


def test_with_name_and_password_and_a_wrong_one_is_told(tmp_path, sensor, kept):
    words = tmp_path / "passwords"
    made = subprocess.run(
        ["mosquitto_passwd", "-b", "-c", str(words), "ada", "the long one"], check=False
    )
    assert made.returncode == 0
    found = started(tmp_path / "broker", "allow_anonymous false", f"password_file {words}")
    try:
        topic = add(sensor, Route("den/ph", None, "", JSON, "v", "t")).topic
        login = {"user": "ada", "password": "the long one"}
        save(Broker("127.0.0.1", found.port, client_id="c", **login | {"password": "wrong"}))
        stop = threading.Event()
        threading.Timer(1.5, stop.set).start()
        seen = []
        real = status.write
        status.write = _noting(seen, real)
        try:
            Listener().run(stop)
        finally:
            status.write = real
        assert any("it refuses: not authorized" in told.words for told in seen)
        save(Broker("127.0.0.1", found.port, client_id="c", **login))
        listen(
            lambda came: came,
            beside=lambda: publish(found.port, [(topic, said(6.8, S))], **login),
        )
        assert len(kept(sensor)) == 1
    finally:
        found.stop()


def test_without_a_broker_a_topic_or_the_right_there_is_nothing_to_do(topic, tmp_path):
    stop = threading.Event()
    Listener().run(stop)
    save(Broker("127.0.0.1", 9, client_id="c"))
    lock = Lock(tmp_path / mqtt.LOCK_FILE)
    assert lock.take()
    Listener().run(stop)
    lock.release()
    assert status.read() is None
    assert load() is not None


def test_a_broker_that_is_not_there_is_told(topic):
    save(Broker("127.0.0.1", 9, client_id="c"))
    stop = threading.Event()
    threading.Timer(0.8, stop.set).start()
    seen = []
    real = status.write
    status.write = _noting(seen, real)
    try:
        Listener().run(stop)
    finally:
        status.write = real
    assert "it cannot be reached" in [told.words for told in seen]
