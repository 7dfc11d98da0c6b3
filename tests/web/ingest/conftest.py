"""A tank with a sensor, at a moment that stands; and what is in the store of it."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from leafgill.tank.spec import Tank
from leafgill.web.models import Keeper, ReadingRow
from leafgill.web.store.readings import sensor_for
from leafgill.web.store.tanks import create_tank

NOW = datetime(2025, 3, 8, 11, 10, tzinfo=UTC)
ZONE = "Europe/Berlin"


@pytest.fixture
def now():
    return NOW


@pytest.fixture
def row(db):
    keeper = Keeper.objects.create(username="ada")
    told = {"tank": {"name": "Den", "volume_l": 60.0, "timezone": ZONE}}
    return create_tank(keeper, Tank.from_mapping(told))


@pytest.fixture
def sensor(row):
    return sensor_for(row, "ph")


@pytest.fixture
def kept():
    """Return a function that gives a sensor's readings as (second, value, flag)."""

    def rows(sensor):
        found = ReadingRow.objects.filter(sensor=sensor).order_by("time_s")
        return list(found.values_list("time_s", "value", "flag"))

    return rows
