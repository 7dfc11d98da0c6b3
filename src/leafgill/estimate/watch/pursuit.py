"""The pursuit of a tank after a fit: every step all lanes go on, every reading is held to them."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from leafgill.diary import Kind
from leafgill.estimate.daily import daily_waves
from leafgill.estimate.likelihood import ROUGH_TIME_H
from leafgill.estimate.readings import PROBE_FLOOR, PROBE_NOISE, TIMING_H
from leafgill.estimate.watch.ahead import Ahead, lay_hand, new_water
from leafgill.estimate.watch.branches import LANES, Branch, Branches
from leafgill.estimate.watch.hypotheses import ANY, GAS_OFF, GAS_ON, HYPOTHESES, SLOW
from leafgill.estimate.watch.lanes import Bent, Way, advance, changed
from leafgill.estimate.watch.ledger import Ledger
from leafgill.estimate.watch.members import ALKALINITY, MEAN, Drift, Members
from leafgill.estimate.watch.off import Jumps, Unknown
from leafgill.estimate.watch.seen import (
    COLOUR,
    COUNT,
    HAND,
    LEAST_LOG_RATE,
    MASS,
    NO_BUBBLES,
    PROBE,
    Seen,
    expected,
    open_ended,
)
from leafgill.science.compiled import FloatArray

# What a fit's waves and straying leave out, wrong for a day or two in one direction [pH, h].
SLOW_SD_PH, SLOW_TIME_H = 0.02, 30.0
# The fit's straying also bridges its hours between edges; from step to step tanks stray by this
# part of its mean square (a choice of ours: innovations had a width of 0.6 with all of it).
ROUGH_PART = 0.5
# Evidence counts for this part: what is left of the model's faults repeats itself.
TEMPER = 1.0
_LN10 = math.log(10.0)
_SLOW_EVERY_H = 12.0
_NEW_CYLINDER_G = 40.0
_COUPLING = {PROBE: 1.0, HAND: 1.0, COLOUR: -_LN10}


@dataclass(frozen=True)
class Held:
    """A reading as it was held against what was believed, 90 % of which lay in low to high."""

    seen: Seen
    mean: float
    low: float
    high: float
    innovation: float


class Pursuit:
    """Members and branches at one moment, and the ledger of all readings so far."""

    def __init__(
        self, members: Members, ahead: Ahead, rng: np.random.Generator, spawn_steps: int
    ) -> None:
        self.members, self.ahead, self._rng = members, ahead, rng
        self.timezone = ahead.timeline.timezone
        self.k = 0
        self.state = members.state
        self.before = self.state
        self.drift = Drift(members.count, rng)
        self.ledger = Ledger(members.count)
        self.branches = Branches(rng.choice(members.count, LANES, replace=False))
        self.branches_before = self.branches.state
        self.jumps, self.unknown = Jumps(), Unknown()
        self.held: list[Held] = []
        self._spawn_steps = spawn_steps
        self._all = np.arange(members.count)
        self._set_s = -np.inf
        self._hands = list(ahead.hands)
        self._coupled: list[float] = []
        self._at_h: list[float] = []
        self._bent: Bent | None = None
        self._last_slow_s = -np.inf

    @property
    def now_s(self) -> float:
        """The moment all lanes are at."""
        return float(self.ahead.edges_s[self.k])

    @property
    def next_s(self) -> float:
        """The moment the next step leads to."""
        return float(self.ahead.edges_s[self.k + 1])

    @property
    def ended(self) -> bool:
        """Whether no step is left: a fit is due."""
        return self.k + 2 >= self.ahead.edges_s.size

    # --- time ------------------------------------------------------------------------------

    def step(self) -> None:
        """Let one step pass: hands, new branches, all lanes."""
        k, edges = self.k, self.ahead.edges_s
        self._hands_until(0.5 * float(edges[k] + edges[k + 1]))
        if k % self._spawn_steps == 0:
            self.branches.thin(self.now_s, TEMPER)
        self._spawn()
        step = self.ahead.step(k)
        hours = (self.now_s - self.members.origin_s) / 3600.0
        water = np.ones((self.members.count, 1))
        if step.change[0] > 0.0:
            noted = [h[3] for h in self.ahead.hands if h[1] is Kind.WATER_CHANGE
                     and abs(h[0] - edges[k]) < 7200.0]  # fmt: skip
            water = new_water(self.members, self.state[:, ALKALINITY],
                              noted[-1] if noted else None, self._rng)  # fmt: skip
        moved = self.drift.step((self.next_s - self.now_s) / 86400.0)
        self.members.log_rate = self.members.log_rate + moved
        self.before, self.branches_before = self.state, self.branches.state
        self.state = advance(
            self.members, self.drift, self._all, self.state, step, hours, self._none(), water
        )
        if self.branches.all:
            self._bent = self.branches.bent(self.now_s, self.next_s, self._set_s)
            self.branches.state = advance(
                self.members, self.drift, self.branches.which, self.branches.state, step, hours,
                self._bent, water,
            )  # fmt: skip
        self.k += 1

    def _none(self) -> Bent:
        zero = np.zeros(self.members.count)
        return Bent(zero, zero, zero, zero, (Way(),), np.zeros(zero.size, dtype=np.int64))

    def _hands_until(self, until_s: float) -> None:
        while self._hands and self._hands[0][0] <= until_s:
            at_s, kind, value, second = self._hands.pop(0)
            lay_hand(self.members, kind, value, second, self._rng)
            if kind is Kind.BUBBLE_RATE:
                self._set_s = at_s

    def _spawn(self) -> None:
        begin, end = self.now_s, self.next_s
        regular = self.k % self._spawn_steps == 0
        step_days = (end - begin) / 86400.0
        every_days = self._spawn_steps * step_days
        slow = begin - self._last_slow_s >= 3600.0 * _SLOW_EVERY_H - 1.0
        if slow:
            self._last_slow_s = begin
        switches = {GAS_ON: 0, GAS_OFF: 1}
        for fault in HYPOTHESES:
            if fault.onset in switches:
                side = switches[fault.onset]
                if any(begin <= span[side] < end for span in self.ahead.gas):
                    self._begin(Branch(fault, begin, math.log(fault.hazard)))
            elif fault.onset == ANY:
                # so sudden that an onset one step off explains nothing
                self._begin(Branch(fault, begin, math.log(fault.hazard * step_days)))
            elif fault.onset == SLOW and slow:
                days = _SLOW_EVERY_H / 24.0
                self._begin(Branch(fault, begin, math.log(fault.hazard * days)))
        self.jumps.spawn(begin, step_days)
        if regular:
            self.unknown.spawn(begin, every_days)

    def _begin(self, branch: Branch) -> None:
        chosen = self.branches.chosen
        state = self.state[chosen]
        if branch.fault.change > 0.0:
            hours = (self.now_s - self.members.origin_s) / 3600.0
            state = changed(self.members, chosen, state, self.ahead.step(self.k), hours,
                            branch.fault.change, branch.fault.kh)  # fmt: skip
        self.branches.spawn(branch, state)

    def doubt_anew(self) -> None:
        """Forget all explanations that began before now."""
        self.branches.forget()
        self.jumps.forget()
        self.unknown.forget()
        step_days = (self.next_s - self.now_s) / 86400.0
        self.jumps.spawn(self.now_s, step_days)
        self.unknown.spawn(self.now_s, self._spawn_steps * step_days)
        self._bent, self._last_slow_s = None, -np.inf

    # --- readings --------------------------------------------------------------------------

    def take(self, seen: Seen, averaged: int = 1) -> Held | None:
        """Hold a reading of the last step against all lanes; None where it can tell nothing.

        `averaged` is how many readings of a probe it is the middle of.
        """
        if not self._tells(seen) or self.ahead.forcing.change[self.k - 1] > 0.0:
            # within the step of a water change nobody knows which water a reading met
            return None
        rate = self.members.log_rate
        ours, slope = self._shown(seen, self._all, self.before, self.state, rate)
        if seen.what == MASS and seen.value - float(ours.mean()) > _NEW_CYLINDER_G:
            self.members.full_g = self.members.full_g + (seen.value - float(ours.mean()))
            return None
        if open_ended(seen, float(ours.mean())):
            return None
        variance = seen.sd**2
        if seen.what == PROBE:
            variance = PROBE_NOISE**2 / averaged + PROBE_FLOOR**2 + (TIMING_H * slope) ** 2
        return self._add(seen, ours, variance)

    def _tells(self, seen: Seen) -> bool:
        if seen.what in (COUNT, NO_BUBBLES):
            shut = not np.isfinite(self.members.log_rate).all()
            return not shut and self.ahead.gas_on(seen.at_s) and not self.ahead.filling(seen.at_s)
        return self.members.weighed if seen.what == MASS else True

    def _add(self, seen: Seen, ours: FloatArray, variance: float) -> Held:
        coupled = _COUPLING.get(seen.what, 0.0)
        hour = (seen.at_s - self.members.now_s) / 3600.0
        shared = coupled * np.array(self._coupled) * self._common_at(hour, np.array(self._at_h))
        alone = variance + coupled**2 * float(self._common_at(hour, np.array([hour]))[0])
        n = self.ledger.count
        innovation, width = self.ledger.add(ours, seen.value, alone, shared)
        self._coupled.append(coupled)
        self._at_h.append(hour)
        if self.branches.all:
            rate = self._branch_rate()
            theirs, _ = self._shown(
                seen, self.branches.which, self.branches_before, self.branches.state, rate
            )
            shift = (theirs - ours[self.branches.which]).reshape(-1, LANES).mean(axis=1)
            self.branches.held(
                n, self.ledger.whiten(self.branches.shifts[:, :n], shift), innovation
            )
        unit = np.full(self.jumps.onsets_s.size, 1.0 if seen.what == PROBE else 0.0)
        self.jumps.held(n, self.ledger.whiten(self.jumps.shifts[:, :n], unit), innovation)
        self.unknown.held(innovation)
        mean = seen.value - innovation * width
        held = Held(seen, mean, mean - 1.645 * width, mean + 1.645 * width, innovation)
        self.held.append(held)
        return held

    def _branch_rate(self) -> FloatArray:
        rate: FloatArray = self.members.log_rate[self.branches.which].copy()
        if self._bent is not None:
            rate += self._bent.rate
            shut = np.array([way.gas == "shut" for way in self._bent.ways])[self._bent.way]
            rate[shut] = LEAST_LOG_RATE
        return rate

    def _shown(
        self, seen: Seen, which: np.ndarray, before: FloatArray, now: FloatArray, rate: FloatArray
    ) -> tuple[FloatArray, float]:
        """(What lanes would show an instrument at a moment of the last step, change an hour)."""
        start, end = (float(s) for s in self.ahead.edges_s[self.k - 1 : self.k + 1])
        part = min(max((seen.at_s - start) / (end - start), 0.0), 1.0)
        waves, straying = self._off(seen.at_s)
        hours = (seen.at_s - self.members.origin_s) / 3600.0
        first, last = (
            expected(seen.what, self.members, which, state, waves=waves, straying=straying,
                     log_rate=rate, hours=hours)
            for state in (before, now)
        )  # fmt: skip
        slope = float((last - first).mean()) / ((end - start) / 3600.0)
        return (1.0 - part) * first + part * last, slope

    def _off(self, at_s: float) -> tuple[FloatArray, FloatArray]:
        """Each member's daily wave and what is left of its straying [pH, m]."""
        waves = self.members.traits.daily @ daily_waves(np.array([at_s]), self.timezone)[0]
        hours = (at_s - self.members.now_s) / 3600.0
        return waves, self.members.straying * math.exp(-max(hours, 0.0) / ROUGH_TIME_H)

    def _common_at(self, hour: float, other: FloatArray) -> FloatArray:
        """Covariance of new straying at an hour with that at others [pH²]."""
        rough = ROUGH_PART * self.members.roughness2
        apart, total = np.abs(hour - other), hour + other
        new = np.exp(-apart / ROUGH_TIME_H) - np.exp(-total / ROUGH_TIME_H)
        slow = SLOW_SD_PH**2 * np.exp(-apart / SLOW_TIME_H)
        common: FloatArray = rough * np.maximum(new, 0.0) + slow
        return common

    # --- what the water has ----------------------------------------------------------------

    def co2_members(self) -> tuple[FloatArray, FloatArray, float]:
        """(Log CO2 of members, covariance of new straying's part with readings, its variance)."""
        waves, straying = self._off(self.now_s)
        log_co2 = np.log(np.maximum(self.state[:, MEAN], 1e-3)) - _LN10 * (waves + straying)
        hour = (self.now_s - self.members.now_s) / 3600.0
        shared = -_LN10 * np.array(self._coupled) * self._common_at(hour, np.array(self._at_h))
        return log_co2, shared, _LN10**2 * float(self._common_at(hour, np.array([hour]))[0])

    def co2_shifts(self) -> FloatArray:
        """How much more log CO2 each branch has than as believed [b]."""
        theirs = np.log(np.maximum(self.branches.state[:, MEAN], 1e-3))
        ours = np.log(np.maximum(self.state[self.branches.which, MEAN], 1e-3))
        shifts: FloatArray = (theirs - ours).reshape(-1, LANES).mean(axis=1)
        return shifts
