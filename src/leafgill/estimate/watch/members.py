"""The tanks a watch sets out with: draws of a belief at its moment, each with a drift of its own.

A belief speaks of a tank that goes on as it was. Between two fits surface, plants, room and valve
wander by themselves; each member wanders its own way, so that what the members have in common is
what may be held against a reading. Widths are choices of ours.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from leafgill.estimate.belief import Belief
from leafgill.estimate.daily import daily_waves
from leafgill.estimate.likelihood import SCALE_SD_G
from leafgill.estimate.problem import Traits
from leafgill.estimate.readings import gas_seconds
from leafgill.science.compiled import FloatArray
from leafgill.science.indicator import lagged
from leafgill.tank.forcing import Draws
from leafgill.tank.trends import grown

# Wanderings about the mean, as a part of it: (width, memory in days).
EXCHANGE_WANDER = (0.08, 2.0)
UPTAKE_WANDER = (0.08, 1.0)
ROOM_WANDER = (0.35, 0.6)
GAIN_WANDER = (0.025, 0.8)
# The valve's creep, 1/day and 1/root day; a diffuser's usual clogging is in the draws.
VALVE_TREND_SD, VALVE_WALK_SD = 0.02, 0.03
# Where no air ever ran: a stone as strong as the surface, within a factor of two for most.
STONE_WIDTH = 0.5
# A joint that weeps a little is no fault [g/day], exponential.
USUAL_LEAK_G_DAY = 0.5
_CHECKER_PAST_H = 24.0

# Columns of a lane's state.
CO2, FAR, O2, ALKALINITY, ACID, CHECKER, USED, PH, MEAN = range(9)
STATE = 9


@dataclass
class Members:
    """Draws [m] with instruments and state; `state` is [m, STATE] at `start_s`."""

    start_s: float
    now_s: float
    origin_s: float  # hour 0 of the draws' trends and of the electrode's drift
    draws: Draws
    traits: Traits
    offset: FloatArray  # of the electrode as last calibrated [m]
    log_rate: FloatArray  # of the bubbles counted, -inf where the valve is shut
    swell: FloatArray
    bend: FloatArray
    bubble_mg: FloatArray
    full_g: FloatArray  # what the cylinder would weigh with nothing used since the last weighing
    leak_g_day: FloatArray
    straying: FloatArray  # off the model at the belief's moment, daily waves apart [pH]
    state: FloatArray
    pressure: FloatArray
    weighed: bool

    @property
    def count(self) -> int:
        """Number of members."""
        return int(self.bend.size)

    @property
    def roughness2(self) -> float:
        """Mean square of the straying's width [pH²]."""
        return float(np.mean(self.traits.roughness**2))


def members_of(belief: Belief, copies: int, rng: np.random.Generator) -> Members:
    """Return `copies` members of every draw of a belief, at the last edge before its moment."""
    problem, evidence = belief.problem, belief.problem.evidence
    z = np.tile(belief.z, (copies, 1))
    rows = np.tile(np.arange(belief.count), copies)
    now_s = belief.now.timestamp()
    k = int(np.searchsorted(belief.edges_s, now_s, side="right")) - 1
    start_s = float(belief.edges_s[k])
    traits, draws = problem.traits(z), problem.draws(z)
    if not evidence.has_air:
        stone = np.exp(STONE_WIDTH * rng.standard_normal(rows.size))
        draws = draws._replace(exchange_air_per_h=draws.exchange_per_h * stone)
    waves = traits.daily @ daily_waves(np.array([start_s]), evidence.tank.timezone)[0]
    full, weighed = _full(belief, z, rng)
    shut = evidence.flow.shut[-1] > 0.5 if evidence.flow.start_s else True
    log_rate = np.full(rows.size, -np.inf)
    if not shut:
        part = problem.several(z, "flow_") @ evidence.flow.directions[:, -1]
        log_rate = evidence.flow.log_mean[-1] + part
    factor = evidence.pressure_factor
    return Members(
        start_s=start_s,
        now_s=now_s,
        origin_s=evidence.start_s,
        draws=draws,
        traits=traits,
        offset=traits.offset[:, -1].copy(),
        log_rate=log_rate,
        swell=problem.value(z, "swell"),
        bend=problem.value(z, "bend"),
        bubble_mg=problem.value(z, "bubble_mass"),
        full_g=full,
        leak_g_day=rng.exponential(USUAL_LEAK_G_DAY, rows.size),
        straying=belief.days.straying[rows, k] - waves,
        state=_state(belief, draws, traits, rows, k),
        pressure=np.full(rows.size, factor[-1] if factor.size else 1.0),
        weighed=weighed,
    )


def _state(belief: Belief, draws: Draws, traits: Traits, rows: np.ndarray, k: int) -> FloatArray:
    """Return the state [m, STATE] of the belief's draws at its edge k."""
    days, evidence = belief.days, belief.problem.evidence
    start_s = float(belief.edges_s[k])
    drift = grown(draws.alkalinity_trend_per_day, (start_s - evidence.start_s) / 3600.0)
    left = evidence.timeline.old_water(start_s)
    past = belief.edges_s[: k + 1] >= start_s - _CHECKER_PAST_H * 3600.0
    hours = (belief.edges_s[: k + 1][past] - start_s) / 3600.0
    seen = days.model_co2[:, : k + 1][:, past]
    state = np.empty((rows.size, STATE))
    state[:, CO2] = days.model_co2[rows, k]
    state[:, FAR] = days.model_co2_far[rows, k]
    state[:, O2] = days.o2[rows, k]
    state[:, ALKALINITY] = days.alkalinity_meq_l[rows, k] / drift
    state[:, ACID] = draws.acid_meq_l * left
    state[:, CHECKER] = state[:, CO2]
    if hours.size > 1:
        one = traits.checker_lag[: belief.count]
        state[:, CHECKER] = lagged(hours, seen, one)[rows, -1]
    state[:, USED] = 0.0
    state[:, PH] = days.ph[rows, k] - days.straying[rows, k]
    state[:, MEAN] = state[:, CO2]
    return state


def _full(belief: Belief, z: FloatArray, rng: np.random.Generator) -> tuple[FloatArray, bool]:
    """(What a scale would show at the belief's moment [m], whether it was ever weighed)."""
    problem, evidence = belief.problem, belief.problem.evidence
    weighed = evidence.weighings
    count = z.shape[0]
    if not weighed.mass_g.size:
        return np.zeros(count), False
    if not weighed.gas_s.shape[1]:
        return np.full(count, weighed.mass_g[-1]) + rng.normal(0.0, SCALE_SD_G, count), True
    rates = problem.rates(z, bent=False) * evidence.pressure_factor
    per_s = 1e-3 * problem.value(z, "bubble_mass")[:, None] * rates
    mine = weighed.cylinder == weighed.cylinder[-1]
    full = (weighed.mass_g[mine] + per_s @ weighed.gas_s[mine].T).mean(axis=1)
    full += rng.normal(0.0, SCALE_SD_G / np.sqrt(mine.sum()), count)
    return full - per_s @ gas_seconds(evidence.forcing, rates.shape[1]), True


class Drift:
    """Where each member's surface, plants, room and gas have wandered to [log, m]."""

    def __init__(self, count: int, rng: np.random.Generator) -> None:
        self._rng = rng
        self.exchange = EXCHANGE_WANDER[0] * rng.standard_normal(count)
        self.uptake = UPTAKE_WANDER[0] * rng.standard_normal(count)
        self.room = ROOM_WANDER[0] * rng.standard_normal(count)
        self.gain = GAIN_WANDER[0] * rng.standard_normal(count)
        self._valve_trend = VALVE_TREND_SD * rng.standard_normal(count)

    def step(self, days: float) -> FloatArray:
        """Wander on for a time; return what the valve moved meanwhile [log, m]."""
        for name, (width, memory) in (
            ("exchange", EXCHANGE_WANDER), ("uptake", UPTAKE_WANDER),
            ("room", ROOM_WANDER), ("gain", GAIN_WANDER),
        ):  # fmt: skip
            kept = float(np.exp(-days / memory))
            kick = width * np.sqrt(1.0 - kept * kept)
            now = getattr(self, name)
            setattr(self, name, kept * now + kick * self._rng.standard_normal(now.size))
        walked = VALVE_WALK_SD * np.sqrt(days) * self._rng.standard_normal(self.gain.size)
        moved: FloatArray = self._valve_trend * days + walked
        return moved
