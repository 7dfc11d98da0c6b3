"""Play invented tanks and write their diaries: `python -m bench.trial.simulate --seeds 0-39`."""

import argparse
import csv
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

import numpy as np

from .actions import Keeper, Read, SetLightDay
from .chemistry import FloatArray
from .diary import MINUTES_DAY, START, Row
from .faults import Fault
from .habit import HabitKeeper
from .play import Play
from .senses import Senses
from .world import invent, tank_toml

TRUTH_TIMES = 60
TIME = "%Y-%m-%dT%H:%M"


@dataclass(frozen=True)
class Trial:
    """A tank that was kept: what the keeper has, and what really was.

    `probe` holds pH, one a minute from one minute after the start (NaN or off the scale where a
    fault made it so); `play.struck` is the minute from which a fault shows; `truth` arrays over
    the same minutes: time (minutes after the start), co2_mean, co2_max, o2_min, ph, rate,
    temperature.
    """

    tank_toml: str
    diary: tuple[Row, ...]
    probe: FloatArray | None
    truth: dict[str, FloatArray]
    play: Play


def simulate(
    seed: int,
    days: int = 14,
    probe: bool = True,
    keeper: Keeper | None = None,
    fault: Fault | None = None,
) -> Trial:
    """Invent the tank of a seed and let a keeper (by default one of habits) keep it for days.

    `fault` befalls the tank at its minute, unwritten: see faults. Raises ValueError when the
    keeper would look at a time that is not after the last look.
    """
    world = invent(seed)
    play = Play(world, days * MINUTES_DAY, probe, fault=fault)
    light = world.light
    who = keeper if keeper is not None else HabitKeeper(light, world.ways)
    senses = Senses(play, "", light)
    # what every diary opens with: the lamp's hours, the KH and the cylinder before its first use
    senses.do(SetLightDay(light))
    senses.tank_toml = tank_toml(world, float(senses.read("kh")))
    senses.do(Read("cylinder_mass"))
    end = START + timedelta(days=days)
    when: datetime | None = START
    while when is not None and when < end:
        play.until(when)
        for action in who.look(when, senses):
            senses.do(action)
        last, when = when, who.next_look(when)
        if when is not None and when <= last:
            raise ValueError(f"the keeper would look at {when}, which is not after {last}")
    play.until(end)
    log = play.probe_log() if probe else None
    return Trial(senses.tank_toml, tuple(play.rows), log, _truth(play), play)


def _truth(play: Play) -> dict[str, FloatArray]:
    track = play.track
    return {
        "time": np.arange(1.0, play.minutes + 1.0),
        "co2_mean": track.co2_mean,
        "co2_max": track.co2_max,
        "o2_min": track.o2_min,
        "ph": track.ph,
        "rate": track.rate,
        "temperature": play.course.temperature_c,
    }


def write_trial(trial: Trial, folder: Path) -> None:
    """Write tank.toml, diary.csv, truth.csv and, where there is one, probe.csv."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "tank.toml").write_text(trial.tank_toml)
    with (folder / "diary.csv").open("w", newline="") as file:
        out = csv.writer(file, lineterminator="\n")
        out.writerow(Row._fields)
        out.writerows((f"{r.time:{TIME}}", *r[1:]) for r in trial.diary)
    if trial.probe is not None:
        with (folder / "probe.csv").open("w") as file:
            file.write("time,ph\n")
            for i, ph in enumerate(trial.probe):
                file.write(f"{START + timedelta(minutes=i + 1):{TIME}},{ph:.3f}\n")
    _write_truth(trial, folder / "truth.csv")


def _write_truth(trial: Trial, path: Path) -> None:
    """60 moments at random from the first gas on."""
    minutes = trial.truth["time"].size
    rng = np.random.default_rng([trial.play.world.seed, 6])
    picked = np.sort(rng.choice(np.arange(MINUTES_DAY, minutes), TRUTH_TIMES, replace=False))
    names = ("co2_mean", "co2_max", "o2_min", "ph")
    with path.open("w") as file:
        file.write("time,co2_mg_l,co2_max_mg_l,o2_min_mg_l,ph\n")
        for i in picked:
            values = ",".join(f"{trial.truth[name][i]:.3f}" for name in names)
            file.write(f"{START + timedelta(minutes=int(i) + 1):{TIME}},{values}\n")


def seed_range(text: str) -> range:
    """The seeds of "7" or "0-39"."""
    first, _, last = text.partition("-")
    return range(int(first), int(last or first) + 1)


def main() -> None:
    """The command."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seeds", type=seed_range, default="0-39", help="a seed, or as in 0-39")
    parser.add_argument("--out", type=Path, required=True, help="folder for the tanks' folders")
    parser.add_argument("--days", type=int, default=14, help="at least 2")
    parser.add_argument("--no-probe-every", type=int, default=3, help="0: every tank has a probe")
    wanted = parser.parse_args()
    if wanted.days < 2:
        parser.error("argument --days: the gas opens on the second day, so at least 2")
    for number, seed in enumerate(wanted.seeds, 1):
        probe = not (wanted.no_probe_every and number % wanted.no_probe_every == 0)
        folder = wanted.out / f"tank-{seed:04d}{'' if probe else '-no-probe'}"
        write_trial(simulate(seed, wanted.days, probe), folder)
        print(folder)


if __name__ == "__main__":
    main()
