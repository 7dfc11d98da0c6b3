"""What acts on the tank after the belief's moment, step by step: hours, valve, water."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np

from leafgill.diary import Diary, Kind
from leafgill.estimate.acted import acted, filling
from leafgill.estimate.belief import Belief
from leafgill.estimate.flow import SETTING_SD
from leafgill.estimate.watch.members import Members
from leafgill.science.compiled import FloatArray
from leafgill.science.constants import DKH_MEQ_L
from leafgill.tank.clock import zone
from leafgill.tank.forcing import Forcing
from leafgill.tank.schedule import open_spans
from leafgill.tank.spec import Tank
from leafgill.tank.timeline import Timeline

# A fit of the past says little of a tank this long after it.
LONGEST_H = 96.0
_NEW_KH_SD = 0.15
_NEW_OFFSET_SD = 0.05
_ATMOSPHERE_BAR = 1.01325


@dataclass(frozen=True)
class Ahead:
    """Steps between edges [n+1], and when switches come: epoch seconds."""

    timeline: Timeline
    edges_s: FloatArray
    forcing: Forcing
    gas: tuple[tuple[float, float], ...]  # (on, off)
    hands: tuple[tuple[float, Kind, float, float | None], ...]  # (s, what, value, second value)

    def step(self, k: int) -> Forcing:
        """Return step k alone, with the members' own flow and new water."""
        one = Forcing(*(np.ascontiguousarray(field[k : k + 1]) for field in self.forcing))
        zero = np.zeros(1)
        return one._replace(segment=zero, change_index=np.zeros(1))

    def filling(self, at_s: float) -> bool:
        """Return whether the gas has just come on, so that bubbles come slower."""
        return filling(self.moment(at_s), self.timeline.gas, self.timeline.timezone)

    def gas_on(self, at_s: float) -> bool:
        """Return whether the timer has the gas on."""
        return any(on <= at_s < off for on, off in self.gas)

    def moment(self, at_s: float) -> datetime:
        """Return an aware moment of epoch seconds, by the tank's clock."""
        return datetime.fromtimestamp(at_s, zone(self.timeline.timezone))


def ahead_of(tank: Tank, diary: Diary, belief: Belief, step_s: float) -> Ahead:
    """Return what a localised diary says acts from a belief's moment on, in steps of `step_s`."""
    evidence = belief.problem.evidence
    now_s = belief.now.timestamp()
    end_s = now_s + LONGEST_H * 3600.0
    known = diary.until(belief.now + timedelta(hours=LONGEST_H))
    timeline, _, _ = acted(tank, known, evidence.start_s, end_s, [])
    start_s = float(belief.edges_s[np.searchsorted(belief.edges_s, now_s, side="right") - 1])
    first = np.floor(start_s / step_s + 1.0) * step_s
    edges = np.concatenate([[start_s], np.arange(first, end_s, step_s)])

    gas = open_spans(edges[0], edges[-1], timeline.gas, timeline.timezone)
    kinds = (Kind.BUBBLE_RATE, Kind.CALIBRATION, Kind.WORKING_PRESSURE, Kind.WATER_CHANGE)
    hands = []
    last_bar = [e.number for e in diary.of(Kind.WORKING_PRESSURE) if e.time.timestamp() <= now_s]
    bar = last_bar[-1] if last_bar else tank.rig.working_pressure_bar
    for entry in known.of(*kinds):
        at_s = entry.time.timestamp()
        if at_s <= now_s:
            continue
        second = entry.new_kh_dkh if entry.kind is Kind.WATER_CHANGE else None
        value = 0.0 if entry.kind is Kind.CALIBRATION else entry.number
        if entry.kind is Kind.WORKING_PRESSURE:
            before, bar = bar, value
            second = before
        hands.append((at_s, entry.kind, value, second))
    return Ahead(timeline, edges, timeline.forcing(edges),
                 tuple((on, off) for _, _, on, off in gas), tuple(hands))  # fmt: skip


def lay_hand(
    members: Members, kind: Kind, value: float, second: float | None, rng: np.random.Generator
) -> None:
    """Let a hand on the valve, the regulator or the electrode take hold of the members."""
    if kind is Kind.BUBBLE_RATE:
        slip = SETTING_SD * rng.standard_normal(members.count)
        members.log_rate = np.log(value) + slip if value > 0.0 else np.full(slip.size, -np.inf)
    elif kind is Kind.WORKING_PRESSURE and second is not None:
        members.pressure = members.pressure * (value + _ATMOSPHERE_BAR) / (second + _ATMOSPHERE_BAR)
    elif kind is Kind.CALIBRATION:
        members.offset = _NEW_OFFSET_SD * rng.standard_normal(members.count)


def new_water(
    members: Members, alkalinity: FloatArray, kh_dkh: float | None, rng: np.random.Generator
) -> FloatArray:
    """Return the alkalinity [m, 1, meq/L] of the water of a written change."""
    usual = alkalinity if kh_dkh is None else np.full(members.count, kh_dkh * DKH_MEQ_L)
    slip = np.exp(_NEW_KH_SD * rng.standard_normal(members.count))
    return np.ascontiguousarray((usual * slip)[:, None])
