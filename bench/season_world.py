"""Twelve weeks of an invented tank's nutrients, by a nature that is not the product's own.

Carbon is the trial's (bench.trial): two zones, drifting gas, PHREEQC's chemistry. On top of it
plants grow and are cut, hold stores of each nutrient that fill and empty, take part of their food
by the roots, and change what they hold from week to week; food rots through mulm; iron falls out;
soil holds phosphate back and lets it go; water dries off and is topped up. A keeper tests with
cards read to the nearest colour, misreads some, forgets doses that the diary then has, and gives
others that it has not. Nothing here imports the product.

    season_ground   what is hidden, and what the keeper means to do
    season_nature   the nutrients, hour by hour
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime, timedelta

import numpy as np
from bench.season_ground import KEYS, Ground, Plan, ground, plan_of
from bench.season_nature import nutrients
from bench.trial.actions import Action, Read, SetLightDay, WaterChange
from bench.trial.diary import MINUTES_DAY, START, Row
from bench.trial.habit import WATER_CHANGE, HabitKeeper
from bench.trial.nature import Course
from bench.trial.play import Play
from bench.trial.senses import Senses
from bench.trial.world import World, invent, tank_toml

DAYS = 84
_CYLINDER_KG = 50.0
MG_C_PER_MG_CO2 = 12.011 / 44.0095


@dataclass
class Kept:
    """A season: the keeper's files, and the truth day by day at 11:00, [days, keys]."""

    tank_toml: str
    rows: tuple[Row, ...]
    probe: np.ndarray | None
    truth: np.ndarray
    plan: Plan
    fixed_mg_l_day: np.ndarray


class SeasonKeeper(HabitKeeper):
    """The trial's keeper of habits, who also changes water all season."""

    plan_days: int = 7
    plan_percent: float = 40.0

    def next_look(self, now: datetime) -> datetime | None:
        """The trial's looks, and 11:00 of a day of change."""
        first = START.replace(hour=11, minute=0)
        day = (now - first).days // self.plan_days + 1
        change = first + timedelta(days=max(day, 1) * self.plan_days)
        usual = super().next_look(now)
        return change if usual is None else min(usual, change)

    def look(self, now: datetime, senses: Senses) -> list[Action]:
        """As usual, or a change; never the one change of the trial's own."""
        if now == WATER_CHANGE:
            return []
        days = (now.date() - START.date()).days
        if (now.hour, now.minute) == (11, 0) and days % self.plan_days == 0:
            senses.do(WaterChange(self.plan_percent, True))
            if now not in self._looks(now.replace(hour=0, minute=0)):
                return []
        return list(super().look(now, senses))


def live(seed: int, days: int = DAYS, probe: bool = True) -> Kept:
    """Let a tank be kept for a season."""
    world = _with_gas_enough(invent(seed))
    hidden = ground(seed)
    play = Play(world, days * MINUTES_DAY, probe)
    stand = _stand(seed, days)
    play.weather.uptake_mg_l_h[:] *= np.repeat(stand, MINUTES_DAY)[: play.minutes]
    wants = _wants(world, hidden)
    plan = plan_of(seed, world.volume_l, wants)
    keeper = SeasonKeeper(world.light, world.ways)
    keeper.plan_days, keeper.plan_percent = plan.change_days, 100.0 * plan.part
    senses = Senses(play, "", world.light)
    senses.do(SetLightDay(world.light))
    toml = tank_toml(world, float(senses.read("kh"))) + _told(hidden, plan, seed)
    senses.tank_toml = toml
    senses.do(Read("cylinder_mass"))
    when: datetime | None = START
    end = START + timedelta(days=days)
    while when is not None and when < end:
        play.until(when)
        for action in keeper.look(when, senses):
            senses.do(action)
        when = keeper.next_look(when)
    play.until(end)
    fixed = _fixed(play.course, play.track.co2_mean, world, days)
    rows, truth = nutrients(seed, world.volume_l, hidden, plan, fixed, stand)
    every = sorted([*play.rows, *rows], key=lambda row: row.time)
    log = play.probe_log() if probe else None
    return Kept(toml, tuple(every), log, truth, plan, fixed)


def _with_gas_enough(world: World) -> World:
    """Return a tank whose cylinder lasts the season, and whose growth is the season's own."""
    shell_g = world.cylinder_g - world.content_g
    return replace(
        world,
        growth_day=0.0,
        cylinder_kg=_CYLINDER_KG,
        content_g=1e3 * _CYLINDER_KG,
        cylinder_g=shell_g + 1e3 * _CYLINDER_KG,
    )


def _stand(seed: int, days: int) -> np.ndarray:
    """Plants in the tank, of what they were at first: they grow towards a full tank, and are cut.

    Cut every two to four weeks, by a fifth to a half.
    """
    rng = np.random.default_rng([seed, 23])
    pace, full = rng.uniform(0.01, 0.06), rng.uniform(1.3, 2.5)
    stand, now = np.empty(days), 1.0
    next_cut = rng.integers(10, 25)
    for day in range(days):
        now += pace * now * (1.0 - now / full)
        if day == next_cut:
            now *= 1.0 - rng.uniform(0.15, 0.45)
            next_cut += rng.integers(14, 30)
        stand[day] = now
    return stand


def _wants(world: World, hidden: Ground) -> dict[str, float]:
    """What plants take from the water in a week, about [mg/L]."""
    carbon = 0.7 * world.uptake_mg_l_h * world.light_length_h * 7.0 * MG_C_PER_MG_CO2
    return {
        key: carbon * hidden.net_share * hidden.tissue[key] * hidden.leaf_share[key] for key in KEYS
    }


def _told(hidden: Ground, plan: Plan, seed: int) -> str:
    """What of it stands in the tank file: food, and for two tanks in three the waterworks' word."""
    rng = np.random.default_rng([seed, 24])
    text = f"\n[feeding]\nfood_g_day = {plan.food_g}\n"
    text += f"\n[water_change]\npercent = {100 * plan.part:.0f}\nevery_days = {plan.change_days}\n"
    if rng.random() < 0.67:
        text += "\n[tap]\n"
        for key in KEYS:
            said = hidden.tap[key] * float(np.exp(rng.normal(0.0, 0.1)))
            text += f"{key}_mg_l = {said:.3g}\n"
    return text


def _fixed(course: Course, co2: np.ndarray, world: World, days: int) -> np.ndarray:
    """Carbon taken by plants each day [mg C/L]."""
    rate = course.uptake_mg_l_h * co2 / (world.uptake_half_mg_l + co2)
    return rate[: days * MINUTES_DAY].reshape(days, -1).sum(axis=1) / 60.0 * MG_C_PER_MG_CO2
