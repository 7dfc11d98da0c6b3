"""A tank whose gas is permitted as far as is known."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from leafgill.tank.spec import Tank
from leafgill.web.models import AnswerRow, Keeper
from leafgill.web.store.tanks import create_tank

ZONE = "Europe/Berlin"
NOW = datetime(2025, 3, 8, 11, 10, tzinfo=UTC).astimezone(ZoneInfo(ZONE))
COUNT = 200


def payload_of(**chances):
    """Return what is kept of an answer of NOW, with the same chances at every moment."""
    told = {"p_over_limit": 0.02, "p_over_danger": 0.0, "p_low_o2": 0.0} | chances
    times = [int(NOW.timestamp()) + 600 * k for k in range(COUNT)]
    still = {"mean": [24.0] * COUNT, "low": [20.0] * COUNT, "high": [28.0] * COUNT}
    ph = {"mean": [6.62] * COUNT, "low": [6.5] * COUNT, "high": [6.75] * COUNT}
    return {
        "risk": {"times_s": times} | {name: [part] * COUNT for name, part in told.items()},
        "bands": {"times_s": times, "co2": still, "co2_max": still, "o2": still, "ph": ph},
        "step": {"action": "hold", "look_at": "2025-03-08T16:10:00+01:00", "rate_per_s": None},
        "said": {"what_to_do": "Leave the gas as it is"},
        "watch": {"at": NOW.isoformat(), "version": 1, "seconds": 1.0, "error": "", "alerts": []},
    }


@pytest.fixture
def now():
    return NOW


@pytest.fixture
def payload():
    """Return the function that gives a payload."""
    return payload_of


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
    """Return a function that keeps an answer with the tank, worked out a minute after the last."""
    made = [NOW]

    def keep(payload=None, **changes):
        den.refresh_from_db()
        made[0] += timedelta(seconds=1)
        told = {"version": den.version, "asked_for": NOW, "made_at": made[0],
                "payload": payload_of() if payload is None else payload}  # fmt: skip
        return AnswerRow.objects.update_or_create(tank=den, defaults=told | changes)[0]

    return keep
