"""The tank's days as they were and will be: hours, valve, temperature, water changes.

A timeline is plain data made from the description and the diary, or bent by a plan; `forcing`
puts it on a grid of steps for the kernel.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from leafgill.science.compiled import FloatArray
from leafgill.science.constants import STANDARD_HPA
from leafgill.tank.clock import offset_s
from leafgill.tank.forcing import Forcing
from leafgill.tank.schedule import (
    Change,
    Window,
    fraction_on,
    open_hours,
    open_spans,
    phase,
)

_FINE_S = 600
_COARSE_S = 1800
# Steps are fine from just before a switch until the water has answered most quickly.
_BEFORE_S = 600
_AFTER_S = 5400


@dataclass(frozen=True, slots=True)
class WaterChange:
    """Part of the water replaced, when, and the new water's KH where it was noted."""

    at_s: float
    part: float
    new_kh_dkh: float | None = None


@dataclass(frozen=True, slots=True)
class Timeline:
    """What acted and will act on the tank; times in epoch seconds."""

    timezone: str
    gas: tuple[Change, ...]
    light: tuple[Change, ...]
    air: tuple[Change, ...]
    setting_s: tuple[float, ...]  # starts of the stretches of one bubble rate
    temperature: tuple[tuple[float, float], ...]  # (s, °C)
    changes: tuple[WaterChange, ...] = ()
    pressure_hpa: float = STANDARD_HPA

    def with_gas(self, from_s: float, window: Window | None) -> Timeline:
        """Return the timeline with other gas hours from a moment on."""
        return replace(self, gas=(*(c for c in self.gas if c[0] < from_s), (from_s, window)))

    def with_air(self, from_s: float, window: Window | None) -> Timeline:
        """Return the timeline with other aeration hours from a moment on."""
        return replace(self, air=(*(c for c in self.air if c[0] < from_s), (from_s, window)))

    def with_setting(self, from_s: float) -> Timeline:
        """Return the timeline with one more stretch of bubble rate, the last, from `from_s`."""
        return replace(self, setting_s=(*(s for s in self.setting_s if s < from_s), from_s))

    def old_water(self, until_s: float) -> float:
        """Return the part of the first water that the changes before a moment have left."""
        return float(np.prod([1.0 - c.part for c in self.changes if c.at_s < until_s]))

    def edges(self, first_s: float, last_s: float) -> FloatArray:
        """Return step edges [s] from `first_s` to `last_s`: fine after switches, else coarse."""
        first = np.floor(first_s / _FINE_S) * _FINE_S
        fine = np.arange(first, last_s + _FINE_S, _FINE_S)
        keep = np.asarray(fine % _COARSE_S == 0)
        moments = [*self.setting_s, *(change.at_s for change in self.changes)]
        for changes in (self.gas, self.light, self.air):
            for low, high, _, _ in open_spans(
                float(fine[0]), float(fine[-1]), changes, self.timezone
            ):
                moments += [low, high]
        for moment in moments:
            low, high = np.searchsorted(fine, [moment - _BEFORE_S, moment + _AFTER_S])
            keep[low:high] = True
        keep[0] = keep[-1] = True
        edges: FloatArray = fine[keep]
        return edges

    def segments(self, edges_s: FloatArray) -> NDArray[np.int64]:
        """Return which setting is in force in each step; -1 before the first."""
        middle = 0.5 * (edges_s[1:] + edges_s[:-1])
        return np.searchsorted(np.asarray(self.setting_s), middle, side="right") - 1

    def forcing(self, edges_s: FloatArray) -> Forcing:
        """Put the timeline on steps.

        A water change acts at the start of the step it falls in, or of the next that has none.
        """
        gas = fraction_on(edges_s, self.gas, self.timezone)
        segment = self.segments(edges_s)
        gas = np.where(segment < 0, 0.0, gas)
        middle = 0.5 * (edges_s[1:] + edges_s[:-1])
        angle = 2.0 * np.pi * hour_of_day(middle, self.timezone) / 24.0
        change = np.zeros(middle.size)
        index = np.full(middle.size, -1.0)
        for k, item in enumerate(self.changes):
            step = int(np.searchsorted(edges_s, item.at_s, side="right")) - 1
            while 0 <= step < middle.size and change[step] > 0.0:
                step += 1
            if 0 <= step < middle.size:
                change[step], index[step] = item.part, k
        times, values = zip(*self.temperature, strict=True)
        return Forcing(
            dt_h=np.diff(edges_s) / 3600.0,
            gas=gas,
            open_h=open_hours(edges_s, self.gas, self.timezone),
            segment=np.maximum(segment, 0).astype(np.float64),
            light=fraction_on(edges_s, self.light, self.timezone),
            light_phase=phase(edges_s, self.light, self.timezone),
            air=fraction_on(edges_s, self.air, self.timezone),
            temperature_c=np.round(np.interp(middle, times, values), 1),
            room_cos=np.cos(angle),
            room_sin=np.sin(angle),
            change=change,
            change_index=index,
            pressure_hpa=np.full(middle.size, self.pressure_hpa),
        )


def hour_of_day(at_s: FloatArray, timezone: str) -> FloatArray:
    """Wall-clock hour; the zone's offset is looked up once a day, which is close enough here."""
    days = np.arange(np.floor(at_s[0] / 86400.0), np.floor(at_s[-1] / 86400.0) + 1)
    offsets = np.array([offset_s(day * 86400.0, timezone) for day in days])
    local = at_s + offsets[(np.floor(at_s / 86400.0) - days[0]).astype(np.int64)]
    hour: FloatArray = local % 86400.0 / 3600.0
    return hour


def night_air(light: Iterable[Change]) -> tuple[Change, ...]:
    """Return aeration hours that run while the light is off."""
    return tuple(
        (at, None if window is None or window.never else window.rest) for at, window in light
    )
