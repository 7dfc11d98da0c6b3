"""Play invented tanks and write their diaries: `python -m bench.trial.simulate --seeds 0-39`."""

import argparse
import csv
from collections.abc import Callable
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path

import numpy as np

from .actions import Keeper, Window
from .chemistry import FloatArray
from .habit import HabitKeeper
from .play import MINUTES_DAY, START, Play, Row
from .senses import Senses, logged
from .world import World, invent, tank_toml

TRUTH_TIMES = 60
TIME = "%Y-%m-%dT%H:%M"


@dataclass(frozen=True)
class Trial:
    """A tank that was kept: what the keeper has, and what really was.

    `probe` holds pH, one a minute from one minute after the start; `truth` arrays over the same
    minutes: time (minutes after the start), co2_mean, co2_max, o2_min, ph, rate, temperature.
    """

    tank_toml: str
    diary: tuple[Row, ...]
    probe: FloatArray | None
    truth: dict[str, FloatArray]
    world: World
    play: Play


def simulate(
    seed: int,
    days: int = 14,
    probe: bool = True,
    keeper: Callable[[World, Window], Keeper] | None = None,
) -> Trial:
    """Invent the tank of a seed and let a keeper keep it for some days."""
    world = invent(seed)
    play = Play(world, days * MINUTES_DAY, probe)
    on = round(60 * world.light_on_h)
    light = Window(on, (on + round(60 * world.light_length_h)) % MINUTES_DAY)
    who = keeper(world, light) if keeper else HabitKeeper(light, world.writes_water_change)
    first_kh = _set_up(play, light)
    toml = tank_toml(world, first_kh)
    senses = Senses(play, toml, light)
    now = START
    _visit(play, who, senses)
    end = START + timedelta(days=days)
    while (when := who.next_look(now)) is not None and when < end:
        if when <= now:
            raise ValueError(f"the keeper would look at {when}, which is not after {now}")
        now = when
        play.until(now)
        _visit(play, who, senses)
    play.until(end)
    return Trial(
        toml, tuple(play.rows), logged(play) if probe else None, _truth(play), world, play
    )


def _set_up(play: Play, light: Window) -> float:
    """What every diary opens with: the lamp's hours, the KH and the full cylinder."""
    from .actions import SetLightDay

    play.act(SetLightDay(light))
    kh = float(play.read("kh"))
    play.read("cylinder_mass")
    return kh


def _visit(play: Play, who: Keeper, senses: Senses) -> None:
    for action in who.look(play.time(), senses):
        play.act(action)


def _truth(play: Play) -> dict[str, FloatArray]:
    track = play.track
    return {
        "time": np.arange(1.0, play.minutes + 1.0),
        "co2_mean": track.co2_mean,
        "co2_max": track.co2_max,
        "o2_min": track.o2_min,
        "ph": track.ph,
        "rate": track.rate,
        "temperature": play.weather.temperature_c,
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
    rng = np.random.default_rng([trial.world.seed, 6])
    picked = np.sort(rng.choice(np.arange(MINUTES_DAY, minutes), TRUTH_TIMES, replace=False))
    names = ("co2_mean", "co2_max", "o2_min", "ph")
    with path.open("w") as file:
        file.write("time,co2_mg_l,co2_max_mg_l,o2_min_mg_l,ph\n")
        for i in picked:
            values = ",".join(f"{trial.truth[name][i]:.3f}" for name in names)
            file.write(f"{START + timedelta(minutes=int(i) + 1):{TIME}},{values}\n")


def main() -> None:
    """The command."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seeds", default="0-39", help="a seed, or a range such as 0-39")
    parser.add_argument("--out", type=Path, required=True, help="folder for the tanks' folders")
    parser.add_argument("--days", type=int, default=14)
    parser.add_argument("--no-probe-every", type=int, default=3, help="0: every tank has a probe")
    wanted = parser.parse_args()
    first, _, last = wanted.seeds.partition("-")
    for number, seed in enumerate(range(int(first), int(last or first) + 1)):
        probe = not (wanted.no_probe_every and number % wanted.no_probe_every == 2)
        folder = wanted.out / f"tank-{seed:04d}{'' if probe else '-no-probe'}"
        write_trial(simulate(seed, wanted.days, probe), folder)
        print(folder)


if __name__ == "__main__":
    main()
