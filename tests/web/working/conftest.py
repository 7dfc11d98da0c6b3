"""A tank in the store, and an answer that stands for one that was worked out."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from leafgill.tank.spec import Tank
from leafgill.web.models import AnswerRow, Keeper
from leafgill.web.store.tanks import create_tank

NOW = datetime(2025, 3, 8, 11, 10, tzinfo=UTC)
ZONE = "Europe/Berlin"


@pytest.fixture(autouse=True)
def clock(monkeypatch):
    """Set the moment that every part takes as now."""

    def to(when):
        monkeypatch.setenv("LEAFGILL_NOW", when.isoformat())

    to(NOW)
    return to


@pytest.fixture
def keeper(db):
    made = Keeper(username="ada")
    made.set_unusable_password()
    made.save()
    return made


@pytest.fixture
def den(keeper):
    """A tank in the store."""
    described = {
        "tank": {"name": "Den", "volume_l": 60.0, "timezone": ZONE},
        "water": {"kh_dkh": 4.0},
    }
    return create_tank(keeper, Tank.from_mapping(described))


@pytest.fixture
def bands():
    """CO2 that rises by 6 mg/L an hour from 10 at now; the rest stands still."""
    times = [int(NOW.timestamp()) + 600 * k for k in range(-6, 13)]
    rising = [10.0 + k for k in range(-6, 13)]
    still = {"mean": [6.8] * 19, "low": [6.7] * 19, "high": [6.9] * 19}
    co2 = {
        "mean": rising,
        "low": [0.8 * v for v in rising],
        "high": [1.2 * v for v in rising],
        "inner_low": rising,
        "inner_high": rising,
    }
    return {"times_s": times, "co2": co2, "co2_max": co2, "o2": still, "ph": still}


@pytest.fixture
def answer(bands):
    """Return a row as it is kept: of version 3, asked for at NOW."""

    def of(**changes):
        row = {"version": 3, "asked_for": NOW, "made_at": NOW, "payload": {"bands": bands}}
        return AnswerRow(**{**row, **changes})

    return of
