"""What drifts by itself whatever the keeper does: room, temperature, surface, valve, clogging.

Each is one array over all minutes, drawn once from the seed, so that two keepers of one tank
meet the same luck. Index i is the state during the minute that begins i minutes after the start.
"""

import itertools
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from scipy.signal import lfilter

from .chemistry import CO2_G_MOL, FloatArray
from .world import World

MINUTES_DAY = 1440


@dataclass(frozen=True)
class Weather:
    """Arrays over minutes."""

    temperature_c: FloatArray
    room_ppm: FloatArray
    co2_equilibrium_mg_l: FloatArray
    o2_saturation_mg_l: FloatArray
    exchange_h: FloatArray
    night_air_h: FloatArray
    alkalinity_ratio: FloatArray
    valve_log: FloatArray
    gain_mg_l: FloatArray  # per bubble at one bubble a second
    uptake_mg_l_h: FloatArray
    respiration_mg_l_h: FloatArray


def henry_mol_l_atm(temperature_c: FloatArray | float) -> FloatArray:
    """Solubility of CO2 in fresh water: van 't Hoff, 0.0340 mol/L/atm at 25 °C with 2400 K.

    Sander (2015), compilation of Henry's law constants; cited from memory.
    """
    kelvin = np.asarray(temperature_c) + 273.15
    return np.asarray(0.0340 * np.exp(2400.0 * (1.0 / kelvin - 1.0 / 298.15)))


def co2_equilibrium_mg_l(room_ppm: FloatArray | float, temperature_c: FloatArray) -> FloatArray:
    """CO2 in water that has met a room's air, water vapour taking 3 % of the pressure."""
    return henry_mol_l_atm(temperature_c) * 0.97e-6 * room_ppm * CO2_G_MOL * 1e3


def o2_saturation_mg_l(temperature_c: FloatArray) -> FloatArray:
    """O2 in fresh water in equilibrium with air at 1 atm, by the cubic of Elmore & Hayes (1960).

    Cited from memory: 14.652 - 0.41022 T + 0.007991 T² - 0.000077774 T³.
    """
    t = np.asarray(temperature_c)
    return np.asarray(14.652 - 0.41022 * t + 0.007991 * t**2 - 7.7774e-5 * t**3)


def wander(rng: np.random.Generator, minutes: int, sd: float, days: float) -> FloatArray:
    """A stationary Ornstein-Uhlenbeck path of given spread and memory, one value a minute."""
    keep = np.exp(-1.0 / (days * MINUTES_DAY))
    return _filtered(rng.normal(0.0, sd, minutes), keep, np.sqrt(1.0 - keep**2))


def _filtered(kicks: FloatArray, keep: float, scale: float) -> FloatArray:
    first = kicks[0]
    moved = kicks * scale
    moved[0] = first
    return np.asarray(lfilter([1.0], [1.0, -keep], moved))


def walk(rng: np.random.Generator, minutes: int, sd_day: float) -> FloatArray:
    """A random walk from 0 that spreads by `sd_day` in a day."""
    steps = rng.normal(0.0, sd_day / np.sqrt(MINUTES_DAY), minutes)
    steps[0] = 0.0
    return np.cumsum(steps)


def make(world: World, minutes: int, start_hour: float) -> Weather:
    """All drifts of a tank over so many minutes from a clock hour.

    Each has a generator of its own, so that a longer run begins like a shorter one.
    """
    own = itertools.count()

    def rng() -> np.random.Generator:
        return np.random.default_rng([world.seed, 2, next(own)])

    at = np.arange(minutes) / MINUTES_DAY
    hour = (start_hour + 24.0 * at) % 24.0
    swing = np.cos(2.0 * np.pi * (hour - (world.light_on_h + world.light_length_h)) / 24.0)
    temperature = (
        world.set_temperature_c
        + world.temperature_offset_c
        + world.temperature_swing_c * swing
        + wander(rng(), minutes, 0.08, 0.5)
    )
    room = _room(rng, world, hour)
    warmth = temperature - 20.0
    surface = np.exp(wander(rng(), minutes, world.exchange_wander, world.exchange_wander_days))
    growth = np.exp(world.growth_day * at + wander(rng(), minutes, 0.06, 1.0))
    kit = np.exp(
        world.alkalinity_drift_day * at + walk(rng(), minutes, world.alkalinity_wander_day)
    )
    valve = world.valve_trend_day * at + walk(rng(), minutes, world.valve_wander_day)
    gain = np.exp(-world.clogging_day * at + wander(rng(), minutes, world.gain_wander_day, 0.7))
    one_bubble = world.bubble_mg * world.dissolved_share / world.volume_l
    return Weather(
        temperature_c=temperature,
        room_ppm=room,
        co2_equilibrium_mg_l=co2_equilibrium_mg_l(room, temperature),
        o2_saturation_mg_l=o2_saturation_mg_l(temperature),
        exchange_h=world.exchange_20_h * 1.024**warmth * surface,
        night_air_h=world.night_air_h * 1.024**warmth * np.exp(wander(rng(), minutes, 0.08, 2.0)),
        alkalinity_ratio=kit,
        valve_log=valve,
        gain_mg_l=one_bubble * gain,
        uptake_mg_l_h=world.uptake_mg_l_h * growth,
        respiration_mg_l_h=world.respiration_mg_l_h * 2.0 ** ((temperature - 25.0) / 10.0) * growth,
    )


def _room(rng: Callable[[], np.random.Generator], world: World, hour: FloatArray) -> FloatArray:
    """Room CO2 [ppm]: people around one hour of the day, windows now and then, never below air."""
    minutes = hour.size
    people = np.exp(3.0 * (np.cos(2.0 * np.pi * (hour - world.room_peak_h) / 24.0) - 1.0))
    crowd = np.exp(wander(rng(), minutes, 0.3, 0.6))
    above = (world.room_base_ppm - 420.0) * np.exp(wander(rng(), minutes, 0.15, 1.0))
    indoor = above + world.room_swing_ppm * people * crowd
    open_window = wander(rng(), minutes, 1.0, 0.15) > 1.6
    shut = _filtered(
        (~open_window).astype(np.float64), np.exp(-1.0 / 40.0), 1 - np.exp(-1.0 / 40.0)
    )
    return 420.0 + indoor * np.clip(shut, 0.0, 1.0)
