"""How soon each fault is found, and how often one is cried that is none.

    python -m bench.loop.faults --seeds 6000-6029

Invented tanks of the trial are kept by common habits. Every other morning the diary is fitted, as
`watch` does it, and each fit is followed for four days by a tracker that has the electrode's
readings as they come (or the hand readings alone). Per seed, one tank a kind of fault, begun on a
day of the second week; and one tank kept for four weeks without, for the false alarms. What counts
as found is the alert that names the fault, alone or among those that explain as much; a keeper's
water change that was not written down is a finding of its own and no false alarm; nor is watched
what comes after a cylinder has run empty by use.
"""

import argparse
import json
import math
import os
import sys
import time
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor, as_completed
from dataclasses import asdict, replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np
from numba import set_num_threads

from leafgill import Belief, Tank, believe
from leafgill.estimate import TooFewDrawsError
from leafgill.estimate.watch import Alert, Tracker

from ..trial.diary import MINUTES_DAY, START
from ..trial.faults import KINDS, Fault, draw
from ..trial.simulate import Trial, seed_range, simulate
from ..trial.world import invent
from .advised import tank_of
from .believed import diary_until
from .found import LIVES_DAYS, NAMES, Run, Told, line_of, table

FIRST_SEED = 6000
QUIET_DAYS = 28
FIRST_REFERENCE_DAY = 3
# Tanks with a fault and without are invented alike, so their fits before it are the same ones.
# Both fits before a fault come after the water change of the eighth day, which may be unwritten.
FAULT_DAYS = (11, 13)
EVERY_DAYS = 2
REFERENCE_H = 23.0  # after START: seven in the morning
REST_MIN = 30
DRAWS = 300
_FITS: dict[tuple[str, datetime, str, bytes], Belief | None] = {}
UTC_START_S = START.replace(tzinfo=UTC).timestamp()


def follow(trial: Trial, from_min: int, until_min: int) -> Iterator[Told]:
    """Fit at a minute after START, follow until another, and yield what is told anew."""
    tank = tank_of(trial.tank_toml)
    belief = _fitted(tank, trial, START + timedelta(minutes=from_min))
    if belief is None:
        return
    end = (START + timedelta(minutes=until_min)).replace(tzinfo=UTC)
    tracker = Tracker.of(tank, diary_until(trial, end), belief)
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


def _fitted(tank: Tank, trial: Trial, now: datetime) -> Belief | None:
    """The fit at a moment; one that was made of the same diary before is taken again."""
    rows = repr([row for row in trial.diary if row.time <= now])
    minutes = int((now - START).total_seconds() // 60)
    logged = b"" if trial.probe is None else trial.probe[:minutes].tobytes()
    key = (trial.tank_toml, now, rows, logged)
    if key not in _FITS:
        try:
            then = now.replace(tzinfo=UTC)
            _FITS[key] = believe(tank, diary_until(trial, then), then, count=DRAWS)
        except TooFewDrawsError:
            _FITS[key] = None
    return _FITS[key]


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


def faulted(seed: int, probe: bool, kind: str, days: int = QUIET_DAYS) -> Run:
    """Follow a tank that meets a fault, by the two fits before it, until it is named or late."""
    rng = np.random.default_rng([seed, 9])
    day = int(rng.integers(*FAULT_DAYS))
    newest = day - (day - FIRST_REFERENCE_DAY) % EVERY_DAYS
    fault = draw(kind, seed, day, invent(seed).light)
    trial = simulate(seed, days, probe, fault=fault)
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
    """Follow a tank that meets no fault, until its cylinder runs empty by use."""
    trial = simulate(seed, days, probe)
    end = _emptied(trial)
    told: list[Told] = []
    for reference in references(FIRST_REFERENCE_DAY, days):
        if reference < end:
            told += follow(trial, reference, min(reference + LIVES_DAYS * MINUTES_DAY, end))
    watched = end / MINUTES_DAY - FIRST_REFERENCE_DAY + 1 - REFERENCE_H / 24.0
    return _run(trial, probe, "none", 0, None, told, watched)


def _emptied(trial: Trial) -> int:
    """The minute at which the liquid in the cylinder is gone, or the trial's end."""
    world = trial.play.world
    used = np.cumsum(trial.play.track.rate) * 60.0 * 1e-3 * world.bubble_mg
    gone = np.flatnonzero(used > 0.97 * world.content_g)
    return int(gone[0]) if gone.size else trial.play.minutes


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


def play(job: tuple[int, bool, tuple[str, ...], int]) -> list[Run]:
    """One invented tank, with each fault in turn."""
    seed, probe, kinds, days = job
    _FITS.clear()
    return [
        quiet(seed, probe, days) if kind == "none" else faulted(seed, probe, kind, days)
        for kind in kinds
        if probe or not kind.startswith("probe")
    ]


def main() -> None:
    """The command."""
    parser = argparse.ArgumentParser(description=__doc__)
    default = f"{FIRST_SEED}-{FIRST_SEED + 29}"
    parser.add_argument("--seeds", type=seed_range, default=default, help="a seed, or as in 0-39")
    parser.add_argument("--kinds", default=",".join([*KINDS, "none"]), help="faults, by commas")
    parser.add_argument("--days", type=int, default=QUIET_DAYS, help="that a tank is kept")
    parser.add_argument("--readings", choices=("probe", "hand", "both"), default="both")
    parser.add_argument("--workers", type=int, default=os.cpu_count() or 1)
    parser.add_argument("--json", type=Path, help="write every run there")
    wanted = parser.parse_args()
    probes = {"probe": (True,), "hand": (False,), "both": (True, False)}[wanted.readings]
    jobs = [
        (seed, probe, tuple(wanted.kinds.split(",")), wanted.days)
        for seed in wanted.seeds
        for probe in probes
    ]
    runs: list[Run] = []
    began = time.perf_counter()
    # the lanes of one step are few: threads would only wait for each other
    with ProcessPoolExecutor(wanted.workers, initializer=set_num_threads, initargs=(1,)) as pool:
        for done, future in enumerate(as_completed([pool.submit(play, job) for job in jobs]), 1):
            runs += future.result()
            spent = time.perf_counter() - began
            print(f"{done} of {len(jobs)}, {spent:.0f} s", file=sys.stderr)
            for run in future.result():
                print(f"  {line_of(run)}", file=sys.stderr, flush=True)
            if wanted.json:
                wanted.json.write_text(json.dumps([asdict(r) for r in runs]))
    print(table(runs))


if __name__ == "__main__":
    main()
