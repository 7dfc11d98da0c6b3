"""Needs and plans of invented tanks, from the prior alone."""

from datetime import datetime
from functools import cache

import pytest

from leafgill.advise.gas_need import gas_need
from leafgill.advise.rig.plan import plan_rig
from leafgill.diary import Diary
from leafgill.estimate import believe
from leafgill.tank.clock import zone
from leafgill.tank.spec import Tank

DRAWS = 80


def tank_of(volume_l=100.0, **sections):
    data = {
        "tank": {"name": "Invented", "volume_l": volume_l},
        "day": {"lights_on": "10:00", "lights_off": "18:00"},
    }
    for name, keys in sections.items():
        data[name] = {**data.get(name, {}), **keys}
    return Tank.from_mapping(data)


@cache
def _believed(tank):
    now = datetime(2025, 3, 3, 12, tzinfo=zone(tank.timezone))
    return believe(tank, Diary(), now, count=DRAWS)


@cache
def _needed(tank):
    return gas_need(tank, _believed(tank))


@cache
def _planned(tank, target_mg_l=None):
    return plan_rig(tank, _believed(tank), target_mg_l)


@pytest.fixture(scope="session")
def described():
    return tank_of


@pytest.fixture(scope="session")
def need():
    """Return a maker of needs: need(volume_l, section={...})."""
    return lambda *args, **sections: _needed(tank_of(*args, **sections))


@pytest.fixture(scope="session")
def plan():
    """Return a maker of plans: plan(volume_l, target=None, section={...})."""
    return lambda *args, aim=None, **sections: _planned(tank_of(*args, **sections), aim)
