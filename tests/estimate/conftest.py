"""A diary of four days with every kind that informs, and fits that several files look at."""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from leafgill.diary import Diary, Entry
from leafgill.estimate import believe
from leafgill.estimate.evidence import gather
from leafgill.estimate.problem import Problem
from leafgill.tank.spec import Tank

START = datetime(2025, 3, 3, 8, tzinfo=UTC)
NOW = START + timedelta(days=4)
TANK = {
    "tank": {"name": "Test tank", "volume": "100 L", "length_cm": 80, "width_cm": 35,
             "height_cm": 40, "temperature": 25},
    "water": {"kh": 4},
    "schedule": {"lights": "10:00-18:00", "gas": "08:30-17:00"},
}  # fmt: skip


def at(day, clock):
    hour, minute = map(int, clock.split(":"))
    return START.replace(hour=hour, minute=minute) + timedelta(days=day)
