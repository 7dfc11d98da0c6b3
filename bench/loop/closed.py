"""Tanks kept by the advice, and by common practice: `python -m bench.loop.closed`.

Every tank is kept for a fortnight by each keeper, with the same luck. Tanks are none that the
belief was tuned on when the seeds are new.
"""

import argparse
import json
import os
import sys
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ProcessPoolExecutor, as_completed
from dataclasses import asdict, replace
from datetime import UTC, timedelta
from pathlib import Path

import numpy as np

from leafgill import Diary, Entry, believe

from ..trial.actions import Keeper, Window
from ..trial.diary import MINUTES_DAY, START
from ..trial.floor import ColourKeeper, by_drop
from ..trial.knowing import KnowingKeeper
from ..trial.report import report
from ..trial.score import Score, lit_minutes, score
from ..trial.simulate import Trial, seed_range, simulate
from ..trial.world import World, invent
from .advised import AdvisedKeeper, tank_of

FIRST_SEED = 5000
NO_PROBE_EVERY = 3
BELIEFS = 4
BELIEVED_FROM_DAY = 3
KEEPERS: dict[str, Callable[[Window, World], Keeper]] = {
    "advice": lambda light, world: AdvisedKeeper(light, world.ways),
    "drop of 1.0": lambda light, world: by_drop(light, world.ways, 1.0),
    "drop of 1.4": lambda light, world: by_drop(light, world.ways, 1.4),
    "checker": lambda light, world: ColourKeeper(light, world.ways),
    "knowing": lambda light, _world: KnowingKeeper(light),
}


def play(job: tuple[int, bool, str, int]) -> Score:
    """Keep one tank; for the advised one, also believe at random lit moments."""
    seed, probe, name, days = job
    world = invent(seed)
    light = world.light
    began = time.perf_counter()
    trial = simulate(seed, days, probe, KEEPERS[name](light, world))
    judged = score(trial, world, light, name)
    if name == "advice":
        judged = replace(judged, beliefs=tuple(beliefs(trial, light)))
    return replace(judged, seconds=time.perf_counter() - began)


def beliefs(trial: Trial, light: Window) -> Iterator[tuple[float, float, float, float]]:
    """(True CO2, believed mean, low, high) at random lit moments, each believed at that moment."""
    minutes = trial.truth["co2_mean"].size
    lit = np.flatnonzero(lit_minutes(minutes, light, 0.0))
    lit = lit[lit >= BELIEVED_FROM_DAY * MINUTES_DAY]
    rng = np.random.default_rng([trial.play.world.seed, 7])
    tank = tank_of(trial.tank_toml)
    for i in np.sort(rng.choice(lit, BELIEFS, replace=False)):
        now = START + timedelta(minutes=int(i) + 1)
        diary = Diary(
            [Entry(r.time.replace(tzinfo=UTC), *r[1:]) for r in trial.diary if r.time <= now],
            timezone="UTC",
        )
        if trial.probe is not None:
            times = [START.replace(tzinfo=UTC) + timedelta(minutes=k + 1) for k in range(i + 1)]
            diary.add_readings("ph", times, trial.probe[: i + 1])
        co2 = believe(tank, diary, now.replace(tzinfo=UTC)).co2(now.replace(tzinfo=UTC))
        yield float(trial.truth["co2_mean"][i]), co2.mean, co2.low, co2.high


def run(jobs: list[tuple[int, bool, str, int]], workers: int) -> list[Score]:
    """Play all, telling how far it is."""
    done: list[Score] = []
    began = time.perf_counter()
    with ProcessPoolExecutor(workers) as pool:
        for future in as_completed([pool.submit(play, job) for job in jobs]):
            done.append(future.result())
            if sys.stderr.isatty() or len(done) % 10 == 0 or len(done) == len(jobs):
                spent = time.perf_counter() - began
                print(f"\r{len(done)} of {len(jobs)}, {spent:.0f} s", end="", file=sys.stderr)
    print(file=sys.stderr)
    return sorted(done, key=lambda s: (s.keeper, s.seed))


def main() -> None:
    """The command."""
    parser = argparse.ArgumentParser(description=__doc__)
    default = f"{FIRST_SEED}-{FIRST_SEED + 59}"
    parser.add_argument("--seeds", type=seed_range, default=default, help="a seed, or as in 0-39")
    parser.add_argument("--days", type=int, default=14)
    parser.add_argument("--keepers", default=",".join(KEEPERS), help="names, by commas")
    parser.add_argument("--workers", type=int, default=os.cpu_count() or 1)
    parser.add_argument("--json", type=Path, help="write every score there")
    wanted = parser.parse_args()
    jobs = [
        (seed, (k + 1) % NO_PROBE_EVERY != 0, name, wanted.days)
        for k, seed in enumerate(wanted.seeds)
        for name in wanted.keepers.split(",")
    ]
    scores = run(jobs, wanted.workers)
    if wanted.json:
        wanted.json.write_text(json.dumps([asdict(s) for s in scores]))
    print(report(scores))


if __name__ == "__main__":
    main()
