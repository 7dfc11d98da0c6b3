"""A tank followed between two fits: each reading, as it comes, moves the belief and is doubted."""

from __future__ import annotations

import math
from datetime import datetime
from typing import NamedTuple

import numpy as np

from leafgill.diary import Diary
from leafgill.diary.sensors import SENSORS
from leafgill.errors import InputError
from leafgill.estimate.belief import Belief, Interval
from leafgill.estimate.readings import PROBE_NOISE
from leafgill.estimate.watch.ahead import Ahead, ahead_of
from leafgill.estimate.watch.alert import Alert, alert_of, dead_alert
from leafgill.estimate.watch.electrode import Electrode
from leafgill.estimate.watch.judge import Verdict, co2_now, judge, together
from leafgill.estimate.watch.members import members_of
from leafgill.estimate.watch.pursuit import Held, Pursuit
from leafgill.estimate.watch.seen import PROBE, Seen, from_diary
from leafgill.estimate.watch.settle import best_change, settle
from leafgill.tank.spec import Tank

# Steps with an electrode and without [s]; onsets are tried every so many steps.
STEP_S, SLOW_STEP_S = 600.0, 1800.0
_SPAWN_STEPS, _SLOW_SPAWN_STEPS = 3, 4
COPIES = 2
# An alert is given when it is less likely than this that all is as believed, and still is so
# after the next step.
ALARM = 0.1
_STEPS_SURE = 2
# Water that was changed, unwritten, is believed when it has explained this much for so long [h].
SETTLED, _SETTLE_H = 0.9, 4.0


class Tracked(NamedTuple):
    """CO2 of the whole water [mg/L] after a reading, and what is to be told."""

    co2: Interval
    alerts: tuple[Alert, ...]


class Tracker:
    """Follows one tank from a belief's moment on, for up to four days.

    Readings by hand, and what was done, are those of the diary it was made with; a new entry
    wants a new tracker. Readings of the electrode are given one by one (`take`), or taken from
    the diary (`run`).
    """

    def __init__(self, tank: Tank, pursuit: Pursuit, by_hand: list[Seen]) -> None:
        self.tank = tank
        self.pursuit = pursuit
        self.electrode = Electrode()
        self.verdict: Verdict | None = None
        self._by_hand = by_hand
        self._bin: list[tuple[float, float]] = []
        self._level = math.nan
        self._doubted = 0
        self._changed_since_s = math.nan
        self._settled: tuple[Alert, ...] = ()
        self._alerts: tuple[Alert, ...] = ()
        self._co2: Interval | None = None

    @classmethod
    def of(cls, tank: Tank, diary: Diary, belief: Belief, *, seed: int = 0) -> Tracker:
        """Return the tracker that begins where a belief ends.

        `diary` may know more than the belief did: what was done and read by hand since then is
        laid in. The same seed gives the same answers.
        """
        known = diary if diary.timezone is not None else diary.localised(tank.timezone)
        rng = np.random.default_rng([seed, 11])
        evidence = belief.problem.evidence
        has_probe = bool(np.any(evidence.observations.ph_probe > 0.5)) or "ph" in known.streams
        step_s, spawn = (STEP_S, _SPAWN_STEPS) if has_probe else (SLOW_STEP_S, _SLOW_SPAWN_STEPS)
        members = members_of(belief, COPIES, rng)
        ahead: Ahead = ahead_of(belief.tank, known, belief, step_s)
        pursuit = Pursuit(members, ahead, rng, spawn)
        return cls(belief.tank, pursuit, from_diary(evidence, known, belief.now.timestamp()))

    @property
    def alerts(self) -> tuple[Alert, ...]:
        """What is to be told as of the last step."""
        return self._settled + self._alerts

    def take(self, time_s: float, ph: float) -> Tracked:
        """Take a reading of the electrode at an epoch second, whatever it shows (NaN too).

        Raises InputError for a time that goes back.
        """
        last = self.electrode.last_s
        if time_s < last:
            raise InputError(
                f"a reading at {time_s:.0f} s comes after one at {last:.0f} s; accepted: in order"
            )
        self._steps_until(time_s)
        if self.electrode.take(time_s, ph) and time_s > self.pursuit.members.now_s:
            self._bin.append((time_s, ph))
        return Tracked(self.co2(), self._all_alerts())

    def run(self, diary: Diary, until: datetime) -> Tracked:
        """Take all readings of a localised diary's electrode up to an aware moment."""
        until_s = until.timestamp()
        stream = diary.streams.get("ph")
        if stream is not None:
            last = self.electrode.last_s
            since = self.pursuit.members.now_s if math.isnan(last) else last
            part = stream.between(since + 1e-3, until_s)
            for at_s, ph in zip(part.times_s.tolist(), part.values.tolist(), strict=True):
                self._steps_until(at_s)
                if self.electrode.take(at_s, ph):
                    self._bin.append((at_s, ph))
        return self.rest(until_s)

    def rest(self, now_s: float) -> Tracked:
        """Let time pass up to an epoch second, with no further reading of the electrode."""
        self._steps_until(now_s)
        self.electrode.heard_of(now_s)
        return Tracked(self.co2(), self._all_alerts())

    def co2(self) -> Interval:
        """CO2 of the whole water at the last step [mg/L]."""
        if self._co2 is None:
            self._co2 = co2_now(self.pursuit)
        return self._co2

    # --- within ----------------------------------------------------------------------------

    def _steps_until(self, now_s: float) -> None:
        pursuit = self.pursuit
        while not pursuit.ended and pursuit.next_s <= now_s:
            end_s = pursuit.next_s
            pursuit.step()
            told = False
            while self._by_hand and self._by_hand[0].at_s <= end_s:
                told |= pursuit.take(self._by_hand.pop(0)) is not None
            told |= self._close(end_s)
            self._co2 = None
            if told:
                self._judge()

    def _close(self, end_s: float) -> bool:
        """Take the middle of the electrode's readings up to a moment as one."""
        mine = [(at, ph) for at, ph in self._bin if at <= end_s]
        self._bin = self._bin[len(mine) :]
        if not mine or self.electrode.dead:
            return False
        at, ph = np.array(mine).T
        seen = Seen(float(at.mean()), PROBE, float(np.median(ph)), PROBE_NOISE, "")
        # One step's leap may be a hand in the tank: it counts when the next step bears it out.
        leapt, self._level = abs(seen.value - self._level) > SENSORS["ph"].jump, seen.value
        if leapt:
            return False
        return self.pursuit.take(seen, len(mine)) is not None

    def _judge(self) -> None:
        self.verdict = judge(self.pursuit)
        doubted = self.verdict.as_believed < ALARM
        self._doubted = self._doubted + 1 if doubted else 0
        if self._doubted < _STEPS_SURE:
            self._alerts = ()
            return
        suspects = together(self.verdict)
        held, expected = self._telling(suspects[0].since_s)
        self._alerts = (alert_of(suspects, held, expected, self._zone()),)
        self._settle()

    def _settle(self) -> None:
        """Believe a change of water that has been told for hours; what comes later is new."""
        verdict = self.verdict
        assert verdict is not None
        changed = sum(s.probability for s in verdict.suspects if s.fault and s.fault.change > 0.0)
        branch, now_s = best_change(self.pursuit), self.pursuit.now_s
        if changed < SETTLED or branch is None:
            self._changed_since_s = math.nan
        elif math.isnan(self._changed_since_s):
            self._changed_since_s = now_s
        elif now_s - self._changed_since_s >= 3600.0 * _SETTLE_H:
            settle(self.pursuit, branch)
            self._settled += self._alerts
            self._alerts, self._doubted, self._changed_since_s = (), 0, math.nan

    def _telling(self, since_s: float) -> tuple[Held | None, tuple[float, float]]:
        """The reading since a moment that is furthest from what was expected before it."""
        held, ledger = self.pursuit.held, self.pursuit.ledger
        before = sum(one.seen.at_s <= since_s for one in held)
        best: tuple[float, int, tuple[float, float]] | None = None
        for k in range(before, len(held)):
            mean, sd = ledger.foreseen(k, before)
            off = abs(held[k].seen.value - mean) / sd
            if best is None or off >= best[0]:
                best = (off, k, (mean, sd))
        return (None, (0.0, 1.0)) if best is None else (held[best[1]], best[2])

    def _zone(self) -> datetime:
        return self.pursuit.ahead.moment(self.pursuit.now_s)

    def _all_alerts(self) -> tuple[Alert, ...]:
        electrode = self.electrode
        if not electrode.dead:
            return self.alerts
        return (dead_alert(electrode.dead, electrode.since_s, self._zone()), *self.alerts)
