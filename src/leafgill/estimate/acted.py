"""What the diary says was done to the tank: hours, valve, pressure, temperature, water changes."""

from __future__ import annotations

from datetime import datetime

import numpy as np

from leafgill.diary import Diary, Entry, Kind
from leafgill.estimate.flow import Count, Flow, Setting, smooth_flow
from leafgill.science.compiled import FloatArray
from leafgill.tank.schedule import Change, Window, parse_window, period_at, window_in_force
from leafgill.tank.spec import Tank
from leafgill.tank.timeline import Timeline, WaterChange, night_air

DEFAULT_LIGHT = "10:00-18:00"
DEFAULT_COUNT_S = 10.0
_ATMOSPHERE_BAR = 1.01325
# After gas-on the hose and the diffuser fill first, and bubbles come slower than they will: dead
# times of up to a quarter of an hour are usual (common practice, no source; the width is ours).
FILLING_H = 0.5


def acted(
    tank: Tank, diary: Diary, start_s: float, now_s: float, assumed: list[str]
) -> tuple[Timeline, Flow, FloatArray]:
    """Return what acted on the tank, noting what had to be assumed."""
    light = _windows(tank.day.light, diary.of(Kind.LIGHT_DAY), start_s)
    if not light:
        assumed.append(f"no hours of light are written; taken as {DEFAULT_LIGHT}")
        light = ((start_s - 86400.0, parse_window(DEFAULT_LIGHT)),)
    gas = _windows(tank.day.gas, diary.of(Kind.GAS_DAY), start_s)
    settings = [
        Setting(max(entry.time.timestamp(), start_s - 86400.0 * 2), entry.number)
        for entry in _in_force(diary.of(Kind.BUBBLE_RATE), start_s)
    ]
    counts = _steady_counts(tank, diary, gas, start_s, assumed)
    if not gas and (settings or counts):
        assumed.append("no hours of gas are written; taken as those of the light")
        gas = light
    air = _air(tank, diary.of(Kind.AIR_DAY), light, start_s)
    pressures = diary.of(Kind.WORKING_PRESSURE)
    moved = [entry.time.timestamp() for entry in pressures]
    flow = smooth_flow(settings, counts, now_s, moved)
    factor = np.ones(len(flow.start_s))
    if pressures:
        base = (tank.rig.working_pressure_bar or pressures[0].number) + _ATMOSPHERE_BAR
        for k, begin in enumerate(flow.start_s):
            known = [p.number for p in pressures if p.time.timestamp() <= begin]
            factor[k] = ((known[-1] if known else pressures[0].number) + _ATMOSPHERE_BAR) / base
    changes = tuple(
        WaterChange(e.time.timestamp(), min(e.number / 100.0, 1.0), e.new_kh_dkh)
        for e in diary.of(Kind.WATER_CHANGE)
        if e.time.timestamp() >= start_s and e.number > 0.0
    )
    timeline = Timeline(
        tank.timezone, gas, light, air, flow.start_s, _temperature(tank, diary, start_s, now_s),
        changes,
    )  # fmt: skip
    return timeline, flow, factor


def _windows(given: Window | None, entries: list[Entry], start_s: float) -> tuple[Change, ...]:
    """Hours from the tank file until the diary says otherwise."""
    changes: list[Change] = [] if given is None else [(start_s - 86400.0, given)]
    changes += [(entry.time.timestamp(), entry.window) for entry in entries]
    return tuple(changes)


def _steady_counts(
    tank: Tank, diary: Diary, gas: tuple[Change, ...], start_s: float, assumed: list[str]
) -> list[Count]:
    """Return the counts that tell the valve's rate: not those of a line that is still filling."""
    counted = [e for e in diary.of(Kind.BUBBLE_COUNT) if e.time.timestamp() >= start_s]
    steady = [entry for entry in counted if not filling(entry.time, gas, tank.timezone)]
    if early := len(counted) - len(steady):
        times = "one bubble count was" if early == 1 else f"{early} bubble counts were"
        assumed.append(
            f"{times} taken within {60.0 * FILLING_H:.0f} minutes of gas-on, while the line fills "
            "and the bubbles come slower; not used for the valve's rate"
        )
    return [Count(e.time.timestamp(), e.number, e.seconds or DEFAULT_COUNT_S) for e in steady]


def filling(at: datetime, gas: tuple[Change, ...], timezone: str) -> bool:
    """Return whether the line still fills at an aware moment, the gas having just come on."""
    period = period_at(at, window_in_force(gas, at.timestamp()), timezone)
    if period is None:
        return False
    return (at - period[0]).total_seconds() < 3600.0 * FILLING_H


def _air(
    tank: Tank, entries: list[Entry], light: tuple[Change, ...], start_s: float
) -> tuple[Change, ...]:
    """Hours of extra aeration; those of the night follow the light until the diary says else."""
    if tank.day.air is not None or not tank.rig.night_air:
        return _windows(tank.day.air, entries, start_s)
    said = _windows(None, entries, start_s)
    if not said:
        return night_air(light)
    return (*(change for change in night_air(light) if change[0] < said[0][0]), *said)


def _in_force(entries: list[Entry], start_s: float) -> list[Entry]:
    """Entries from `start_s` on, and the last before it."""
    later = [entry for entry in entries if entry.time.timestamp() >= start_s]
    earlier = [entry for entry in entries if entry.time.timestamp() < start_s]
    return earlier[-1:] + later


def _temperature(
    tank: Tank, diary: Diary, start_s: float, now_s: float
) -> tuple[tuple[float, float], ...]:
    """Water temperature as points to draw a line through."""
    stream = diary.streams.get("temperature")
    points = [
        (entry.time.timestamp(), entry.number)
        for entry in _in_force(diary.of(Kind.TEMPERATURE), start_s)
    ]
    if stream is not None and len(stream):
        hours = np.arange(start_s, now_s + 1.0, 3600.0)
        points = list(
            zip(
                hours.tolist(),
                np.interp(hours, stream.times_s, stream.values).tolist(),
                strict=True,
            )
        )
    return tuple(points) or ((start_s, tank.temperature_c),)
