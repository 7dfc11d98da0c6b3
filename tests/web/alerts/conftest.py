"""A tank in the store and a clock that is set; facts as the rules go by."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from leafgill.tank.spec import Tank
from leafgill.web.alerts.facts import Facts
from leafgill.web.models import AnswerRow, Keeper
from leafgill.web.store.tanks import create_tank

ZONE = "Europe/Berlin"
NOW = datetime(2025, 3, 8, 11, 10, tzinfo=UTC).astimezone(ZoneInfo(ZONE))


def later(**much):
    return NOW + timedelta(**much)


def payload_of(over=0.02, danger=0.0, low_o2=0.0, **more):
    """Return what a rule reads of an answer, with the same chances at every moment."""
    times = [int(NOW.timestamp()) + 600 * k for k in range(200)]
    still = {"mean": [24.0] * 200, "low": [20.0] * 200, "high": [28.0] * 200}
    return {
        "limits": {"co2_mg_l": 30.0, "o2_min_mg_l": 5.0, "co2_danger_mg_l": 37.5},
        "risk": {
            "times_s": times,
            "p_over_limit": [over] * 200,
            "p_over_danger": [danger] * 200,
            "p_low_o2": [low_o2] * 200,
        },
        "bands": {"times_s": times, "co2": still, "co2_max": still, "o2": still, "ph": still},
        "day_ahead": {
            "as_set": {
                "p_over_limit": over,
                "peak_at": later(hours=5).isoformat(),
                "peak_co2_mg_l": {"mean": 26.0, "low": 21.0, "high": 32.0},
                "p_low_o2": low_o2,
                "o2_min_at": later(hours=18).isoformat(),
                "o2_min_mg_l": {"mean": 6.0, "low": 5.5, "high": 6.6},
            }
        },
        "step": {"action": "hold", "look_at": None, "rate_per_s": None},
        "said": {"what_to_do": "Leave the gas as it is"},
        **more,
    }


@pytest.fixture
def payload():
    """Return the function that gives a payload."""
    return payload_of


@pytest.fixture
def facts():
    """Return a function that gives facts of NOW, of an answer that is fresh unless told."""

    def of(**changes):
        told = {"now": NOW, "began": NOW - timedelta(days=9), "payload": payload_of(),
                "asked_for": NOW}  # fmt: skip
        return Facts(**told | changes)

    return of


@pytest.fixture
def clock(monkeypatch):
    """Set the moment that every part takes as now."""

    def to(when):
        monkeypatch.setenv("LEAFGILL_NOW", when.isoformat())

    to(NOW)
    return to


@pytest.fixture
def keeper(db, clock):
    return Keeper.objects.create(username="ada")


@pytest.fixture
def den(keeper):
    """A tank in the store."""
    told = {"tank": {"name": "Den", "volume_l": 60.0, "timezone": ZONE}}
    return create_tank(keeper, Tank.from_mapping(told))


@pytest.fixture
def answered(den):
    """Return a function that keeps an answer with the tank, of NOW unless told."""

    def keep(payload=None, **changes):
        den.refresh_from_db()
        told = {"version": den.version, "asked_for": NOW, "made_at": NOW,
                "payload": payload_of() if payload is None else payload}  # fmt: skip
        return AnswerRow.objects.update_or_create(tank=den, defaults=told | changes)[0]

    return keep
