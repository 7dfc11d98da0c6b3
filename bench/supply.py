"""Do the intervals of `supply` hold? Cylinders drawn from its own laws: `python bench/supply.py`.

Each run draws a cylinder, a valve that creeps, a keeper who counts once a week and weighs or reads
the gauge every fortnight, and compares what is left and what is used with what `supply` says. The
laws and priors are the program's own, so this shows that the draws are right, not that nature is.
"""

from __future__ import annotations

import argparse
from dataclasses import dataclass
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from leafgill.advise.supply import supply
from leafgill.diary import Diary, Entry
from leafgill.science.cylinder import cylinder_pressure_bar
from leafgill.tank.spec import Tank

UTC = ZoneInfo("UTC")
BEGIN = datetime(2025, 1, 6, 8, tzinfo=UTC)
HOURS, DAYS, EVERY = 9.0, 84, 14


@dataclass
class Run:
    """One cylinder's end: what its keeper wrote, and the truth [g, g/day]."""

    tank: Tank
    diary: Diary
    now: datetime
    left_g: float
    use_g_day: float


def drawn(seed: int, how: str) -> Run:
    """Return a run; `how` is "tare", "no tare", "leak" or "gauge"."""
    rng = np.random.default_rng(seed)
    bubble_g = 7e-5 * np.exp(0.6 * rng.standard_normal())
    swell = 0.08 + 0.13 * rng.standard_normal()
    charge = float(rng.choice([500.0, 2000.0, 2268.0, 4536.0]))
    tare = charge * 1.75 * np.exp(0.28 * rng.standard_normal())
    regulator = 900.0 * np.exp(0.45 * rng.standard_normal())
    full = how != "gauge"
    left = charge * (0.93 + 0.07 * rng.random() if full else rng.random())
    room = min(21.0 + 2.5 * rng.standard_normal(), 29.0)
    water = charge * 1e-3 / rng.uniform(0.667, 0.76)
    bias = 2.5 * rng.standard_normal()
    leak = 3.0 if how == "leak" else 0.0
    rate = float(np.round(rng.uniform(0.5, 3.0), 1))
    rows = [Entry(BEGIN - timedelta(hours=1), "care", "cylinder refilled")] if full else []
    rows += [
        Entry(BEGIN, "gas_day", "09:00-18:00"),
        Entry(BEGIN, "light_day", "10:00-18:00"),
        Entry(BEGIN, "bubble_rate", rate),
    ]
    log_rate, use, day = np.log(rate) + 0.08 * rng.standard_normal(), 0.0, 0
    while day < DAYS and left > 30.0:
        at = BEGIN + timedelta(days=day)
        if day % EVERY == 0 and how == "gauge":
            bar = cylinder_pressure_bar(left * 1e-3, water, room) - 1.013 + bias
            shown = float(round(max(bar + 1.5 * rng.standard_normal(), 0.0)))
            rows.append(Entry(at + timedelta(minutes=6), "cylinder_pressure", shown))
        elif day % EVERY == 0:
            grams = float(round(tare + regulator + left + 4.0 * rng.standard_normal()))
            rows.append(Entry(at + timedelta(minutes=5), "cylinder_mass", grams, "g",
                              "with regulator on"))  # fmt: skip
        if day % 7 == 3:
            counted = float(int(30.0 * np.exp(log_rate) + rng.random()))
            rows.append(Entry(at + timedelta(hours=4), "bubble_count", counted, "30 s"))
        if day % EVERY == EVERY - 1:
            rows.append(Entry(at + timedelta(hours=5), "bubble_rate", rate))
            log_rate = np.log(rate) + 0.08 * rng.standard_normal()
        use = bubble_g * np.exp((1.0 + swell) * log_rate) * HOURS * 3600.0 + leak
        left -= use
        log_rate += 0.035 * rng.standard_normal()
        day += 1
    rig = {"cylinder_kg": charge * 1e-3, "diffuser": "disc"}
    if how == "tare":
        stamped = tare * (1.0 + 0.006 * rng.standard_normal())
        rig["cylinder_tare_kg"] = round(stamped * 1e-3, 2)
    tank = Tank.from_mapping(
        {
            "tank": {"name": "Invented", "length_cm": 80, "width_cm": 35, "height_cm": 40},
            "day": {"lights_on": "10:00", "lights_off": "18:00"},
            "rig": rig,
        }
    )
    return Run(tank, Diary(rows).localised("UTC"), BEGIN + timedelta(days=day, minutes=30),
               max(left, 0.0), use)  # fmt: skip


def report(how: str, runs: int, first: int) -> str:
    """Return a row: how often the intervals held, how wide they are, and the leak's chance."""
    left, used, width, leaks = 0, 0, [], []
    for seed in range(first, first + runs):
        run = drawn(seed, how)
        found = supply(run.tank, run.diary, run.now)
        left += found.left_g.low <= run.left_g <= found.left_g.high
        used += found.use_g_day.low <= run.use_g_day <= found.use_g_day.high
        charge_g = 1e3 * (run.tank.rig.cylinder_kg or 1.0)
        width.append((found.left_g.high - found.left_g.low) / charge_g)
        leaks.append(found.leak.chance)
    return (
        f"{how:8} {runs:4} runs: gas left held {left / runs:.0%}, use held {used / runs:.0%}, "
        f"width {np.mean(width):.0%} of the charge, chance of a leak {np.median(leaks):.0%}"
    )


def main() -> None:
    """Print a row for each way of reading."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--runs", type=int, default=40)
    parser.add_argument("--first", type=int, default=200, help="seed of the first run")
    parser.add_argument("--how", choices=["tare", "no tare", "leak", "gauge"], action="append")
    given = parser.parse_args()
    for how in given.how or ["tare", "no tare", "leak", "gauge"]:
        print(report(how, given.runs, given.first), flush=True)


if __name__ == "__main__":
    main()
