"""From the store to the facts that the rules go by."""

from datetime import timedelta

import pytest

from leafgill.web.alerts.gathering import facts_of
from leafgill.web.ingest import status, tokens
from leafgill.web.ingest.broker import Broker, save
from leafgill.web.models import TaskRow, TokenRow, TopicRow
from leafgill.web.store.readings import add_readings, sensor_for

pytestmark = pytest.mark.django_db


@pytest.fixture
def now(facts):
    return facts().now


def test_a_new_tank_has_nothing(den, now):
    found = facts_of(den, now)
    assert (found.payload, found.asked_for, found.error) == ({}, None, "")
    assert (found.sends, found.overdue, found.broker_away) == ((), (), None)
    assert found.began == now
    assert found.now.tzinfo.key == "Europe/Berlin"


def test_what_was_worked_out_is_there_with_why_nothing_newer_is(den, answered, now, payload):
    answered(error="no KH")
    found = facts_of(den, now)
    assert found.payload == payload()
    assert (found.asked_for, found.error) == (now, "no KH")


def test_only_sensors_that_send_by_themselves_can_fall_silent(den, keeper, now):
    second = int(now.timestamp())
    sensors = {kind: sensor_for(den, kind) for kind in ("ph", "temperature", "o2")}
    for sensor in sensors.values():
        add_readings(sensor, [second - 18_000 + 60 * n for n in range(4)], [7.0] * 4)
    assert facts_of(den, now).sends == ()
    tokens.make(sensors["ph"], "logger", keeper, now)
    TopicRow.objects.create(sensor=sensors["o2"], topic="den/o2")
    found = facts_of(den, now)
    assert [one.name for one in found.sends] == ["ph", "o2"]
    assert {one.gap_s for one in found.sends} == {60.0}
    assert found.sends[0].last == now - timedelta(hours=5) + timedelta(minutes=3)
    TokenRow.objects.update(revoked_at=now)
    assert [one.name for one in facts_of(den, now).sends] == ["o2"]


def test_a_sensor_that_never_sent_is_not_silent(den, keeper, now):
    tokens.make(sensor_for(den, "ph"), "logger", keeper, now)
    assert facts_of(den, now).sends == ()


def test_the_broker_counts_where_a_topic_needs_it(den, now):
    broker = Broker("127.0.0.1", 1, client_id="leafgill-test")
    save(broker)
    since = now - timedelta(hours=1)
    told = status.Listening(status.AWAY, since.isoformat(), "it cannot be reached", broker.address)
    status.write(told)
    assert facts_of(den, now).broker_away is None
    TopicRow.objects.create(sensor=sensor_for(den, "ph"), topic="den/ph")
    found = facts_of(den, now)
    assert (found.broker_away, found.broker_words) == (since, "it cannot be reached")
    status.write(status.Listening(status.CONNECTED, since.isoformat(), "", broker.address))
    assert facts_of(den, now).broker_away is None
    status.write(status.Listening(status.AWAY, since.isoformat(), "", "mqtt://elsewhere:1883"))
    assert facts_of(den, now).broker_away is None


def test_care_is_overdue_by_the_list_or_by_the_diary(den, answered, now, payload):
    def task(what, days_ago, every=7):
        last = None if days_ago is None else now - timedelta(days=days_ago)
        TaskRow.objects.create(tank=den, what=what, every_days=every, last_done=last)

    task("Trim", 9)
    task("Clean", 7)
    task("Weigh", None)
    task("Calibrate", 30)
    done = (now - timedelta(days=2)).isoformat()
    answered(payload(care={"Calibrate": {"last_done": done}, "Trim": {"last_done": None}}))
    assert facts_of(den, now).overdue == (("Trim", "overdue by 2 days"),)
