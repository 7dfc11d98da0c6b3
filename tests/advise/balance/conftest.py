"""An invented tank with three weeks of water changes, doses and tests, and a belief of it."""

from __future__ import annotations

from datetime import timedelta

import pytest

from leafgill.advise.balance.season import season_of
from leafgill.diary import Diary, Entry

DAYS = 22
HOURS = 24.0 * DAYS + 4.0
HIGH_PLANTS = {"uptake": 0.5}


def entries(start, *, nitrate=(10.0, 10.0, 10.0), dosed=True):
    """Return three weeks of a keeper's diary."""
    rows = [
        Entry(start, "light_day", "10:00-18:00"),
        Entry(start, "kh", 4.0),
        Entry(start + timedelta(hours=1), "gas_day", "09:00-18:00"),
        Entry(start + timedelta(hours=1), "bubble_rate", 1.0),
        Entry(start + timedelta(hours=7), "ph_probe", 7.0),
    ]
    for week in range(3):
        day = start + timedelta(days=7 * week)
        rows.append(Entry(day + timedelta(days=3), "water_change", 40.0))
        if dosed:
            rows.append(Entry(day + timedelta(days=1), "dose", 1.0, "g", "KNO3"))
            rows.append(Entry(day + timedelta(days=5), "dose", 5.0, "mL", "phosphate"))
        if week < len(nitrate):
            rows.append(Entry(day + timedelta(days=6), "test", nitrate[week], "mg/L", "nitrate"))
    return rows


@pytest.fixture(scope="session")
def start():
    from datetime import datetime
    from zoneinfo import ZoneInfo

    return datetime(2025, 3, 3, 8, tzinfo=ZoneInfo("UTC"))


@pytest.fixture(scope="session")
def kept_tank(make_tank):
    return make_tank(
        salts={
            "kept": ["KNO3", "KH2PO4", "K2SO4", "MgSO4.7H2O", "Fe-DTPA"],
            "bottles": ["phosphate: 250 mL, KH2PO4 5 g"],
        },
        tap={"nitrate_mg_l": 8, "phosphate_mg_l": 0.2, "potassium_mg_l": 2.0},
        feeding={"food_g_day": 0.3},
        plants={"light_ppfd": 60},
    )


@pytest.fixture(scope="session")
def kept_diary(start):
    return Diary(entries(start)).localised("UTC")


@pytest.fixture(scope="session")
def kept_belief(kept_tank, kept_diary, make_belief):
    return make_belief(kept_tank, kept_diary, HOURS, width=0.4, count=120)


@pytest.fixture(scope="session")
def season(kept_tank, kept_diary, kept_belief):
    return season_of(kept_tank, kept_diary, kept_belief, 4, count=600)
