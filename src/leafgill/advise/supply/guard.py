"""The end of the cylinder: what the regulator does when the liquid has gone, and to whom.

While liquid remains the pressure before the regulator stands still. Afterwards it falls, the
working pressure rises by the regulator's supply-pressure effect, and an untouched needle valve
passes more gas. How much more is put through the tank model on the belief's own draws.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from leafgill.advise.back_pressure import back_bar
from leafgill.advise.drawn import drawn, range_of
from leafgill.advise.forecast import Risks, risks, run
from leafgill.advise.gas_need import surged
from leafgill.advise.rules import MOST_OVER_LIMIT
from leafgill.advise.supply.gauge import COLDEST_C, WARMEST_C, gauge_bar
from leafgill.advise.supply.stock import Stock
from leafgill.estimate.belief import Belief
from leafgill.science.cited import Range
from leafgill.science.co2_fluid import (
    STANDARD_BAR,
    saturation_pressure_bar,
    vapour_density_kg_m3,
)
from leafgill.science.compiled import FloatArray
from leafgill.science.regulator import (
    EFFECTS,
    needle_flow_ratio,
    outlet_gauge_bar,
    two_stage_outlet_gauge_bar,
)
from leafgill.tank.limits import limits_of
from leafgill.tank.spec import Tank

AHEAD_S = 86400.0
# Working pressure where none is written down [bar], and how far a written one is off (choices of
# ours; keepers' discs ask for 1 to 3 bar).
USUAL_WORKING_BAR = Range(2.0, 1.3, 3.0)
_READ_PART = 0.08
# Parts of the last liquid's mass at which the surge is worked out.
PARTS = (1.0, 0.9, 0.8, 0.7, 0.6, 0.5, 0.4, 0.3, 0.2, 0.15, 0.1, 0.07)
# A chance of passing the limit that differs by less is the same, of a few hundred draws.
_MORE = 0.02
# The pressure behind the valve is no more than this part of the working pressure, or nothing flows.
_MOST_BACK = 0.8


@dataclass(frozen=True)
class SurgeRisk:
    """What one kind of regulator does at the end, the valve left as it is.

    `ratio` is the most gas against the setting, `peak` the highest CO2 anywhere in the day after
    with it. `change_part` of the last liquid's mass, `change_g`, is left when it is time to change,
    before the chance of passing the limit exceeds one in ten; `change_bar` is what the gauge then
    shows. None where it never comes to that.
    """

    kind: str
    ratio: Range
    worst: Risks | None
    change_part: float | None
    change_g: Range | None
    change_bar: Range | None
    ratios: FloatArray  # [parts, m]
    chances: tuple[float, ...]


@dataclass(frozen=True)
class Guard:
    """When the gauge begins to fall, and what follows for each kind of regulator.

    `as_set` are the day's risks without a surge; None where no gas is set.
    """

    saturation_bar: Range
    last_liquid_g: Range
    working_bar: float
    working_known: bool
    back_bar: Range
    as_set: Risks | None
    kinds: dict[str, SurgeRisk]


def guard_of(tank: Tank, belief: Belief, stock: Stock) -> Guard:
    """Return the end of the cylinder for both kinds of regulator, the day ahead by the belief."""
    draws = _Draws.of(tank, belief, stock)
    kinds = {kind: _risk(kind, tank, belief, draws, stock) for kind in EFFECTS}
    return Guard(
        saturation_bar=range_of(np.asarray(saturation_pressure_bar(draws.room_c)) - STANDARD_BAR),
        last_liquid_g=range_of(stock.last_liquid_g),
        working_bar=tank.rig.working_pressure_bar or USUAL_WORKING_BAR.value,
        working_known=tank.rig.working_pressure_bar is not None,
        back_bar=back_bar(tank),
        as_set=_day(tank, belief, np.ones(belief.count)),
        kinds=kinds,
    )


@dataclass(frozen=True)
class _Draws:
    """What the end depends on, one for each draw of the belief, [m]."""

    room_c: FloatArray
    vapour_g_l: FloatArray
    set_bar: FloatArray
    back_bar: FloatArray
    capillary: FloatArray  # 0 a nozzle, 1 a long gap: the needle lies between

    @classmethod
    def of(cls, tank: Tank, belief: Belief, stock: Stock) -> _Draws:
        m = belief.count
        rows = np.random.default_rng(m).permutation(stock.left_g.size)[:m]
        known = tank.rig.working_pressure_bar
        working = USUAL_WORKING_BAR if known is None else _about(known, _READ_PART)
        set_bar = drawn(working, m, "working pressure")
        back = drawn(back_bar(tank), m, "back pressure")
        room = np.clip(stock.state.room_c[rows], COLDEST_C, WARMEST_C)
        return cls(
            room_c=room,
            vapour_g_l=np.asarray(vapour_density_kg_m3(room)),
            set_bar=set_bar,
            back_bar=np.minimum(back, _MOST_BACK * set_bar),
            capillary=drawn(Range(0.5, 0.05, 0.95), m, "needle").clip(0.0, 1.0),
        )


def _about(value: float, part: float) -> Range:
    return Range(value, value * (1.0 - part), value * (1.0 + part))


def flow_ratio(kind: str, part: float, draws: _Draws) -> FloatArray:
    """Return the gas that passes with a part of the last liquid's mass left, against the setting.

    [m]; supply-pressure effect of EFFECTS, needle between a nozzle and a capillary.
    """
    effect = drawn(EFFECTS[kind].size, draws.room_c.size, "supply-pressure effect").clip(0.0, 0.2)
    full = np.asarray(saturation_pressure_bar(draws.room_c))
    # at the very end of the liquid the pressure is still that of the setting
    inlet = gauge_bar(part * draws.vapour_g_l, draws.room_c) + STANDARD_BAR
    stages = two_stage_outlet_gauge_bar if EFFECTS[kind].stages == 2 else outlet_gauge_bar
    outlet = np.asarray(stages(draws.set_bar, inlet, full, effect))
    nozzle, capillary = (
        np.asarray(needle_flow_ratio(outlet, draws.set_bar, draws.back_bar, passage=passage))
        for passage in ("nozzle", "capillary")
    )
    ratio: FloatArray = nozzle + (capillary - nozzle) * draws.capillary
    return ratio


def _risk(kind: str, tank: Tank, belief: Belief, draws: _Draws, stock: Stock) -> SurgeRisk:
    ratios = np.array([flow_ratio(kind, part, draws) for part in PARTS])
    worst = _day(tank, belief, ratios.max(axis=0))
    chances: tuple[float, ...] = ()
    part = change_g = change_bar = None
    if worst is not None:
        days = [_day(tank, belief, ratio) for ratio in ratios]
        chances = tuple(day.p_over_limit for day in days if day is not None)
        as_set = _day(tank, belief, np.ones(belief.count))
        part = _first_over(chances, 0.0 if as_set is None else as_set.p_over_limit)
        if part is not None:
            change_g = range_of(part * stock.last_liquid_g)
            change_bar = range_of(gauge_bar(part * draws.vapour_g_l, draws.room_c))
    return SurgeRisk(
        kind, range_of(ratios.max(axis=0)), worst, part, change_g, change_bar, ratios, chances
    )


def _first_over(chances: tuple[float, ...], as_set: float) -> float | None:
    """Return the last part of PARTS before the surge makes the chance of passing the limit too big.

    Over one in ten, and more than it is without a surge.
    """
    for k, chance in enumerate(chances):
        if chance > max(MOST_OVER_LIMIT, as_set + _MORE):
            return PARTS[max(k - 1, 0)]
    return None


def _day(tank: Tank, belief: Belief, ratio: FloatArray) -> Risks | None:
    """Return the risks of a day from now with this much more gas, None where no gas is set."""
    evidence = belief.problem.evidence
    running = np.flatnonzero(evidence.flow.shut < 0.5)
    if not running.size or not evidence.timeline.gas:
        return None
    now_s = belief.now.timestamp()
    timeline = evidence.timeline.with_setting(now_s)
    flow = belief.draws.flow
    more = surged(belief, flow[:, running[-1]], ratio)
    before = flow[:, : len(timeline.setting_s) - 1]
    draws = belief.draws._replace(flow=np.ascontiguousarray(np.column_stack([before, more])))
    ahead = run(belief, timeline, draws, now_s, now_s + AHEAD_S)
    return risks(ahead, limits_of(tank))
