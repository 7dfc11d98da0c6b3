"""How well draws explain the scale and the gauge, reading by reading."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from leafgill.advise.supply.gauge import gauge_bar
from leafgill.advise.supply.log import GaugeReading, Life, Log
from leafgill.advise.supply.unknowns import KNOWN_ROOM_SD, State, Unknowns
from leafgill.advise.supply.use import Use
from leafgill.estimate.huber import huber_losses
from leafgill.estimate.likelihood import SCALE_SD_G
from leafgill.science.compiled import FloatArray

# A scale's span is true within this part (a choice of ours).
_SPAN_SD = 0.0005
# What an eye makes of a needle, and how far a room strays from its usual warmth (choices of ours).
_EYE_BAR = 1.5
_ROOM_STRAYS_C = 1.5
# Gas cannot have run out; draws in which it has are pushed back within this part of the charge.
_EMPTY_PART = 0.004


class Given(NamedTuple):
    """Which kinds of reading are listened to."""

    scale: bool
    gauge: bool


ALL = Given(True, True)
NONE = Given(False, False)


@dataclass(frozen=True)
class Stocktaking:
    """The readings put against the gas that was counted; `tip` is what the counter's tip says.

    `tip` is (log of mg a bubble, its sd), None where the tip's width is not known.
    """

    log: Log
    use: Use
    unknowns: Unknowns
    now_s: float
    seconds: tuple[FloatArray, ...]  # of gas before each weighing, a filling each
    gauge_seconds: FloatArray
    now_seconds: FloatArray
    tip: tuple[float, float] | None

    @classmethod
    def of(
        cls,
        log: Log,
        use: Use,
        unknowns: Unknowns,
        now_s: float,
        tip: tuple[float, float] | None,
    ) -> Stocktaking:
        """Return the readings of a log put on the use's stretches."""

        def before(times: list[float], life: Life) -> FloatArray:
            return use.seconds(np.array(times, dtype=np.float64), life.since_s)

        present = log.now
        return cls(
            log,
            use,
            unknowns,
            now_s,
            tuple(before([w.at_s for w in life.weighings], life) for life in log.lives),
            before([g.at_s for g in present.gauges], present),
            before([now_s], present),
            tip,
        )

    def losses(self, z: FloatArray, given: Given = ALL) -> FloatArray:
        """Return minus the log likelihood of coordinates z [m, size], [m]."""
        state = self.unknowns.of(z)
        per_second = self.per_second(state)
        loss = huber_losses(self.errors(state, per_second, given)).sum(axis=1)
        left = self.left_g(state, per_second)
        short = np.minimum(left, 0.0) / (_EMPTY_PART * state.charge_g)
        loss = loss + 0.5 * short * short
        if self.tip is not None:
            off = (np.log(state.bubble_g * 1e3) - self.tip[0]) / self.tip[1]
            loss = loss + 0.5 * off * off
        total: FloatArray = np.where(np.isfinite(loss), loss, np.inf)
        return total

    def errors(self, state: State, per_second: FloatArray, given: Given) -> FloatArray:
        """Return each reading's error in its own widths, [m, n]: weights, then the gauge."""
        found = [np.zeros((state.bubble_g.size, 0))]
        if given.scale:
            last = len(self.log.lives) - 1
            found += [self._earlier(state, per_second, k) for k in range(last)]
            found.append(self._weights(state, per_second))
        if given.gauge:
            found.append(self._gauges(state, per_second))
        return np.concatenate(found, axis=1)

    def per_second(self, state: State) -> FloatArray:
        """Return grams a second of gas in each stretch, [m, k]."""
        if not self.use.stretches:
            return np.zeros((state.bubble_g.size, 0))
        rates = self.use.per_second(state.flow, state.swell)
        grams: FloatArray = state.bubble_g[:, None] * rates
        return grams

    def used_g(
        self, state: State, per_second: FloatArray, life: int, times_s: FloatArray, sec: FloatArray
    ) -> FloatArray:
        """Return grams gone from a filling at each time, leak included, [m, n].

        `sec` [n, k] are the seconds of gas in each stretch before.
        """
        since = self.log.lives[life].since_s
        days = np.maximum(times_s - since, 0.0) / 86400.0
        if not self.use.stretches:
            uncounted: FloatArray = state.uncounted_g_day[:, None] * days
            return uncounted
        leaking = np.broadcast_to(days, (state.bubble_g.size, days.size))
        if life == len(self.log.lives) - 1:
            whole = max(self.now_s - since, 0.0) / 86400.0
            leaking = np.maximum(days - state.leak_from[:, None] * whole, 0.0)
        used: FloatArray = per_second @ sec.T + state.leak_g_day[:, life, None] * leaking
        return used

    def left_g(self, state: State, per_second: FloatArray) -> FloatArray:
        """Return grams in the cylinder now, [m]."""
        now = np.array([self.now_s])
        last = len(self.log.lives) - 1
        gone = self.used_g(state, per_second, last, now, self.now_seconds)
        left: FloatArray = state.first_g - gone[:, 0]
        return left

    def _weights(self, state: State, per_second: FloatArray) -> FloatArray:
        life = self.log.now.weighings
        times = np.array([w.at_s for w in life])
        gross = np.array([w.gross_g for w in life])
        on = np.array([w.regulator for w in life], dtype=np.float64)
        gone = self.used_g(state, per_second, len(self.log.lives) - 1, times, self.seconds[-1])
        shown = state.tare_g[:, None] + state.regulator_g[:, None] * on + state.first_g[:, None]
        errors: FloatArray = (gross - (shown - gone)) / self.scale_sd_g(gross)
        return errors

    def _earlier(self, state: State, per_second: FloatArray, life: int) -> FloatArray:
        """Errors of an earlier filling, whose own masses are taken out: its losses alone speak."""
        weighings = self.log.lives[life].weighings
        m = state.bubble_g.size
        if len(weighings) < 2:
            return np.zeros((m, 0))
        times = np.array([w.at_s for w in weighings])
        gross = np.array([w.gross_g for w in weighings])
        on = np.array([w.regulator for w in weighings], dtype=np.float64)
        gone = self.used_g(state, per_second, life, times, self.seconds[life])
        level = gross + gone - state.regulator_g[:, None] * on
        errors: FloatArray = (level - level.mean(axis=1, keepdims=True)) / self.scale_sd_g(gross)
        return errors

    def scale_sd_g(self, gross_g: FloatArray) -> FloatArray:
        """Return the error of a weighing [g]: the scale's own, its step and its span."""
        step = self.log.scale_step_g / np.sqrt(12.0)
        sd: FloatArray = np.sqrt(SCALE_SD_G**2 + step**2 + (_SPAN_SD * gross_g) ** 2)
        return sd

    def _gauges(self, state: State, per_second: FloatArray) -> FloatArray:
        readings = self.log.now.gauges
        times = np.array([g.at_s for g in readings])
        gone = self.used_g(state, per_second, len(self.log.lives) - 1, times, self.gauge_seconds)
        density = np.maximum(state.first_g[:, None] - gone, 0.0) / state.water_l[:, None]
        room, room_sd = rooms(readings, state)
        shown = gauge_bar(density, room)
        slope = gauge_bar(density, room + 1.0) - shown
        bar = np.array([g.gauge_bar for g in readings])
        step = self.log.gauge_step_bar / np.sqrt(12.0)
        sd = np.sqrt(_EYE_BAR**2 + step**2 + (slope * room_sd) ** 2)
        errors: FloatArray = (bar - shown - state.gauge_bias_bar[:, None]) / sd
        return errors


def rooms(readings: tuple[GaugeReading, ...], state: State) -> tuple[FloatArray, FloatArray]:
    """Return the room's warmth at each reading [m, n] and how far it may be off [n], °C."""
    noted = np.array([np.nan if g.room_c is None else g.room_c for g in readings])
    known = np.isfinite(noted)
    room = np.where(known, noted, state.room_c[:, None])
    return room, np.where(known, KNOWN_ROOM_SD, _ROOM_STRAYS_C)
