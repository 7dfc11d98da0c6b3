"""How often the belief's 90 % interval for CO2 holds the truth: `python bench/calibration.py`.

Invented tanks of the trial's simulator, which shares no code with the model that judges them, are
kept for two weeks; every third has no probe. Each diary is read from the files a keeper would
have, and the belief at its end is compared with what really was at 60 random moments.
"""

from __future__ import annotations

import argparse
import json
import sys
import tempfile
import time
from dataclasses import asdict, dataclass
from datetime import timedelta
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

sys.path.insert(0, str(Path(__file__).parents[1]))

from bench.trial.diary import START
from bench.trial.simulate import simulate, write_trial

from leafgill.diary import Diary
from leafgill.estimate import Belief, TooFewDrawsError, believe
from leafgill.tank.spec import Tank

FIRST_SEED = 1000
NO_PROBE_EVERY = 3
FloatArray = NDArray[np.float64]


@dataclass(frozen=True)
class Judged:
    """One tank's belief against its truth, at its moments."""

    seed: int
    probe: bool
    seconds: float
    misfits: int
    truth: FloatArray
    mean: FloatArray
    low: FloatArray
    high: FloatArray
    lit: NDArray[np.bool_]


@dataclass(frozen=True)
class Figures:
    """What a group of moments shows; relative figures of the truth, widths of the mean."""

    tanks: int
    moments: int
    held: float  # part of the moments whose interval holds the truth
    below: float  # part whose truth lies below the interval
    above: float
    error_median: float  # of |mean - truth| / truth
    error_p90: float
    half_width_median: float  # of half the interval / mean


def truth_of(path: Path) -> tuple[FloatArray, FloatArray]:
    """Return (epoch seconds, CO2 mg/L) of a trial's truth.csv."""
    rows = [line.split(",") for line in path.read_text().splitlines()[1:]]
    times = np.array([row[0] + ":00" for row in rows], dtype="datetime64[s]")
    return times.astype(np.int64).astype(np.float64), np.array([float(row[1]) for row in rows])


def is_lit(belief: Belief, times_s: FloatArray) -> NDArray[np.bool_]:
    """Return whether the lamp was on at each moment, by the diary."""
    evidence = belief.problem.evidence
    step = np.searchsorted(evidence.edges_s, times_s, side="right") - 1
    lit: NDArray[np.bool_] = (
        evidence.forcing.light[np.clip(step, 0, evidence.forcing.steps - 1)] > 0
    )
    return lit


def judge(seed: int, probe: bool, days: int, draws: int) -> Judged:
    """Play one tank, believe its diary, and put the belief beside the truth."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        write_trial(simulate(seed, days, probe), folder)
        tank = Tank.load(folder / "tank.toml")
        log = folder / "probe.csv" if probe else None
        diary = Diary.load(folder / "diary.csv", probe=log, timezone=tank.timezone)
        times, truth = truth_of(folder / "truth.csv")
    began = time.perf_counter()
    belief = believe(tank, diary, START + timedelta(days=days), seed=seed, count=draws)
    seconds = time.perf_counter() - began
    band = belief.band("co2", times)
    return Judged(
        seed, probe, seconds, len(belief.misfits), truth, band.mean, band.low, band.high,
        is_lit(belief, times),
    )  # fmt: skip


def figures(judged: list[Judged], *, lit_only: bool = False) -> Figures | None:
    """Return what a group of tanks shows, over all moments or the lit ones; None for no moment."""
    if not judged:
        return None
    keep = np.concatenate([j.lit if lit_only else np.ones_like(j.lit) for j in judged])
    if not keep.any():
        return None
    truth, mean, low, high = (
        np.concatenate([getattr(j, what) for j in judged])[keep]
        for what in ("truth", "mean", "low", "high")
    )
    error = np.abs(mean - truth) / truth
    return Figures(
        tanks=len(judged),
        moments=int(truth.size),
        held=float(np.mean((low <= truth) & (truth <= high))),
        below=float(np.mean(truth < low)),
        above=float(np.mean(truth > high)),
        error_median=float(np.median(error)),
        error_p90=float(np.quantile(error, 0.9)),
        half_width_median=float(np.median(0.5 * (high - low) / mean)),
    )


def grouped(judged: list[Judged]) -> dict[str, Figures]:
    """Return the figures of all tanks, of those with a probe and of those without; lit too."""
    groups = {
        "all": judged,
        "with probe": [j for j in judged if j.probe],
        "without probe": [j for j in judged if not j.probe],
    }
    found = {}
    for name, group in groups.items():
        for lit, said in ((False, ""), (True, ", lit")):
            if (shown := figures(group, lit_only=lit)) is not None:
                found[name + said] = shown
    return found


def table(groups: dict[str, Figures]) -> str:
    """Return the groups as a Markdown table, in per cent."""
    lines = [
        "| tanks | n | moments | 90 % interval holds | truth below / above | median error "
        "| 90th percentile | median half width |",
        "|---|---|---|---|---|---|---|---|",
    ]
    lines += [
        f"| {name} | {f.tanks} | {f.moments} | {f.held:.1%} | {f.below:.1%} / {f.above:.1%} "
        f"| {f.error_median:.1%} | {f.error_p90:.1%} | {f.half_width_median:.1%} |"
        for name, f in groups.items()
    ]
    return "\n".join(lines)


def main() -> None:
    """The command."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--tanks", type=int, default=12, help="how many (12)")
    parser.add_argument("--first-seed", type=int, default=FIRST_SEED)
    parser.add_argument("--days", type=int, default=14, help="at least 2")
    parser.add_argument("--draws", type=int, default=300, help="of each belief")
    parser.add_argument("--json", action="store_true", help="figures as JSON")
    wanted = parser.parse_args()
    if wanted.days < 2 or wanted.tanks < 1:
        parser.error("at least 1 tank and 2 days")
    judged: list[Judged] = []
    failed: list[int] = []
    for number in range(1, wanted.tanks + 1):
        seed = wanted.first_seed + number - 1
        try:
            one = judge(seed, number % NO_PROBE_EVERY != 0, wanted.days, wanted.draws)
        except TooFewDrawsError as error:
            failed.append(seed)
            print(f"{number}/{wanted.tanks} tank {seed}: {error}", file=sys.stderr, flush=True)
            continue
        judged.append(one)
        shown = figures([one])
        assert shown is not None
        print(
            f"{number}/{wanted.tanks} tank {seed}{'' if one.probe else ' (no probe)'}: "
            f"{shown.held:.0%} held, median error {shown.error_median:.1%}, {one.seconds:.1f} s",
            file=sys.stderr, flush=True,
        )  # fmt: skip
    groups = grouped(judged)
    if wanted.json:
        print(json.dumps({"failed": failed, "groups": {k: asdict(f) for k, f in groups.items()}}))
        return
    print(table(groups))
    if failed:
        print(f"too few draws: {', '.join(map(str, failed))}")


if __name__ == "__main__":
    main()
