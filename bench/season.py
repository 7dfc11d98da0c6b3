"""Do the nutrient forecasts hold? Twelve weeks on invented tanks: `python bench/season.py`.

Each tank is kept for a season by a nature that is not the product's own (season_world). After four,
six and eight weeks its diary is believed, and the concentrations forecast for one to four weeks on
are put beside what then really was. Every third tank has no probe.
"""

from __future__ import annotations

import argparse
import csv
import io
import sys
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))

from bench.season_ground import KEYS
from bench.season_world import Kept, live
from bench.trial.diary import START, Row

from leafgill.advise.balance.season import season_of
from leafgill.diary import Diary
from leafgill.estimate import TooFewDrawsError, believe
from leafgill.tank.spec import Tank

FIRST_SEED = 2000
NO_PROBE_EVERY = 3
AFTER_WEEKS = (4, 6, 8)
AHEAD_WEEKS = (1, 2, 3, 4)


@dataclass(frozen=True)
class Judged:
    """One forecast beside the truth [mg/L]; `tested` tells whether the nutrient ever was."""

    seed: int
    key: str
    tested: bool
    ahead_weeks: int
    truth: float
    mean: float
    low: float
    high: float

    @property
    def held(self) -> bool:
        """Whether the interval holds the truth."""
        return self.low <= self.truth <= self.high


def files_of(kept: Kept, probe: bool) -> tuple[Tank, Diary]:
    """Return the tank and the diary as they come from the files a keeper would have."""
    tank = Tank.from_mapping(_toml(kept.tank_toml))
    log = _probe_csv(kept) if probe else None
    return tank, Diary.read(_diary_csv(kept.rows), log, timezone=tank.timezone)


def _toml(text: str) -> dict[str, object]:
    import tomllib

    return tomllib.loads(text)


def _diary_csv(rows: Iterable[Row]) -> str:
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(Row._fields)
    writer.writerows((f"{row.time:%Y-%m-%dT%H:%M}", *row[1:]) for row in rows)
    return out.getvalue()


def _probe_csv(kept: Kept, every: int = 10) -> str:
    assert kept.probe is not None
    lines = [
        f"{START + timedelta(minutes=i + 1):%Y-%m-%dT%H:%M},{kept.probe[i]:.3f}"
        for i in range(0, kept.probe.size, every)
    ]
    return "time,ph\n" + "\n".join(lines) + "\n"


def judge(
    seed: int,
    probe: bool,
    after: Iterable[int] = AFTER_WEEKS,
    ahead: Iterable[int] = AHEAD_WEEKS,
    draws: int = 300,
) -> list[Judged]:
    """Let one tank be kept for a season, and put every forecast beside the truth."""
    ahead = tuple(ahead)
    after = tuple(after)
    days = 7 * (max(after) + max(ahead)) + 1
    kept = live(seed, days, probe)
    tank, diary = files_of(kept, probe)
    found = []
    for week in after:
        now = (START + timedelta(days=7 * week)).replace(hour=21)
        belief = believe(tank, diary, now, seed=seed, count=draws)
        season = season_of(tank, diary, belief, max(ahead), keys=KEYS, seed=seed)
        for weeks in ahead:
            # the truth is of 11:00, before anything is done that day
            then = (now + timedelta(weeks=weeks)).replace(hour=10, minute=55)
            day = (then.date() - START.date()).days
            at_s = belief.now.timestamp() + (then - now).total_seconds()
            for k, key in enumerate(KEYS):
                course, _ = season.going_on(key)
                then_mg_l = season.ahead.grid.at(course, at_s)
                low, high = np.quantile(then_mg_l, [0.05, 0.95])
                found.append(
                    Judged(seed, key, key in kept.plan.tested, weeks,
                           float(kept.truth[day, k]), float(then_mg_l.mean()),
                           float(low), float(high))
                )  # fmt: skip
    return found


def row(name: str, judged: list[Judged]) -> str:
    """Return a table's row: how many, how often held, below, above, and how wide."""
    if not judged:
        return f"| {name} | 0 | | | | |"
    held = np.mean([j.held for j in judged])
    below = np.mean([j.truth < j.low for j in judged])
    above = np.mean([j.truth > j.high for j in judged])
    miss = np.median([abs(j.mean - j.truth) for j in judged])
    width = np.median([j.high - j.low for j in judged])
    return (
        f"| {name} | {len(judged)} | {held:.1%} | {below:.1%} / {above:.1%} "
        f"| {miss:.2g} | {width:.2g} |"
    )


def table(judged: list[Judged]) -> str:
    """Return all that was judged as a Markdown table."""
    lines = [
        "| forecasts | n | 90 % interval holds | truth below / above | median error, mg/L "
        "| median width, mg/L |",
        "|---|---|---|---|---|---|",
        row("all", judged),
        row("of nutrients tested", [j for j in judged if j.tested]),
        row("of nutrients never tested", [j for j in judged if not j.tested]),
    ]
    lines += [row(key, [j for j in judged if j.key == key]) for key in KEYS]
    lines += [
        row(f"{weeks} week{'s' if weeks > 1 else ''} ahead",
            [j for j in judged if j.ahead_weeks == weeks])
        for weeks in AHEAD_WEEKS
    ]  # fmt: skip
    return "\n".join(lines)


def main() -> None:
    """The command."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--tanks", type=int, default=20)
    parser.add_argument("--first-seed", type=int, default=FIRST_SEED)
    wanted = parser.parse_args()
    judged: list[Judged] = []
    for number in range(1, wanted.tanks + 1):
        seed = wanted.first_seed + number - 1
        try:
            mine = judge(seed, number % NO_PROBE_EVERY != 0)
        except TooFewDrawsError as error:
            print(f"{number}/{wanted.tanks} tank {seed}: {error}", file=sys.stderr, flush=True)
            continue
        judged += mine
        tested = [j for j in mine if j.tested]
        print(
            f"{number}/{wanted.tanks} tank {seed}: {np.mean([j.held for j in mine]):.0%} held, "
            f"{np.mean([j.held for j in tested]):.0%} of those tested",
            file=sys.stderr, flush=True,
        )  # fmt: skip
    print(table(judged))


if __name__ == "__main__":
    main()
