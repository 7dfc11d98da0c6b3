"""Fixtures that more than one folder of tests uses: one day's picture, drawn by hand."""

import numpy as np
import pytest
from hypothesis import settings

from leafgill.charts.picture import Bar, DayPicture, Mark

# Machines are noisy: no test fails for the time it took.
settings.register_profile("patient", deadline=None)
settings.load_profile("patient")


def day(**changes):
    hours = np.linspace(0.0, 24.0, 145)
    mean = np.where((hours > 9.0) & (hours < 18.0), 20.0, 4.0)
    fields = {
        "title": "Hallway tank: CO2 20 mg/L, 16 to 24 at 14:00",
        "subtitle": "Saturday 8 March 2025.",
        "length_h": 24.0,
        "now_h": 14.0,
        "hours": hours,
        "mean": mean,
        "outer_low": 0.8 * mean,
        "outer_high": 1.2 * mean,
        "inner_low": 0.9 * mean,
        "inner_high": 1.1 * mean,
        "limit_mg_l": 30.0,
        "target_mg_l": 24.0,
        "ticks": tuple((float(hour), f"{hour:02d}:00") for hour in range(0, 25, 3)),
        "marks": (
            Mark(12.0, 18.0, 14.0, 23.0, "electrode", "pH 6.70"),
            Mark(13.0, 27.0, 19.0, 36.0, "drop checker", "green"),
        ),
        "bars": (Bar("light", ((10.0, 18.0),)), Bar("gas", ((9.0, 17.0),))),
    }
    return DayPicture(**(fields | changes))


@pytest.fixture
def picture():
    return day


@pytest.fixture(scope="session")
def hallway():
    """The counsel for the example tank with a probe, worked out once."""
    return counsel_for("HALLWAY")


@pytest.fixture(scope="session")
def reading_room():
    """The counsel for the example tank without a probe, worked out once."""
    return counsel_for("READING_ROOM")


@pytest.fixture(scope="session")
def distress():
    """The same tank as the first with its fish gasping."""
    return counsel_for("HALLWAY", ("2025-03-08T12:05", "fish", "gasping"))


def counsel_for(name, *more):
    """Return the counsel for an example at the moment it ends, with more in its diary."""
    from leafgill import Diary, Entry, Tank, examples
    from leafgill.answer.counsel import ask
    from leafgill.tank.clock import zone

    example = getattr(examples, name)
    tank = Tank.load(example.tank)
    diary = Diary.load(example.diary, example.probe)
    for entry in more:
        diary.add(Entry(*entry))
    now = example.now.replace(tzinfo=zone(tank.timezone))
    return ask(tank, diary, now, lambda _what, _part: None)
