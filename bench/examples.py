"""Make the invented tanks of `src/leafgill/examples`: `python -m bench.examples [FOLDER ...]`.

Each is one seed of the trial's simulator, kept for some days by its keeper of ordinary habits or
for a month by one who follows the advice, then given a name. Nothing of what really was in the
water is written: the files hold only what a keeper would have.
"""

import csv
import sys
from datetime import datetime, timedelta
from pathlib import Path
from typing import NamedTuple

from .loop.advised import AdvisedKeeper
from .trial.actions import Keeper
from .trial.diary import START, Row
from .trial.simulate import TIME, simulate
from .trial.world import invent

FOLDER = Path(__file__).parents[1] / "src" / "leafgill" / "examples"
INVENTED = (
    "# Invented: the tank, its keeper and every reading come from a simulation (see README.md\n"
    "# beside this folder). No such tank exists.\n\n"
)


class Example(NamedTuple):
    """One tank: its folder, its name, the simulator's seed, and the moment its files end at."""

    folder: str
    name: str
    seed: int
    until: datetime
    probe: bool
    timezone: str
    advised: bool = False
    every_min: int = 1
    more: str = ""  # what the keeper says besides in the tank file


_STAIRS = """
[cabinet]
width_cm = 60
depth_cm = 45
height_cm = 70

[room]
volume_m3 = 42

[plants]
density = "medium"
"""
_WINDOW_SEAT = """
[plants]
density = "high"
"""
EXAMPLES = (
    Example("hallway", "Hallway tank", 3052, datetime(2025, 3, 8, 12, 10), True, "Europe/Lisbon"),
    Example("reading-room", "Reading room tank", 3113, datetime(2025, 3, 10, 13, 10), False,
            "Europe/Lisbon"),
    Example("stairs", "Tank under the stairs", 3121, datetime(2025, 4, 2, 13, 20), True,
            "Atlantic/Reykjavik", True, 5, _STAIRS),
    Example("window-seat", "Window seat tank", 3133, datetime(2025, 4, 2, 13, 20), True,
            "Atlantic/Reykjavik", True, 5, _WINDOW_SEAT),
)  # fmt: skip


def make(example: Example) -> None:
    """Simulate one tank and write its files."""
    days = (example.until - START).days + 1
    trial = simulate(example.seed, days, example.probe, keeper_of(example))
    folder = FOLDER / example.folder
    folder.mkdir(parents=True, exist_ok=True)
    described = trial.tank_toml.replace(f'"Tank {example.seed:04d}"', f'"{example.name}"')
    described = described.replace('"UTC"', f'"{example.timezone}"')
    (folder / "tank.toml").write_text(INVENTED + described + example.more, encoding="utf-8")
    with (folder / "diary.csv").open("w", encoding="utf-8", newline="") as file:
        out = csv.writer(file, lineterminator="\n")
        out.writerow(Row._fields)
        said = f"{example.name}: invented by a simulation, no such tank exists"
        out.writerow((f"{START:{TIME}}", "note", said, "", ""))
        out.writerows(
            (f"{row.time:{TIME}}", *row[1:]) for row in trial.diary if row.time <= example.until
        )
    if trial.probe is not None:
        times = (START + timedelta(minutes=i) for i in range(1, trial.probe.size + 1))
        rows = (
            f"{time:{TIME}},{ph:.2f}\n"
            for time, ph in zip(times, trial.probe, strict=True)
            if time <= example.until and time.minute % example.every_min == 0
        )
        (folder / "probe.csv").write_text("time,ph\n" + "".join(rows), encoding="utf-8")


def keeper_of(example: Example) -> Keeper | None:
    """Return who keeps the tank; None is the keeper of ordinary habits."""
    if not example.advised:
        return None
    world = invent(example.seed)
    return AdvisedKeeper(world.light, world.ways)


def main() -> None:
    """Make those named, or all of them."""
    for example in EXAMPLES:
        if sys.argv[1:] and example.folder not in sys.argv[1:]:
            continue
        make(example)
        print(FOLDER / example.folder)


if __name__ == "__main__":
    main()
