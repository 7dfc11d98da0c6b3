"""What the benches of live readings show, in a short form, with the real parts.

No time is judged here. `python -m bench.live_kills` and the others do the same at full length.
"""

import os

import pytest
from bench.live import mosquitto, postgres

from bench import live_disk, live_fuzz, live_http, live_kills, live_mqtt, live_stops


def need(found, what):
    if not found:
        missing = f"{what} is not there; on Debian: apt-get install {what}"
        if os.environ.get("LEAFGILL_TESTS_NEED_ALL"):
            pytest.fail(missing)
        pytest.skip(missing)


@pytest.fixture
def broker():
    need(mosquitto.binary(), "mosquitto")


@pytest.fixture
def database():
    try:
        postgres.binary("initdb")
    except SystemExit:
        need(None, "postgresql")


def test_killed_while_sensors_post_nothing_acknowledged_is_lost():
    found = live_kills.run(10, 6)
    assert found["kills"] == 10
    assert found["acknowledged"] > 50
    assert (found["lost"], found["other_value"]) == (0, 0)
    assert found["sound"]
    assert found["exit"] == 0


@pytest.mark.usefixtures("broker")
def test_killed_while_the_listener_listens_nothing_the_broker_had_is_lost_or_doubled():
    found = live_kills.run(3, 6, mqtt=True)
    assert found["acknowledged"] > 50
    assert (found["lost"], found["other_value"], found["not_promised"]) == (0, 0, 0)
    assert found["sound"]
    assert found["exit"] == 0


@pytest.mark.usefixtures("broker")
def test_the_broker_stopped_and_started_nothing_is_lost_or_doubled():
    found = live_stops.run(5, 6)
    assert found["acknowledged"] > 50
    assert (found["lost"], found["doubled"], found["other_value"]) == (0, 0, 0)
    assert found["sound"]
    assert found["exit"] == 0


def test_sensors_that_post_are_all_acknowledged_and_kept():
    found = live_http.run(20, 3, False)
    assert found["sent"] == found["acknowledged"] == found["kept"] == 60
    assert found["failures"] == {}
    assert found["p50_ms"] <= found["p99_ms"] <= found["max_ms"]


@pytest.mark.usefixtures("broker", "database")
def test_sensors_that_publish_are_all_acknowledged_and_kept_by_postgresql():
    found = live_mqtt.run(20, 3, True)
    assert found["database"] == "postgresql"
    assert found["sent"] == found["acknowledged"] == found["kept"] == 60


@pytest.mark.parametrize("way", live_disk.ways())
def test_a_disk_that_is_full_is_told_and_nothing_breaks(way):
    found = live_disk.run(way, 40)
    assert found["refused_while_full"] > 0
    assert found["words"] == ["the disk is full or fails; nothing was taken, send it again"]
    assert found["other_answers"] == []
    assert found["after_ok"]
    assert found["lost"] == 0
    assert found["sound"]
    assert found["exit"] == 0


@pytest.mark.parametrize("kind", ["http", "csv", "toml"])
def test_nothing_anybody_sends_breaks_anything(kind):
    _unbroken(live_fuzz.run(kind, 500))


@pytest.mark.usefixtures("broker")
def test_no_message_breaks_the_listener():
    _unbroken(live_fuzz.run("mqtt", 500))


def _unbroken(found):
    assert found["broke"] == 0, found
    assert found["impossible"] == []
    assert found["still_heard"]
    assert found["grown_mb"] < live_fuzz.MAY_GROW_MB
