"""A settled tank: lights 10:00 to 18:00, target met in the lit hours, belief narrow."""

from __future__ import annotations

import pytest

from leafgill.advise.case import case_of
from leafgill.advise.situation import look_around
from leafgill.advise.tune import next_step

# 11:00 on the third day, a reading an hour old.
HOURS = 51.0


@pytest.fixture(scope="session")
def settled(make_tank, make_diary, make_belief):
    """Return (tank, diary, belief) of that tank with other hours of gas or more in the diary."""

    def make(gas="07:00-17:00", *more, shift=None, width=0.05, count=40, at=HOURS, **sections):
        tank = make_tank(**{"target": {"co2_mg_l": 17.5}, **sections})
        rows = [
            (0.0, "light_day", "10:00-18:00"),
            (0.0, "kh", 4.0),
            (24.0, "gas_day", gas),
            (24.5, "bubble_rate", 4.0),
            (31.0, "ph_probe", 7.0),
            (50.0, "ph_probe", 7.1),
            *more,
        ]
        diary = make_diary(*sorted(rows, key=lambda row: row[0]))
        belief = make_belief(
            tank, diary, at, count=count, width=width, shift={"bubble_mass": 0.75, **(shift or {})}
        )
        return tank, diary, belief

    return make


@pytest.fixture(scope="session")
def around():
    """Return the situation of such a tank."""

    def make(told, awake=(8, 22)):
        tank, diary, belief = told
        return look_around(tank, diary, belief, belief.now, awake)

    return make


@pytest.fixture(scope="session")
def held(around):
    """Return the case of leaving such a tank as it is."""
    return lambda told, awake=(8, 22): case_of(around(told, awake), None)


@pytest.fixture(scope="session")
def advised():
    """Return the step such a tank is given."""

    def make(told, awake=(8, 22)):
        tank, diary, belief = told
        return next_step(tank, diary, belief, belief.now, awake=awake)

    return make
