"""Invented cylinders whose truth is known, and the diaries their keepers would have written."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from leafgill.diary import Diary, Entry
from leafgill.science.cylinder import cylinder_pressure_bar
from leafgill.tank.spec import Tank

UTC = ZoneInfo("UTC")
BEGIN = datetime(2025, 1, 6, 8, tzinfo=UTC)


@dataclass
class World:
    """A cylinder that empties: grams, what a bubble holds, and what its keeper writes down."""

    charge_g: float = 2000.0
    tare_g: float = 3600.0
    first_g: float = 1960.0
    bubble_mg: float = 0.09
    rate: float = 1.5
    hours: float = 9.0
    leak_g_day: float = 0.0
    room_c: float = 21.0
    water_l: float = 2.8
    days: int = 42
    weigh_every: int = 0
    gauge_every: int = 0
    tells_filling: bool = True
    regulator_g: float = 800.0
    regulator: str = "regulator off"
    seed: int = 0
    rig: dict[str, object] = field(default_factory=dict)

    def __post_init__(self):
        rng = np.random.default_rng(self.seed)
        rows = []
        if self.tells_filling:
            rows.append((BEGIN - timedelta(minutes=30), "care", "cylinder refilled", "", ""))
        rows += [
            (BEGIN, "light_day", "10:00-18:00", "", ""),
            (BEGIN, "gas_day", "09:00-18:00", "", ""),
            (BEGIN, "bubble_rate", self.rate, "", ""),
        ]
        on = self.regulator_g if "on" in self.regulator else 0.0
        left = self.first_g
        for day in range(self.days + 1):
            at = BEGIN + timedelta(days=day, minutes=10)
            if self.weigh_every and day % self.weigh_every == 0:
                shown = self.tare_g + on + left + rng.normal(0.0, 2.0)
                rows.append((at, "cylinder_mass", float(round(shown)), "g", self.regulator))
            if self.gauge_every and day % self.gauge_every == 0:
                bar = cylinder_pressure_bar(left * 1e-3, self.water_l, self.room_c) - 1.013
                rows.append((at, "cylinder_pressure", float(round(bar + rng.normal(0, 1))), "", ""))
            if day % 7 == 2:
                counted = float(round(self.rate * 30.0))
                rows.append((at + timedelta(hours=5), "bubble_count", counted, "30 s", ""))
            if day < self.days:
                left -= self.use_g_day
        self.left_g = left
        self.now = BEGIN + timedelta(days=self.days, minutes=30)
        self.diary = Diary([Entry(*row) for row in rows]).localised("UTC")
        self.tank = Tank.from_mapping(
            {
                "tank": {"name": "Invented", "length_cm": 80, "width_cm": 35, "height_cm": 40,
                         "volume_l": 100.0},
                "water": {"kh_dkh": 4.0},
                "day": {"lights_on": "10:00", "lights_off": "18:00"},
                "livestock": {"co2_limit_mg_l": 30.0},
                "rig": {"cylinder_kg": self.charge_g * 1e-3, "diffuser": "disc", **self.rig},
            }
        )  # fmt: skip

    @property
    def use_g_day(self) -> float:
        """Grams gone a day, the leak included."""
        return self.bubble_mg * 1e-3 * self.rate**1.08 * self.hours * 3600.0 + self.leak_g_day


@pytest.fixture(scope="session")
def make_world():
    return World
