"""Tanks kept by the advice, and by common practice: `python -m bench.loop.closed`.

Every tank is kept for a fortnight by each keeper, with the same luck. With `--faults` a fault
befalls each, and it is kept by the advice and by the drop of 1.4. Tanks are none that the belief
was tuned on when the seeds are new.
"""

import argparse
import json
import os
import sys
import time
from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor, as_completed
from dataclasses import asdict, replace
from pathlib import Path
from typing import NamedTuple

from numba import set_num_threads

from ..trial.actions import Keeper, Window
from ..trial.faults import KINDS, Fault, draw
from ..trial.floor import ColourKeeper, by_drop
from ..trial.knowing import KnowingKeeper
from ..trial.score import Score, score
from ..trial.simulate import Trial, seed_range, simulate
from ..trial.world import World, invent
from .advised import AdvisedKeeper
from .believed import READINGS, at_moments
from .report import report

FIRST_SEED = 5000
NO_PROBE_EVERY = 3
BELIEFS = 4
FAULT_DAYS = (5, 9)
KEEPERS: dict[str, Callable[[Window, World], Keeper]] = {
    "advice": lambda light, world: AdvisedKeeper(light, world.ways),
    "advice, own readings": lambda light, world: AdvisedKeeper(
        light, world.ways, heeds_measure=False
    ),
    "drop of 1.0": lambda light, world: by_drop(light, world.ways, 1.0),
    "drop of 1.4": lambda light, world: by_drop(light, world.ways, 1.4),
    "checker": lambda light, world: ColourKeeper(light, world.ways),
    "knowing": lambda light, _world: KnowingKeeper(light),
}
ADVISED = ("advice", "advice, own readings")
WITH_FAULTS = ("advice", "drop of 1.4")
# Of so many tanks (every so many) the readings are also left out, a kind at a time.
LEFT_OUT_EVERY = 5
LEFT_OUT_MOMENTS = 2
# The readings a keeper would take without being told: for a fifth of the tanks.
OWN_READINGS_EVERY = 5


class Job(NamedTuple):
    """One tank, one keeper."""

    seed: int
    probe: bool
    keeper: str
    days: int
    faulty: bool = False
    left_out: bool = False


def play(job: Job) -> Score:
    """Keep one tank; for an advised one, also believe at random lit moments."""
    world = invent(job.seed)
    light = world.light
    began = time.perf_counter()
    keeper = KEEPERS[job.keeper](light, world)
    trial = simulate(job.seed, job.days, job.probe, keeper, fault_of(job, light))
    judged = score(trial, world, light, job.keeper)
    if job.faulty:
        judged = replace(judged, fault=kind_of(job.seed))
    elif job.keeper in ADVISED:
        judged = replace(judged, beliefs=tuple(at_moments(trial, light, BELIEFS)))
    if job.left_out:
        judged = replace(judged, left_out=left_out(trial, light, job.probe))
    return replace(judged, seconds=time.perf_counter() - began)


def left_out(
    trial: Trial, light: Window, probe: bool
) -> dict[str, tuple[tuple[float, float, float, float], ...]]:
    """What is believed with everything, and with each kind of reading left out."""
    kinds = {"": ()} | {name: of for name, of in READINGS.items() if probe or name != "probe"}
    return {
        name: tuple(at_moments(trial, light, LEFT_OUT_MOMENTS, of)) for name, of in kinds.items()
    }


def kind_of(seed: int) -> str:
    """The fault that a tank meets, each kind in turn."""
    return KINDS[seed % len(KINDS)]


def fault_of(job: Job, light: Window) -> Fault | None:
    """The fault of a tank, on a day of its own; None where nothing is to happen."""
    if not job.faulty:
        return None
    first, last = FAULT_DAYS
    return draw(kind_of(job.seed), job.seed, first + job.seed % (last - first + 1), light)


def jobs_of(seeds: Sequence[int], keepers: Sequence[str], days: int, faults: bool) -> list[Job]:
    """All that is to be played; the long ones first, so that no worker is left with one."""
    found = []
    for k, seed in enumerate(seeds):
        probe = (k + 1) % NO_PROBE_EVERY != 0
        for name in keepers:
            if name == "advice, own readings" and k % OWN_READINGS_EVERY:
                continue
            if faults and name not in WITH_FAULTS:
                continue
            some = name == "advice" and k % LEFT_OUT_EVERY == 0 and not faults
            found.append(Job(seed, probe, name, days, faulty=faults, left_out=some))
    return sorted(found, key=lambda job: (job.keeper not in ADVISED, not job.left_out))


def run(jobs: Sequence[Job], workers: int) -> list[Score]:
    """Play all, telling how far it is."""
    done: list[Score] = []
    began = time.perf_counter()
    with ProcessPoolExecutor(workers, initializer=set_num_threads, initargs=(1,)) as pool:
        for future in as_completed([pool.submit(play, job) for job in jobs]):
            done.append(future.result())
            if sys.stderr.isatty() or len(done) % 10 == 0 or len(done) == len(jobs):
                spent = time.perf_counter() - began
                print(f"\r{len(done)} of {len(jobs)}, {spent:.0f} s", end="", file=sys.stderr)
    print(file=sys.stderr)
    order = {name: k for k, name in enumerate(KEEPERS)}
    return sorted(done, key=lambda s: (bool(s.fault), order[s.keeper], s.seed))


def main() -> None:
    """The command."""
    parser = argparse.ArgumentParser(description=__doc__)
    default = f"{FIRST_SEED}-{FIRST_SEED + 59}"
    parser.add_argument("--seeds", type=seed_range, default=default, help="a seed, or as in 0-39")
    parser.add_argument("--days", type=int, default=14)
    parser.add_argument("--keepers", default=";".join(KEEPERS), help="names, by semicolons")
    parser.add_argument("--faults", action="store_true", help="something breaks in each")
    parser.add_argument("--workers", type=int, default=os.cpu_count() or 1)
    parser.add_argument("--json", type=Path, help="write every score there")
    wanted = parser.parse_args()
    jobs = jobs_of(wanted.seeds, wanted.keepers.split(";"), wanted.days, wanted.faults)
    scores = run(jobs, wanted.workers)
    if wanted.json:
        wanted.json.write_text(json.dumps([asdict(s) for s in scores]))
    print(report(scores))


if __name__ == "__main__":
    main()
