"""Many tanks run side by side, a step at a time: the members as believed, and each fault's."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from leafgill.estimate.watch.members import (
    ACID,
    ALKALINITY,
    CHECKER,
    CO2,
    FAR,
    MEAN,
    O2,
    PH,
    USED,
    Drift,
    Members,
)
from leafgill.science.compiled import FloatArray
from leafgill.tank.forcing import Draws, Forcing
from leafgill.tank.model import simulate
from leafgill.tank.trends import grown

# A solenoid that was stuck before the step has long filled its line [h].
_LONG_OPEN_H = 24.0
# Where a shut valve's rate, whose log is no number, is held while it is not needed.
_LEAST_LOG = -50.0
# A sudden change of water takes this long in the model [h].
_AT_ONCE_H = 1e-3


class Way(NamedTuple):
    """How a lane's day differs from the timer's."""

    gas: str = ""
    air: bool = False
    dark: bool = False

    def of(self, step: Forcing) -> Forcing:
        """Return a step as this way has it."""
        if self.gas == "open":
            step = step._replace(
                gas=np.ones_like(step.gas), open_h=np.full_like(step.open_h, _LONG_OPEN_H)
            )
        elif self.gas == "shut":
            step = step._replace(gas=np.zeros_like(step.gas))
        if self.air:
            step = step._replace(air=np.ones_like(step.air))
        if self.dark:
            step = step._replace(light=np.zeros_like(step.light))
        return step


@dataclass
class Bent:
    """What faults do to lanes [k] in a step: logs, grams an hour, and the day's ways."""

    rate: FloatArray
    dissolved: FloatArray
    alkalinity: FloatArray  # log, of this step alone
    leak_g_h: FloatArray
    ways: tuple[Way, ...]
    way: NDArray[np.int64]  # [k] which of the ways


def advance(
    members: Members,
    drift: Drift,
    which: NDArray[np.int64],
    state: FloatArray,
    step: Forcing,
    hours: float,
    bent: Bent,
    new_alkalinity: FloatArray,
) -> FloatArray:
    """Return the state [k, STATE] of lanes after one step that begins at `hours` on the trends.

    `which` [k] names each lane's member, whose drift it shares; `new_alkalinity` [m, 1] is of the
    water of a change in this step.
    """
    draws = members.draws
    log_rate = members.log_rate[which] + bent.rate
    rate = np.exp(log_rate)
    log_rate = np.maximum(log_rate, _LEAST_LOG)
    log_flow = (1.0 + members.swell[which]) * log_rate
    dissolves = drift.gain[which] + bent.dissolved
    flow = np.exp(log_flow - members.bend[which] * log_rate + dissolves) * members.pressure[which]
    flow[rate <= 0.0] = 0.0
    out = state.copy()
    out[:, ALKALINITY] *= np.exp(bent.alkalinity)
    moved = Draws(*(np.ascontiguousarray(field[which]) for field in draws))._replace(
        exchange_per_h=draws.exchange_per_h[which] * np.exp(drift.exchange[which]),
        uptake_mg_l_h=draws.uptake_mg_l_h[which] * np.exp(drift.uptake[which]),
        room_co2_ppm=420.0 + (draws.room_co2_ppm[which] - 420.0) * np.exp(drift.room[which]),
        alkalinity_meq_l=out[:, ALKALINITY].copy(),
        acid_meq_l=out[:, ACID].copy(),
        co2_start_mg_l=out[:, CO2].copy(),
        co2_far_start_mg_l=out[:, FAR].copy(),
        o2_start_mg_l=out[:, O2].copy(),
        flow=np.ascontiguousarray(flow[:, None]),
        new_alkalinity_meq_l=np.ascontiguousarray(new_alkalinity[which]),
    )
    dt = float(step.dt_h[0])
    gas_h = np.zeros(which.size)
    for k, way in enumerate(bent.ways):
        mine = np.flatnonzero(bent.way == k)
        if not mine.size:
            continue
        one = way.of(step)
        _run(moved.take(mine), one, hours, dt, out, mine)
        lag = members.draws.line_lag_h[which[mine]]
        gas_h[mine] = np.minimum(one.gas[0] * dt, np.maximum(one.open_h[0] - lag, 0.0))
    decay, ramp = _lag(dt, members.traits.checker_lag[which])
    rising = out[:, CO2] - state[:, CO2]
    out[:, CHECKER] = out[:, CO2] + (state[:, CHECKER] - state[:, CO2]) * decay + rising * ramp
    grams = 1e-3 * members.bubble_mg[which] * np.exp(log_flow) * members.pressure[which]
    grams[rate <= 0.0] = 0.0
    leaked = members.leak_g_day[which] / 24.0 + bent.leak_g_h
    out[:, USED] += grams * gas_h * 3600.0 + leaked * dt
    out[:, ACID] *= 1.0 - float(step.change[0])
    return out


def _run(
    draws: Draws, step: Forcing, hours: float, dt: float, out: FloatArray, mine: NDArray[np.int64]
) -> None:
    """Run some lanes through a step, filling their rows of `out`."""
    course = simulate(step, draws, hours)
    out[mine, CO2] = course.co2_mg_l[:, -1]
    out[mine, FAR] = course.co2_far_mg_l[:, -1]
    out[mine, O2] = course.o2_min_mg_l()[:, -1]
    out[mine, PH] = course.ph[:, -1]
    out[mine, MEAN] = course.co2_mean_mg_l()[:, -1]
    trend = grown(draws.alkalinity_trend_per_day, hours + dt)
    out[mine, ALKALINITY] = course.alkalinity_meq_l[:, -1] / trend


def changed(
    members: Members,
    which: NDArray[np.int64],
    state: FloatArray,
    step: Forcing,
    hours: float,
    part: float,
    log_kh: float,
) -> FloatArray:
    """Return lanes after an unwritten change of a part of the water that moves KH by `log_kh`."""
    sudden = step._replace(
        dt_h=np.array([_AT_ONCE_H]),
        change=np.array([part]),
        change_index=np.zeros(1),
        gas=np.zeros(1),
    )
    tap = state[:, ALKALINITY] * (1.0 + np.expm1(log_kh) / part)
    draws = Draws(*(np.ascontiguousarray(field[which]) for field in members.draws))._replace(
        alkalinity_meq_l=state[:, ALKALINITY].copy(),
        acid_meq_l=state[:, ACID].copy(),
        co2_start_mg_l=state[:, CO2].copy(),
        co2_far_start_mg_l=state[:, FAR].copy(),
        o2_start_mg_l=state[:, O2].copy(),
        flow=np.zeros((which.size, 1)),
        new_alkalinity_meq_l=np.maximum(tap, 0.02)[:, None],
    )
    out = state.copy()
    _run(draws, sudden, hours, _AT_ONCE_H, out, np.arange(which.size))
    out[:, ACID] *= 1.0 - part
    return out


def _lag(dt_h: float, lag_h: FloatArray) -> tuple[FloatArray, FloatArray]:
    """`indicator.lag_factors` of many lags."""
    z = dt_h / lag_h
    return np.exp(-z), np.expm1(-z) / z
