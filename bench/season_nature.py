"""How the nutrients of an invented tank go, hour by hour, and what its keeper writes of them.

Plants hold a store of each nutrient. They take it up by what growth needs, faster while the store
is low and slower while it is full, by roots and by leaves, the leaves' part only as far as the
water has any. Food becomes nitrate and phosphate by way of mulm; bacteria take nitrate away; soil
binds phosphate above what it holds and gives below; iron falls out.
"""

from __future__ import annotations

from datetime import datetime, timedelta

import numpy as np
from bench.season_ground import (
    CARDS,
    KEYS,
    NO3_N,
    PO4_P,
    SALTS,
    Ground,
    Plan,
)
from bench.trial.diary import START, Row

HOURS = 24
FORGOTTEN, UNWRITTEN, MISREAD = 0.05, 0.03, 0.05
_FULL, _EMPTY = 1.6, 0.5


def nutrients(
    seed: int,
    volume_l: float,
    hidden: Ground,
    plan: Plan,
    fixed: np.ndarray,
    stand: np.ndarray,
) -> tuple[list[Row], np.ndarray]:
    """Return (diary rows, truth at 11:00 before what is done then [days, keys])."""
    rng = np.random.default_rng([seed, 31])
    days = fixed.size
    water = np.array([hidden.start[key] for key in KEYS])
    store = np.ones(len(KEYS))  # in plants, of what they hold when fed well
    tissue = np.array([hidden.tissue[key] for key in KEYS])
    leaves = np.array([hidden.leaf_share[key] for key in KEYS])
    half = np.array([hidden.half[key] for key in KEYS])
    tap = np.array([hidden.tap[key] for key in KEYS])
    mulm = np.zeros(2)  # nitrogen and phosphorus on their way [mg/L]
    # plants as carbon [mg/L]: about forty days of what they fix
    plants = 40.0 * float(fixed[: min(7, days)].mean()) + 1.0
    plants_by_day = plants * stand / stand[0]
    wander = _wander(rng, days)
    tap_wander = np.exp(0.08 * rng.standard_normal() * np.sin(np.arange(days) / 13.0))
    rows: list[Row] = []
    truth = np.empty((days, len(KEYS)))
    first = START.replace(hour=11, minute=0)
    for day in range(days):
        at = first + timedelta(days=day)
        truth[day] = water
        rows += _tested(rng, at, day, water, hidden, plan)
        if day and day % plan.change_days == 0:
            part = plan.part * rng.normal(1.0, 0.06)
            water = water + part * (tap * tap_wander[day] - water)
        added, written = _dosed(rng, at, day, volume_l, plan)
        water = water + added
        rows += written
        fed = plan.food_g * 1e3 / volume_l * (0.0 if rng.random() < 0.06 else rng.lognormal(0, 0.2))
        mulm = mulm + (1.0 - hidden.eaten_kept) * fed * np.array(
            [hidden.food_nitrogen, hidden.food_phosphorus]
        )
        need = fixed[day] * hidden.net_share * tissue * wander[day]
        rot = 0.004 * plants_by_day[day] * tissue[:2]  # old leaves
        for _ in range(HOURS):
            h = 1.0 / HOURS
            eager = np.clip((_FULL - store) / (_FULL - 1.0), 0.0, 1.0 + hidden.luxury)
            by_leaf = need * leaves * eager * water / (half + water)
            taken = np.minimum(by_leaf * h, water)
            by_root = need * (1.0 - leaves) * np.minimum(eager, 1.0) * h
            hold = plants_by_day[day] * tissue
            store = store + (taken + by_root - need * np.maximum(store, _EMPTY) * h) / hold
            store = np.clip(store, _EMPTY, _FULL)
            freed = hidden.mulm_day * mulm * h
            mulm = mulm - freed
            water = water - taken
            water[0] += NO3_N * freed[0] + rot[0] * h - hidden.denitrified_day * water[0] * h
            water[1] += PO4_P * freed[1] + rot[1] * h
            water[1] += hidden.soil_day * (hidden.soil_holds - water[1]) * h
            water[5] -= hidden.iron_lost_day * water[5] * h
            water = np.maximum(water + hidden.dried_day * tap * h, 0.0)
    return rows, truth


def _wander(rng: np.random.Generator, days: int) -> np.ndarray:
    """What plants hold against their mean, day by day: it wanders, and remembers three weeks."""
    kept = np.exp(-1.0 / 20.0)
    log = np.empty((days, len(KEYS)))
    now = rng.normal(0.0, 0.18, len(KEYS))
    for day in range(days):
        log[day] = now
        now = kept * now + np.sqrt(1.0 - kept**2) * rng.normal(0.0, 0.18, len(KEYS))
    return np.exp(log)


def _dosed(
    rng: np.random.Generator, at: datetime, day: int, volume_l: float, plan: Plan
) -> tuple[np.ndarray, list[Row]]:
    """Return what a day's doses add [mg/L] and what is written: not always the same."""
    added, rows = np.zeros(len(KEYS)), []
    for salt, grams, every, begin in plan.doses:
        if day < begin or (day - begin) % every:
            continue
        luck = rng.random()
        if luck >= FORGOTTEN:
            real = grams * rng.normal(1.0, 0.06)
            for key, part in SALTS[salt].items():
                added[KEYS.index(key)] += 1e3 * real * part / volume_l
        if luck < FORGOTTEN or rng.random() >= UNWRITTEN:
            rows.append(Row(at + timedelta(minutes=20), "dose", f"{grams:g}", "g", salt))
    return added, rows


def _tested(
    rng: np.random.Generator,
    at: datetime,
    day: int,
    water: np.ndarray,
    hidden: Ground,
    plan: Plan,
) -> list[Row]:
    if day % plan.test_days != 2:
        return []
    rows = []
    for key in plan.tested:
        seen = water[KEYS.index(key)] * hidden.kit[key] * float(np.exp(rng.normal(0.0, 0.12)))
        card = np.array(CARDS[key])
        # the nearest colour, on the logarithm from a third of the first step on
        least = card[1] / 3.0
        step = int(np.argmin(np.abs(np.log(np.maximum(card, least)) - np.log(max(seen, least)))))
        if rng.random() < MISREAD:
            step = int(np.clip(step + rng.choice([-2, -1, 1, 2]), 0, card.size - 1))
        rows.append(Row(at - timedelta(minutes=10), "test", f"{card[step]:g}", "mg/L", key))
    return rows
