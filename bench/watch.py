"""Time what one reading of an electrode costs while a tank is watched: `python bench/watch.py`.

A fit of a week of an invented tank is followed for two days, a reading a minute. Printed are the
longest and the mean time of `Tracker.take`; every tenth reading ends a step, in which all members
and faults are run on and the reading is held to them. Beside it SciPy works out the same
innovations anew at each step, by `cho_factor` of the whole covariance, as a general library does
that does not know that readings come one by one.

    python bench/watch.py [--seed N] [--hours N] [--json]
"""

import argparse
import json
import os
import sys
import time
from datetime import UTC, timedelta
from pathlib import Path

import numpy as np
from scipy.linalg import cho_factor, cho_solve

sys.path.insert(0, str(Path(__file__).parents[1]))

from bench.loop.advised import tank_of
from bench.loop.believed import diary_until
from bench.loop.faults import UTC_START_S
from bench.trial.diary import MINUTES_DAY, START
from bench.trial.simulate import simulate

from leafgill.estimate import believe
from leafgill.estimate.watch import Tracker
from leafgill.estimate.watch.ledger import Ledger

FITTED_DAYS = 7


def follow(seed: int, hours: int) -> tuple[Tracker, list[float]]:
    """Follow a tank; return its tracker and the seconds that each reading took."""
    trial = simulate(seed, FITTED_DAYS + hours // 24 + 1)
    now = (START + timedelta(days=FITTED_DAYS)).replace(tzinfo=UTC)
    tank = tank_of(trial.tank_toml)
    belief = believe(tank, diary_until(trial, now), now)
    tracker = Tracker.of(tank, diary_until(trial, now + timedelta(hours=hours)), belief)
    first = FITTED_DAYS * MINUTES_DAY
    taken = []
    assert trial.probe is not None
    for minute in range(first, first + 60 * hours):
        began = time.perf_counter()
        tracker.take(UTC_START_S + 60.0 * (minute + 1), float(trial.probe[minute]))
        taken.append(time.perf_counter() - began)
    return tracker, taken


def anew(covariance: np.ndarray, residual: np.ndarray) -> tuple[float, float]:
    """(Seconds a reading, sum of squared innovations) by a fresh factor at each reading."""
    began, total = time.perf_counter(), 0.0
    for n in range(1, residual.size + 1):
        factor = cho_factor(covariance[:n, :n], lower=True, check_finite=False)
        total = float(residual[:n] @ cho_solve(factor, residual[:n], check_finite=False))
    return (time.perf_counter() - began) / residual.size, total


def one_by_one(covariance: np.ndarray, residual: np.ndarray) -> tuple[float, float]:
    """The same by the ledger, all of the covariance told as shared."""
    ledger = Ledger(2)
    began = time.perf_counter()
    for n, value in enumerate(residual):
        ledger.add(np.zeros(2), float(value), float(covariance[n, n]), covariance[n, :n])
    return (time.perf_counter() - began) / residual.size, float(np.sum(ledger.innovations**2))


def measure(seed: int, hours: int) -> dict[str, float]:
    tracker, taken = follow(seed, hours)
    times = np.array(taken)
    ledger = tracker.pursuit.ledger
    size = ledger.count
    apart = np.abs(np.subtract.outer(np.arange(size), np.arange(size)))
    covariance = 4e-4 * np.exp(-apart / 48.0) + 1e-5 * np.eye(size)
    residual = np.random.default_rng(seed).normal(0.0, 0.02, size)
    scipy_s, scipy_sum = anew(covariance, residual)
    ours_s, ours_sum = one_by_one(covariance, residual)
    return {
        "readings": times.size,
        "steps": size,
        "branches": len(tracker.pursuit.branches.all),
        "mean_ms": 1e3 * float(times.mean()),
        "step_median_ms": 1e3 * float(np.median(np.sort(times)[-size:])),
        "longest_ms": 1e3 * float(times.max()),
        "ledger_us": 1e6 * ours_s,
        "scipy_us": 1e6 * scipy_s,
        "ratio": scipy_s / ours_s,
        "apart": abs(ours_sum / scipy_sum - 1.0),
        "load_average": os.getloadavg()[0],
        "cores": float(os.cpu_count() or 0),
    }


def main() -> None:
    parser = argparse.ArgumentParser(description="Time the watch, a reading at a time.")
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--hours", type=int, default=48)
    parser.add_argument("--json", action="store_true", help="print the figures as JSON")
    wanted = parser.parse_args()
    r = measure(wanted.seed, wanted.hours)
    if wanted.json:
        print(json.dumps(r, indent=2))
        return
    print(
        f"{r['readings']:.0f} readings, {r['steps']:.0f} steps, {r['branches']:.0f} faults alive; "
        f"{r['cores']:.0f} cores, load {r['load_average']:.1f}\n\n"
        f"a reading, mean            {r['mean_ms']:8.2f} ms\n"
        f"a reading that ends a step {r['step_median_ms']:8.2f} ms, median\n"
        f"the longest                {r['longest_ms']:8.2f} ms\n"
        f"its innovation, ours       {r['ledger_us']:8.1f} µs\n"
        f"its innovation, SciPy anew {r['scipy_us']:8.1f} µs   ({r['ratio']:.0f} ×; sums of "
        f"squares apart by {r['apart']:.1e})"
    )


if __name__ == "__main__":
    main()
