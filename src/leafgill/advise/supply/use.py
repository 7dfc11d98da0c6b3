"""Gas that went through the counter: seconds of gas at each setting, put against the weighings."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from leafgill.diary import Diary
from leafgill.estimate.acted import acted
from leafgill.estimate.flow import CREEP_SD_PER_ROOT_DAY, Flow
from leafgill.science.compiled import FloatArray
from leafgill.tank.schedule import Change, on_spans, window_in_force
from leafgill.tank.spec import Tank

# A valve is counted anew about this often, so that its creep ahead is that of so many days.
_COUNTED_EVERY_DAYS = 14.0
AHEAD_SD = CREEP_SD_PER_ROOT_DAY * float(np.sqrt(_COUNTED_EVERY_DAYS))


@dataclass(frozen=True)
class Use:
    """What was set and when gas ran, over all fillings the diary still tells of.

    `flow` has the rates of its stretches, `factor` [k] the moles a bubble by working pressure.
    `hours_a_day` are the gas hours in force now, None where none are known or the gas is off.
    """

    flow: Flow
    factor: FloatArray
    gas: tuple[Change, ...]
    timezone: str
    hours_a_day: float | None
    shut: bool
    assumed: tuple[str, ...]

    @property
    def stretches(self) -> int:
        """Number of stretches of one setting."""
        return len(self.flow.start_s)

    @property
    def directions(self) -> int:
        """Number of coordinates that the rates move along."""
        return int(self.flow.directions.shape[0])

    @property
    def known(self) -> bool:
        """Whether a setting is known that runs."""
        return bool(self.stretches) and bool(self.hours_a_day) and not self.shut

    def seconds(self, times_s: FloatArray, since_s: float) -> FloatArray:
        """Return the seconds of gas in each stretch between `since_s` and each time, [n, k]."""
        times = np.atleast_1d(np.asarray(times_s, dtype=np.float64))
        if not self.stretches or not times.size:
            return np.zeros((times.size, self.stretches))
        starts = np.asarray(self.flow.start_s)
        last = max(float(times.max()), since_s) + 1.0
        spans = on_spans(min(float(starts[0]), since_s), last, self.gas, self.timezone)
        ends = np.append(starts[1:], np.inf)
        upto = np.clip(times[:, None], np.maximum(starts, since_s), np.maximum(ends, since_s))
        base = np.maximum(starts, since_s)[None, :]
        seconds: FloatArray = np.maximum(_on_before(upto, spans) - _on_before(base, spans), 0.0)
        return seconds

    def per_second(self, z: FloatArray, swell: FloatArray) -> FloatArray:
        """Return gas a second in bubbles of 1/s, [m, k]; bubbles grow with the rate by `swell`."""
        return self.flow.rates(z, -swell) * self.factor


def _on_before(times: FloatArray, spans: list[tuple[float, float]]) -> FloatArray:
    """Return the seconds it was on before each time."""
    if not spans:
        return np.zeros_like(times)
    ends = np.array(spans)
    total = np.cumsum(ends[:, 1] - ends[:, 0])
    before = np.concatenate(([0.0], total[:-1]))
    on: FloatArray = np.interp(times, ends.ravel(), np.column_stack((before, total)).ravel())
    return on


def use_of(tank: Tank, diary: Diary, start_s: float, now_s: float) -> Use:
    """Return the use from `start_s` on as a localised diary tells it up to now [epoch s]."""
    assumed: list[str] = []
    timeline, flow, factor = acted(tank, diary, start_s, now_s, assumed)
    window = window_in_force(timeline.gas, now_s)
    hours = None if window is None or window.never else window.hours
    shut = bool(flow.shut.size) and bool(flow.shut[-1] > 0.5)
    told = tuple(text for text in assumed if not text.startswith("no hours of light"))
    return Use(flow, factor, timeline.gas, tank.timezone, hours, shut, told)
