"""How soon each fault is found, and how often one is cried that is none.

    python -m bench.loop.faults --seeds 6000-6029

Invented tanks of the trial are kept by common habits. Every other morning the diary is fitted, as
`watch` does it, and each fit is followed for four days by a tracker that has the electrode's
readings as they come (or the hand readings alone). Per seed, one tank a kind of fault, begun on a
day of the second week; and one tank kept for four weeks without, for the false alarms. What counts
as found is the alert that names the fault, alone or among those that explain as much; a keeper's
water change that was not written down is a finding of its own and no false alarm.
"""

import argparse
import json
import math
import os
import sys
import time
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor, as_completed
from dataclasses import asdict, dataclass, field, replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np
from numba import set_num_threads

from leafgill import Diary, Entry, believe
from leafgill.estimate import TooFewDrawsError
from leafgill.estimate.watch import Alert, Tracker

from ..trial.diary import MINUTES_DAY, START
from ..trial.faults import KINDS, Fault, draw
from ..trial.simulate import Trial, seed_range, simulate
from ..trial.world import invent
from .advised import tank_of

FIRST_SEED = 6000
QUIET_DAYS = 28
FIRST_REFERENCE_DAY = 3
# Both fits before a fault come after the water change of the eighth day, which may be unwritten.
FAULT_DAYS = (10, 13)
LIVES_DAYS = 4
EVERY_DAYS = 2
REFERENCE_H = 23.0  # after START: seven in the morning
REST_MIN = 30
DRAWS = 300
# What each fault may rightly be called; the first is its own name.
NAMES = {
    "surge": ("surge",),
    "stuck open": ("stuck open",),
    "stuck shut": ("stuck shut", "gas lost"),
    "clogging": ("clogging",),
    "flow drift": ("flow drift",),
    "kh at a change": ("kh changed",),
    "kh slowly": ("kh changed",),
    "aeration left on": ("aeration on",),
    "light not on": ("light off",),
    "probe dead": ("probe dead",),
    "probe jumped": ("probe jumped",),
    "leak": ("leak",),
}
SOON_H = {"surge": 1.0, "stuck open": 1.0, "stuck shut": 1.0, "probe dead": 1.0}
UTC_START_S = START.replace(tzinfo=UTC).timestamp()


@dataclass(frozen=True)
class Told:
    """An alert as first given: minute after START, and what it said."""

    minute: float
    kinds: tuple[str, ...]
    sure: float
    seen: str = ""


@dataclass(frozen=True)
class Run:
    """One tank followed: what was told, when the fault showed, and the days watched."""

    seed: int
    probe: bool
    kind: str
    struck: float
    size: float
    two_lights: float  # minute at which the second whole photoperiod after it ends
    days: float
    told: tuple[Told, ...] = field(default=())
    unwritten: tuple[int, ...] = ()

    @property
    def named_h(self) -> float:
        """Hours until it was told by its name; inf for never."""
        names = set(NAMES.get(self.kind, ()))
        return self._first(lambda t: bool(names & set(t.kinds)))

    @property
    def any_h(self) -> float:
        """Hours until anything was told; inf for never."""
        return self._first(lambda t: True)

    @property
    def in_time(self) -> float:
        """Hours within which it ought to be told."""
        return SOON_H.get(self.kind, (self.two_lights - self.struck) / 60.0)

    def _first(self, wanted) -> float:  # type: ignore[no-untyped-def]
        after = [t.minute for t in self.told if t.minute >= self.struck and wanted(t)]
        return (min(after) - self.struck) / 60.0 if after else math.inf


def diary_of(trial: Trial, until: datetime) -> Diary:
    """The diary of a trial, hand entries and what the logger could log, up to a moment."""
    diary = Diary(
        [Entry(r.time.replace(tzinfo=UTC), *r[1:]) for r in trial.diary if r.time <= until],
        timezone="UTC",
    )
    if trial.probe is not None:
        count = int((until - START).total_seconds() // 60)
        values = trial.probe[:count]
        shown = np.flatnonzero((values >= 3.0) & (values <= 11.0))
        if shown.size:
            diary.add_readings("ph", UTC_START_S + 60.0 * (shown + 1.0), values[shown])
    return diary


def follow(trial: Trial, from_min: int, until_min: int) -> Iterator[Told]:
    """Fit at a minute after START, follow until another, and yield what is told anew."""
    now = START + timedelta(minutes=from_min)
    tank = tank_of(trial.tank_toml)
    end = START + timedelta(minutes=until_min)
    try:
        belief = believe(tank, diary_of(trial, now), now.replace(tzinfo=UTC), count=DRAWS)
    except TooFewDrawsError:
        return
    tracker = Tracker.of(tank, diary_of(trial, end), belief)
    before: tuple[tuple[str, ...], ...] = ()
    step = 1 if trial.probe is not None else REST_MIN
    for minute in range(from_min + 1, until_min, step):
        at_s = UTC_START_S + 60.0 * minute
        alerts = _alerts(tracker, trial, minute, at_s)
        if alerts is None:
            continue
        kinds = tuple(alert.kinds for alert in alerts)
        for alert in alerts:
            if alert.kinds not in before:
                yield Told(minute, alert.kinds, alert.sure, alert.seen)
        before = kinds


def _alerts(tracker: Tracker, trial: Trial, minute: int, at_s: float) -> tuple[Alert, ...] | None:
    if trial.probe is None:
        return tracker.rest(at_s).alerts
    ph = float(trial.probe[minute - 1])
    if math.isnan(ph):
        return tracker.rest(at_s).alerts if minute % 10 == 0 else None
    return tracker.take(at_s, ph).alerts


def references(first_day: int, last_day: int) -> list[int]:
    """The minutes after START of every other morning of some days."""
    days = range(first_day, last_day, EVERY_DAYS)
    return [round(60 * REFERENCE_H) + MINUTES_DAY * (day - 1) for day in days]


def faulted(seed: int, probe: bool, kind: str) -> Run:
    """Follow a tank that meets a fault, by the two fits before it, until it is named or late."""
    rng = np.random.default_rng([seed, 9])
    day = int(rng.integers(*FAULT_DAYS))
    newest = day - int(rng.integers(EVERY_DAYS))
    fault = draw(kind, seed, day, invent(seed).light)
    trial = simulate(seed, day + LIVES_DAYS + 2, probe, fault=fault)
    struck = trial.play.struck if trial.play.struck is not None else fault.at
    plain = _run(trial, probe, kind, struck, fault, [], LIVES_DAYS)
    last = int(min(struck + 60.0 * plain.in_time + 1, plain.two_lights + 1))
    told: list[Told] = []
    for reference in references(newest - EVERY_DAYS, newest + 1):
        for one in follow(trial, reference, min(reference + LIVES_DAYS * MINUTES_DAY, last)):
            told.append(one)
            if one.minute >= struck and set(one.kinds) & set(NAMES[kind]):
                last = min(last, int(one.minute) + 1)
                break
    return replace(plain, told=tuple(sorted(told, key=lambda t: t.minute)))


def quiet(seed: int, probe: bool, days: int) -> Run:
    """Follow a tank that meets no fault."""
    trial = simulate(seed, days, probe)
    told: list[Told] = []
    for reference in references(FIRST_REFERENCE_DAY, days):
        last = min(reference + LIVES_DAYS * MINUTES_DAY, days * MINUTES_DAY)
        told += follow(trial, reference, last)
    watched = days - FIRST_REFERENCE_DAY + 1 - REFERENCE_H / 24.0
    return _run(trial, probe, "none", 0, None, told, watched)


def _run(
    trial: Trial, probe: bool, kind: str, struck: int, fault: Fault | None, told: list[Told],
    days: float,
) -> Run:  # fmt: skip
    light = trial.play.world.light
    offs = [light.off_min - 60 * START.hour + MINUTES_DAY * d for d in range(-1, 40)]
    length = (light.off_min - light.on_min) % MINUTES_DAY
    whole = [off for off in offs if off - length >= struck]
    written = {r.time for r in trial.diary if r.kind == "water_change"}
    change = START.replace(hour=10) + timedelta(days=7)
    unwritten = () if change in written else (int((change - START).total_seconds() // 60),)
    return Run(
        trial.play.world.seed, probe, kind, struck, fault.size if fault else 0.0,
        whole[1], days, tuple(sorted(told, key=lambda t: t.minute)), unwritten,
    )  # fmt: skip


def false_alarms(run: Run) -> list[Told]:
    """What a tank without a fault was told, once a day and a leading kind."""
    counted: list[Told] = []
    for told in run.told:
        explained = any(0 <= told.minute - at <= LIVES_DAYS * MINUTES_DAY for at in run.unwritten)
        again = any(
            other.kinds[0] == told.kinds[0] and told.minute - other.minute < 2 * MINUTES_DAY
            for other in counted
        )
        if not explained and not again:
            counted.append(told)
    return counted


def play(job: tuple[int, bool, str, int]) -> Run:
    """One tank."""
    seed, probe, kind, days = job
    return quiet(seed, probe, days) if kind == "none" else faulted(seed, probe, kind)


def table(runs: list[Run]) -> str:
    """Everything, as Markdown."""
    lines = [
        "| fault | readings | tanks | named in time | anything told in time | median hours "
        "until named | told before it began |",
        "|---|---|---|---|---|---|---|",
    ]
    for kind in KINDS:
        for probe in (True, False):
            mine = [r for r in runs if r.kind == kind and r.probe is probe]
            if not mine:
                continue
            named = np.array([r.named_h for r in mine])
            in_time = np.array([r.in_time for r in mine])
            told = np.array([r.any_h for r in mine])
            early = sum(any(t.minute < r.struck for t in r.told) for r in mine)
            middle = float(np.median(named))
            shown = f"{middle:.1f}" if math.isfinite(middle) else "-"
            limit = "1 h" if kind in SOON_H else "2 lit days"
            lines.append(
                f"| {kind} ({limit}) | {'probe' if probe else 'by hand'} | {len(mine)} "
                f"| {np.mean(named <= in_time):.0%} | {np.mean(told <= in_time):.0%} "
                f"| {shown} | {early} |"
            )
    for probe in (True, False):
        mine = [r for r in runs if r.kind == "none" and r.probe is probe]
        if mine:
            months = sum(r.days for r in mine) / 30.0
            alarms = sum(len(false_alarms(r)) for r in mine)
            lines.append(
                f"\nWithout a fault, {'with a probe' if probe else 'by hand'}: {alarms} false "
                f"alarms in {months:.1f} tank-months, {alarms / months:.2f} a tank-month"
            )
    return "\n".join(lines)


def _line(run: Run) -> str:
    """How one run went, in a line."""
    how = f"tank {run.seed}, {run.kind} ({run.size:.2g}), {'probe' if run.probe else 'by hand'}"
    if run.kind == "none":
        return f"{how}: " + ("; ".join(", ".join(t.kinds) for t in false_alarms(run)) or "quiet")
    first = [t for t in run.told if t.minute >= run.struck]
    said = f", first told {', '.join(first[0].kinds)} after {run.any_h:.1f} h" if first else ""
    return f"{how}: named after {run.named_h:.1f} h{said}"


def main() -> None:
    """The command."""
    parser = argparse.ArgumentParser(description=__doc__)
    default = f"{FIRST_SEED}-{FIRST_SEED + 29}"
    parser.add_argument("--seeds", type=seed_range, default=default, help="a seed, or as in 0-39")
    parser.add_argument("--kinds", default=",".join([*KINDS, "none"]), help="faults, by commas")
    parser.add_argument("--days", type=int, default=QUIET_DAYS, help="of a tank without a fault")
    parser.add_argument("--readings", choices=("probe", "hand", "both"), default="both")
    parser.add_argument("--workers", type=int, default=os.cpu_count() or 1)
    parser.add_argument("--json", type=Path, help="write every run there")
    wanted = parser.parse_args()
    probes = {"probe": (True,), "hand": (False,), "both": (True, False)}[wanted.readings]
    jobs = [
        (seed, probe, kind, wanted.days)
        for seed in wanted.seeds
        for kind in wanted.kinds.split(",")
        for probe in probes
        if probe or not kind.startswith("probe")
    ]
    runs: list[Run] = []
    began = time.perf_counter()
    # the lanes of one step are few: threads would only wait for each other
    with ProcessPoolExecutor(wanted.workers, initializer=set_num_threads, initargs=(1,)) as pool:
        for future in as_completed([pool.submit(play, job) for job in jobs]):
            runs.append(future.result())
            spent = time.perf_counter() - began
            print(f"{len(runs)} of {len(jobs)}, {spent:.0f} s: {_line(runs[-1])}",
                  file=sys.stderr, flush=True)  # fmt: skip
            if wanted.json:
                wanted.json.write_text(json.dumps([asdict(r) for r in runs]))
    print(table(runs))


if __name__ == "__main__":
    main()
