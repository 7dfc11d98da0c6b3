"""Topics and messages of a tank. None of them asks for gas, or for more of it."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from leafgill import __version__
from leafgill.estimate import Interval
from leafgill.web.alert_models import AlertRow
from leafgill.web.publishing.permission import Permission
from leafgill.web.working.reading import Told

ON, OFF = "ON", "OFF"
ONLINE, OFFLINE = "online", "offline"
# How often permission and the rest are told, and after how long without they are worth nothing [s].
BEAT_S, PERMISSION_GOOD_S = 15, 60
TELL_S, TOLD_GOOD_S = 60, 240
# The discovery convention that Home Assistant and others read (MQTT integration, "discovery").
DISCOVERY = "homeassistant"
# Steps that let in more gas, or at other hours, are for a hand that stands at the tank.
_BY_HAND = frozenset({"raise", "first setting", "hours"})
BY_HAND_WORDS = "There is a step to be taken by hand; look at the tank's page"


@dataclass(frozen=True, slots=True)
class Topics:
    """Where a tank is published; `public_id` is what it is called outside."""

    public_id: str

    @property
    def gas_permitted(self) -> str:
        """ON or OFF, and never ON retained."""
        return f"leafgill/{self.public_id}/gas_permitted"

    @property
    def permission(self) -> str:
        """The same as JSON, with why and how long it is good for."""
        return f"leafgill/{self.public_id}/permission"

    @property
    def belief(self) -> str:
        """What is believed, as JSON."""
        return f"leafgill/{self.public_id}/belief"

    @property
    def step(self) -> str:
        """The next step in words, as JSON."""
        return f"leafgill/{self.public_id}/step"

    @property
    def alerts(self) -> str:
        """What is not well, as JSON."""
        return f"leafgill/{self.public_id}/alerts"


def alive_topic(client_id: str) -> str:
    """Return where an app tells that it runs: "online", or "offline" retained."""
    return f"leafgill/{client_id.removeprefix('leafgill-') or 'app'}/alive"


def permission_json(told: Permission, now: datetime) -> str:
    """Return a permission with its end; one that is withdrawn has none."""
    until = now + timedelta(seconds=PERMISSION_GOOD_S)
    return _json(
        {
            "permitted": told.permitted,
            "why": told.why,
            "at": _at(now),
            "good_until": _at(until) if told.permitted else None,
        }
    )


def belief_json(told: Told) -> str | None:
    """Return what is believed now, None where it is not of now."""
    if told.co2 is None or told.asked_for is None or told.state not in ("fresh", "working"):
        return None
    return _json(
        {
            "co2_mg_l": _ends(told.co2, 2),
            "co2_worst_place_mg_l": _ends(told.co2_max, 2),
            "o2_mg_l": _ends(told.o2, 2),
            "ph": _ends(told.ph, 3),
            "worked_out": _at(told.asked_for),
            "at": _at(told.now),
        }
    )


def step_json(told: Told) -> str | None:
    """Return the next step in words, None where there is none to be followed."""
    if not told.payload or not told.fresh:
        return None
    step = told.payload["step"]
    words = told.payload["said"]["what_to_do"]
    by_hand = step["action"] in _BY_HAND
    return _json(
        {
            "what": BY_HAND_WORDS if by_hand else words,
            "look_at": step["look_at"],
            "at": _at(told.now),
        }
    )


def alerts_json(alerts: Sequence[AlertRow], now: datetime) -> str:
    """Return the alerts that are not over, danger first."""
    return _json(
        {
            "count": len(alerts),
            "danger": any(at.urgency == "now" for at in alerts),
            "first": alerts[0].title[:200] if alerts else "none",
            "alerts": [
                {
                    "what": at.title,
                    "urgency": at.urgency,
                    "since": _at(at.since.astimezone(now.tzinfo)),
                    "found_at": _at(at.held_at.astimezone(now.tzinfo)),
                    "sure": at.sure,
                    "seen": at.seen,
                    "look_first": at.check_first,
                    "state": at.state_at(now),
                }
                for at in alerts[:20]
            ],
            "at": _at(now),
        }
    )


def discovery(public_id: str, name: str, alive: str) -> dict[str, str]:
    """Return the messages by which a home's hub finds a tank: topic to JSON, to be retained."""
    topics = Topics(public_id)
    return {
        discovery_topic(component, public_id, what): _json(
            {
                "unique_id": f"leafgill_{public_id}_{what}",
                "expire_after": TOLD_GOOD_S,
                "availability_topic": alive,
                "payload_available": ONLINE,
                "payload_not_available": OFFLINE,
                "device": {"identifiers": [f"leafgill_{public_id}"], "name": name,
                           "manufacturer": "Leaf & Gill"},
                "origin": {"name": "Leaf & Gill", "sw_version": __version__},
                **more,
            }
        )
        for component, what, more in _entities(topics)
    }  # fmt: skip


def forget_discovery(public_id: str) -> list[str]:
    """Return the topics whose retained messages make a hub forget a tank when they are emptied."""
    return list(discovery(public_id, "", ""))


def discovery_topic(component: str, public_id: str, what: str) -> str:
    """Return where a hub looks for one thing of a tank."""
    return f"{DISCOVERY}/{component}/leafgill_{public_id}/{what}/config"


def _entities(topics: Topics) -> list[tuple[str, str, dict[str, Any]]]:
    found: list[tuple[str, str, dict[str, Any]]] = [
        ("sensor", what, {
            "name": name,
            "state_topic": topics.belief,
            "value_template": f"{{{{ value_json.{key}.mean }}}}",
            "json_attributes_topic": topics.belief,
            "json_attributes_template": f"{{{{ value_json.{key} | tojson }}}}",
            **({"unit_of_measurement": unit} if unit else {}),
        })
        for what, name, key, unit in (
            ("co2", "CO2", "co2_mg_l", "mg/L"),
            ("o2", "Oxygen", "o2_mg_l", "mg/L"),
            ("ph", "pH", "ph", ""),
        )
    ]  # fmt: skip
    found += [
        ("sensor", "step", {"name": "Next step", "state_topic": topics.step,
                            "value_template": "{{ value_json.what[:250] }}"}),
        ("sensor", "alerts", {"name": "Alerts", "state_topic": topics.alerts,
                              "value_template": "{{ value_json.count }}",
                              "json_attributes_topic": topics.alerts}),
        ("binary_sensor", "danger", {"name": "Danger", "state_topic": topics.alerts,
                                     "device_class": "problem",
                                     "value_template":
                                         "{{ 'ON' if value_json.danger else 'OFF' }}"}),
        ("binary_sensor", "gas_permitted", {"name": "Gas permitted",
                                            "state_topic": topics.gas_permitted,
                                            "payload_on": ON, "payload_off": OFF,
                                            "expire_after": PERMISSION_GOOD_S,
                                            "json_attributes_topic": topics.permission}),
    ]  # fmt: skip
    return found


def _ends(value: Interval | None, digits: int) -> dict[str, float] | None:
    if value is None:
        return None
    return {name: round(getattr(value, name), digits) for name in ("mean", "low", "high")}


def _at(when: datetime) -> str:
    return when.isoformat(timespec="seconds")


def _json(told: dict[str, Any]) -> str:
    return json.dumps(told, ensure_ascii=False, allow_nan=False)
