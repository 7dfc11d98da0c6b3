"""What is published: with units and intervals, and nothing that asks for more gas."""

import json
from datetime import datetime, timedelta

import pytest

from leafgill.web.alert_models import AlertRow
from leafgill.web.publishing import messages
from leafgill.web.publishing.messages import Topics
from leafgill.web.publishing.permission import Permission
from leafgill.web.working.reading import told_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def told(answered, den, now):
    def of(payload=None, at=now, version=None):
        answer = answered(payload)
        return told_of(answer, answer.version if version is None else version, at)

    return of


def test_the_belief_has_its_interval_and_its_age(told, now):
    assert json.loads(messages.belief_json(told())) == {
        "co2_mg_l": {"mean": 24.0, "low": 20.0, "high": 28.0},
        "co2_worst_place_mg_l": {"mean": 24.0, "low": 20.0, "high": 28.0},
        "o2_mg_l": {"mean": 24.0, "low": 20.0, "high": 28.0},
        "ph": {"mean": 6.62, "low": 6.5, "high": 6.75},
        "worked_out": "2025-03-08T12:10:00+01:00",
        "at": "2025-03-08T12:10:00+01:00",
    }


def test_what_is_not_of_now_is_not_published(told, now):
    late = told(at=now + timedelta(minutes=16))
    assert messages.belief_json(late) is None
    assert messages.step_json(late) is None
    lacking = told(version=99)
    assert messages.belief_json(lacking) is None
    assert messages.step_json(lacking) is None


@pytest.mark.parametrize(
    ("action", "words"),
    [
        ("hold", "Set 2 bubbles"),
        ("lower", "Set 2 bubbles"),
        ("emergency", "Set 2 bubbles"),
        ("raise", messages.BY_HAND_WORDS),
        ("first setting", messages.BY_HAND_WORDS),
        ("hours", messages.BY_HAND_WORDS),
    ],
)
def test_no_step_that_asks_for_more_gas_is_published(told, payload, action, words):
    step = {"action": action, "look_at": None, "rate_per_s": 2.0, "schedule": "08:00-17:00"}
    said = {"what_to_do": "Set 2 bubbles"}
    text = messages.step_json(told({**payload(), "step": step, "said": said}))
    assert json.loads(text)["what"] == words
    assert set(json.loads(text)) == {"what", "look_at", "at"}
    assert "08:00" not in text


def test_a_permission_says_how_long_it_is_good_for(now):
    on = json.loads(messages.permission_json(Permission(True, "nothing"), now))
    end = datetime.fromisoformat(on["good_until"])
    assert (on["permitted"], end - now) == (True, timedelta(seconds=60))
    off = json.loads(messages.permission_json(Permission(False, "danger"), now))
    assert (off["permitted"], off["good_until"], off["why"]) == (False, None, "danger")


def test_alerts_are_published_with_danger_first(den, now):
    def row(key, urgency):
        return AlertRow.objects.create(tank=den, key=key, urgency=urgency, title=key, since=now,
                                       opened_at=now, held_at=now, sure=0.7)  # fmt: skip

    assert json.loads(messages.alerts_json([], now))["first"] == "none"
    told = json.loads(messages.alerts_json([row("a", "now"), row("b", "look")], now))
    assert (told["count"], told["danger"], told["first"]) == (2, True, "a")
    assert told["alerts"][1] | {"sure": None} == {
        "what": "b", "urgency": "look", "since": "2025-03-08T12:10:00+01:00",
        "found_at": "2025-03-08T12:10:00+01:00", "sure": None, "seen": "", "look_first": "",
        "state": "open",
    }  # fmt: skip
    assert not json.loads(messages.alerts_json([row("c", "today")], now))["danger"]


def test_a_hub_is_told_where_to_look_and_when_it_is_too_old():
    told = {
        t: json.loads(p) for t, p in messages.discovery("abc", "Den", "leafgill/x/alive").items()
    }
    assert set(told) == {
        "homeassistant/sensor/leafgill_abc/co2/config",
        "homeassistant/sensor/leafgill_abc/o2/config",
        "homeassistant/sensor/leafgill_abc/ph/config",
        "homeassistant/sensor/leafgill_abc/step/config",
        "homeassistant/sensor/leafgill_abc/alerts/config",
        "homeassistant/binary_sensor/leafgill_abc/danger/config",
        "homeassistant/binary_sensor/leafgill_abc/gas_permitted/config",
    }
    for one in told.values():
        assert one["availability_topic"] == "leafgill/x/alive"
        assert one["device"]["name"] == "Den"
        assert one["expire_after"] > 0
        assert "command_topic" not in one
    assert len({one["unique_id"] for one in told.values()}) == 7
    gas = told["homeassistant/binary_sensor/leafgill_abc/gas_permitted/config"]
    assert (gas["state_topic"], gas["expire_after"]) == ("leafgill/abc/gas_permitted", 60)
    co2 = told["homeassistant/sensor/leafgill_abc/co2/config"]
    assert co2["unit_of_measurement"] == "mg/L"
    assert co2["value_template"] == "{{ value_json.co2_mg_l.mean }}"
    assert set(messages.forget_discovery("abc")) == set(told)


def test_the_permission_outlives_four_beats_and_no_more():
    assert messages.PERMISSION_GOOD_S >= 3 * messages.BEAT_S
    assert messages.PERMISSION_GOOD_S <= 5 * messages.BEAT_S
    assert Topics("abc").gas_permitted == "leafgill/abc/gas_permitted"
    assert messages.alive_topic("leafgill-1f") == "leafgill/1f/alive"
