"""What the coming hours bring under a plan: every draw of the belief run on from now."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import NamedTuple, Protocol

import numpy as np
from scipy.special import ndtri

from leafgill.advise.air import with_stone
from leafgill.estimate.belief import Band, Belief, Interval, along, band, interval
from leafgill.estimate.believe import days_of
from leafgill.estimate.flow import SETTING_SD
from leafgill.science.compiled import FloatArray
from leafgill.tank.forcing import Course, Draws
from leafgill.tank.limits import Limits, limits_of
from leafgill.tank.model import simulate
from leafgill.tank.schedule import Window
from leafgill.tank.spec import Tank
from leafgill.tank.timeline import Timeline
from leafgill.tank.trends import grown

# A new edge this near to another would make a step of no length [s].
_SAME_S = 1.0


class Plan(NamedTuple):
    """What is to change from now on; None leaves a thing as it is.

    `bubble_rate` [1/s] is counted after the valve was turned; 0 shuts it. `gas` and `air` are
    hours of the day; `schedule.NEVER` turns a thing off for good.
    """

    bubble_rate: float | None = None
    gas: Window | None = None
    air: Window | None = None


@dataclass(frozen=True)
class Outlook:
    """Draws of what is ahead at times [n], each [m, n]."""

    times_s: FloatArray  # epoch seconds, the first is the moment the plan begins
    co2: FloatArray  # of the whole water [mg/L]
    co2_max: FloatArray  # where it is highest [mg/L]
    o2: FloatArray  # where it is lowest [mg/L]
    ph: FloatArray  # of the open water
    model_co2: FloatArray  # of the open water, before straying [mg/L]

    def at(self, what: str, time_s: float) -> FloatArray:
        """Return the draws [m] of one of the fields at a moment within the times."""
        return self.through(what, np.array([time_s]))[:, 0]

    def through(self, what: str, times_s: FloatArray) -> FloatArray:
        """Return the draws [m, k] of one of the fields at moments [k] within the times."""
        return along(self.times_s, getattr(self, what), times_s)


class Risks(NamedTuple):
    """The heights and depths of some hours, with the chances of passing a limit, parts of 1.

    `peak` the highest CO2 anywhere, `o2_min` the lowest oxygen [mg/L].
    """

    peak: Interval
    p_over_limit: float
    p_over_danger: float
    o2_min: Interval
    p_low_o2: float


@dataclass(frozen=True)
class Forecast:
    """The coming hours with 90 % intervals, held against the animals' limits.

    `times_s` [n] epoch seconds; bands in mg/L and pH; `peak` the highest CO2 anywhere in the
    tank, `o2_min` the lowest oxygen [mg/L]. The chances are parts of 1: that CO2 somewhere passes
    the limit, that it passes 1.25 times the limit, that oxygen falls below its minimum.
    """

    times_s: FloatArray
    co2: Band
    co2_max: Band
    o2: Band
    ph: Band
    peak: Interval
    p_over_limit: float
    p_over_danger: float
    o2_min: Interval
    p_low_o2: float


def forecast(tank: Tank, belief: Belief, plan: Plan, until: datetime) -> Forecast:
    """Return what a plan begun at the belief's now brings until an aware moment.

    The same belief gives the same forecast. Raises ValueError when `until` has no time zone or
    is not after now.
    """
    if until.tzinfo is None:
        raise ValueError(f"time {until} has no zone")
    ahead = look_ahead(belief, plan, belief.now.timestamp(), until.timestamp())
    return Forecast(
        times_s=ahead.times_s,
        co2=band(ahead.co2),
        co2_max=band(ahead.co2_max),
        o2=band(ahead.o2),
        ph=band(ahead.ph),
        **risks(ahead, limits_of(tank))._asdict(),
    )


class Ahead(Protocol):
    """Draws of a day, each [m, n]: CO2 where it is highest and oxygen where it is lowest [mg/L]."""

    @property
    def co2_max(self) -> FloatArray: ...  # noqa: D102

    @property
    def o2(self) -> FloatArray: ...  # noqa: D102


def risks(ahead: Ahead, limits: Limits) -> Risks:
    """Return what a day means against the animals' limits."""
    peak, least = ahead.co2_max.max(axis=1), ahead.o2.min(axis=1)
    return Risks(
        peak=interval(peak),
        p_over_limit=float(np.mean(peak > limits.co2_mg_l)),
        p_over_danger=float(np.mean(peak > limits.co2_danger_mg_l)),
        o2_min=interval(least),
        p_low_o2=float(np.mean(least < limits.o2_min_mg_l)),
    )


def look_ahead(
    belief: Belief,
    plan: Plan,
    from_s: float,
    until_s: float,
    *,
    act_s: float | None = None,
) -> Outlook:
    """Return the draws from `from_s` to `until_s` [epoch s] with a plan that begins at `act_s`.

    `act_s` is `from_s` unless given, and never before it. Air in the plan is a stone of unknown
    strength where the tank has none. Where `until_s` passes the belief's own days, the straying
    of their last moment is kept. Raises ValueError when the times do not rise or `from_s` is
    outside the belief's days.
    """
    act = from_s if act_s is None else max(act_s, from_s)
    timeline, flow = bent(belief, plan, act)
    draws = belief.draws if plan.air is None else with_stone(belief)
    return run(belief, timeline, draws._replace(flow=flow), from_s, until_s)


def run(
    belief: Belief,
    timeline: Timeline,
    draws: Draws,
    from_s: float,
    until_s: float,
    *,
    steps_s: FloatArray | None = None,
) -> Outlook:
    """Return the draws from `from_s` to `until_s` on a timeline, begun in the belief's state.

    `draws` are the belief's, with whatever is to differ from now on; their state, alkalinity and
    acid are put in here. `steps_s` are the edges of the steps, in seconds after `from_s`, where
    the timeline's own are too coarse. Raises as `look_ahead`.
    """
    if not belief.edges_s[0] <= from_s < min(until_s, belief.edges_s[-1]):
        raise ValueError("the times ahead must begin within the belief's days and rise")
    # The state is taken at the belief's own edge before: a water change in between is then met
    # once, as a whole, just as the belief met it.
    k = int(np.searchsorted(belief.edges_s, from_s, side="right")) - 1
    edges = _edges(timeline, float(belief.edges_s[k]), from_s, until_s, steps_s)
    start_h = float(edges[0] - belief.problem.evidence.start_s) / 3600.0
    course = simulate(timeline.forcing(edges), _state(belief, draws, k, start_h), start_h)
    return _seen(belief, course, edges, from_s)


def bent(belief: Belief, plan: Plan, act_s: float) -> tuple[Timeline, FloatArray]:
    """Return the belief's timeline bent by a plan from `act_s` on, and the flow [m, stretches].

    A rate that is named is set by counting, so each draw gets an error of its own; without one
    the draws keep what the valve gives now.
    """
    timeline = belief.problem.evidence.timeline
    flow = belief.draws.flow
    if plan.gas is not None:
        timeline = timeline.with_gas(act_s, plan.gas)
    if plan.air is not None:
        timeline = timeline.with_air(act_s, plan.air)
    if plan.bubble_rate is not None:
        timeline = timeline.with_setting(act_s)
        before = flow[:, : len(timeline.setting_s) - 1]
        flow = np.column_stack([before, set_flow(belief, plan.bubble_rate)])
    return timeline, np.ascontiguousarray(flow)


def set_flow(belief: Belief, rate: float) -> FloatArray:
    """Return what dissolves of the gas after the valve was set to a counted rate [1/s], [m].

    In the belief's own measure, bubbles of 1/s: larger rates make larger bubbles, of which a
    smaller part dissolves. 0 for a shut valve.
    """
    problem, z = belief.problem, belief.z
    if rate <= 0.0:
        return np.zeros(belief.count)
    log_rate = np.log(rate) + SETTING_SD * _scores(belief.count)
    exponent = 1.0 + problem.value(z, "swell") - problem.value(z, "bend")
    factor = problem.evidence.pressure_factor
    flow: FloatArray = np.exp(exponent * log_rate) * (factor[-1] if factor.size else 1.0)
    return flow


def _scores(count: int) -> FloatArray:
    """Return normal scores in a fixed shuffled order: every forecast of a belief sees the same."""
    shuffled = np.random.default_rng(count).permutation(count)
    scores: FloatArray = ndtri((shuffled + 0.5) / count)
    return scores


def _edges(
    timeline: Timeline, edge_s: float, from_s: float, until_s: float, steps_s: FloatArray | None
) -> FloatArray:
    """Return step edges: the belief's edge before, the moment itself, then the timeline's own."""
    grid = timeline.edges(from_s, until_s) if steps_s is None else from_s + steps_s
    inside = grid[(grid > from_s + _SAME_S) & (grid < until_s - _SAME_S)]
    first = [edge_s] if from_s - edge_s > _SAME_S else []
    return np.concatenate([first, [from_s], inside, [until_s]])


def _state(belief: Belief, draws: Draws, k: int, start_h: float) -> Draws:
    """Return draws that begin in the belief's state at its edge k."""
    days, evidence = belief.days, belief.problem.evidence
    # The kernel lays the drift on the alkalinity again, so it is taken out here.
    drift = grown(draws.alkalinity_trend_per_day, start_h)
    # New water brings none of the acid: what earlier changes left of it.
    left = evidence.timeline.old_water(float(belief.edges_s[k]))
    return draws._replace(
        co2_start_mg_l=np.ascontiguousarray(days.model_co2[:, k]),
        co2_far_start_mg_l=np.ascontiguousarray(days.model_co2_far[:, k]),
        o2_start_mg_l=np.ascontiguousarray(days.o2[:, k]),
        alkalinity_meq_l=days.alkalinity_meq_l[:, k] / drift,
        acid_meq_l=draws.acid_meq_l * left,
    )


def _seen(belief: Belief, course: Course, edges: FloatArray, from_s: float) -> Outlook:
    """Lay the straying that the belief drew for those hours on a course, from `from_s` on."""
    times = np.minimum(edges, belief.edges_s[-1])
    days = days_of(course, belief.through("straying", times))
    first = int(np.searchsorted(edges, from_s - _SAME_S))
    return Outlook(
        edges[first:],
        *(np.asarray(getattr(days, name))[:, first:]
          for name in ("co2", "co2_max", "o2", "ph", "model_co2")),
    )  # fmt: skip
