"""Readings: what the keeper's instruments show of a play, ready to be written down."""

from collections.abc import Callable
from dataclasses import replace
from typing import NamedTuple

import numpy as np

from . import instruments, nature
from .diary import MINUTES_DAY, number
from .play import KIT_END_PH, Play
from .weather import co2_equilibrium_mg_l

OUTDOOR_PPM = 430.0  # of a street in the present, with its traffic
OUTDOOR_SPREAD_PPM = 15.0


class Reading(NamedTuple):
    """A value, its unit and its note as the diary has them."""

    value: str
    unit: str = ""
    note: str = ""


def take(play: Play, kind: str, how: str = "") -> str:
    """Take a reading, write it down, and give its value as written.

    Whose electrode shows nothing that can be a pH reaches for the hand test. `how` is "double"
    for a KH test on twice the sample. Raises ValueError for a kind that nothing in the house can
    read.
    """
    if kind not in READERS:
        raise ValueError(f"no instrument reads {kind!r}; there are {', '.join(READERS)}")
    if kind == "ph_probe" and play.has_probe and not _alive(play):
        return take(play, "ph")
    reader = _kh_double if (kind, how) == ("kh", "double") else READERS[kind]
    reading = reader(play, play.luck(kind))
    play.write(kind, *reading)
    return reading.value


def _alive(play: Play) -> bool:
    """Whether the electrode shows what can be a pH."""
    return play.now == 0 or 3.0 <= float(play.probe_log(play.now - 1)[0]) <= 11.0


def _ph_probe(play: Play, rng: np.random.Generator) -> Reading:
    """What the logging electrode shows this minute."""
    if not play.has_probe:
        raise ValueError("this keeper has no electrode")
    if play.now == 0:
        return Reading(number(_electrode(play, float(play.state[nature.PH_OPEN]), rng), 2))
    return Reading(number(float(play.probe_log(play.now - 1)[0]), 2))


def _electrode(play: Play, ph: float, rng: np.random.Generator) -> float:
    days = np.array([play.now / MINUTES_DAY])
    noise = np.array([rng.normal(0.0, play.kit.probe_noise)])
    return float(instruments.probe(play.kit, np.array([ph]), days, noise)[0])


def _ph(play: Play, rng: np.random.Generator) -> Reading:
    return Reading(number(instruments.hand_ph(play.kit, float(play.state[nature.PH_OPEN]), rng), 1))


def _drop_checker(play: Play, rng: np.random.Generator) -> Reading:
    warmth = float(play.course.temperature_c[play.minute()])
    checker = instruments.DropChecker(play.kit)
    return Reading(checker.colour(float(play.state[nature.CHECKER]), warmth, rng))


def _fish(play: Play, rng: np.random.Generator) -> Reading:
    i = play.minute()
    co2, o2 = float(play.track.co2_max[i]), float(play.track.o2_min[i])
    if play.now == 0:
        co2, o2 = 0.0, play.mean(nature.O2_OPEN)
    chance = instruments.distress(play.kit, co2, play.world.co2_limit_mg_l, o2)
    return Reading("gasping" if rng.random() < chance else "normal")


def _bubble_count(play: Play, rng: np.random.Generator) -> Reading:
    count = instruments.bubble_count(play.kit, float(play.state[nature.BUBBLING]), rng)
    return Reading(number(count, 1), f"per s over {instruments.COUNT_SECONDS} s")


def _temperature(play: Play, rng: np.random.Generator) -> Reading:
    truth = float(play.course.temperature_c[play.minute()])
    return Reading(number(instruments.temperature(play.kit, truth, rng), 1), "C")


def _kh(play: Play, rng: np.random.Generator) -> Reading:
    """Titrated down to pH 4.5, with all of the organic anion that gives way until then."""
    value = instruments.kh_dkh(play.kit, _titrated(play), rng)
    note = f"rounded up to whole {play.kit.kh_drop_dkh} dKH drops"
    return Reading(number(value, 1), "dKH", note)


def _kh_double(play: Play, rng: np.random.Generator) -> Reading:
    """The same on twice the sample: each drop is worth half as much."""
    kit = replace(play.kit, kh_drop_dkh=0.5 * play.kit.kh_drop_dkh)
    value = instruments.kh_dkh(kit, _titrated(play), rng)
    note = f"double sample, rounded up to whole {kit.kh_drop_dkh} dKH drops"
    return Reading(number(value, 2), "dKH", note)


def _titrated(play: Play) -> float:
    """What the kit's drops meet [meq/L]."""
    i, c, pka = play.minute(), play.course, play.world.organic_pka
    left = float(c.organic_meq_l[i]) * nature.anion_share(KIT_END_PH, pka)
    return float(c.alkalinity_meq_l[i]) - left


def _cylinder_mass(play: Play, rng: np.random.Generator) -> Reading:
    """Cylinder with regulator; a leak takes its part once the cylinder was opened."""
    truth = play.world.cylinder_g - float(play.state[nature.USED_G]) - play.leaked_g()
    note = "" if play.gas is not None else "with regulator off"
    return Reading(number(instruments.weight(play.kit, truth, rng), 0), "g", note)


def _degassed_ph(play: Play, rng: np.random.Generator) -> Reading:
    """The glass after its day: the air it stood in, at the warmth it is read at."""
    glass = play.glass
    if glass is None:
        raise ValueError("no glass was drawn for the degassed sample")
    i = play.minute()
    room = float(np.mean(play.weather.room_ppm[max(i - 180, 0) : i + 1]))
    if glass.outdoors:
        room = OUTDOOR_PPM + float(rng.normal(0.0, OUTDOOR_SPREAD_PPM))
    warmth = float(play.course.temperature_c[i]) + play.world.room_cooler_c + rng.normal(0.0, 0.5)
    air = float(co2_equilibrium_mg_l(room, np.array([warmth]))[0])
    ph, _ = play.settled(air, glass.alkalinity_meq_l, glass.organic_meq_l, warmth)
    if play.has_probe:
        value, by = number(_electrode(play, ph, rng), 2), "same probe"
    else:
        value, by = number(instruments.hand_ph(play.kit, ph, rng), 1), "hand test"
    play.glass = None
    where = "outdoors" if glass.outdoors else "indoor air"
    felt = instruments.temperature(play.kit, warmth, rng)
    return Reading(
        value, "", f"{by}, {where}, at {felt:.1f} C, glass drawn {glass.drawn:%Y-%m-%d %H:%M}"
    )


READERS: dict[str, Callable[[Play, np.random.Generator], Reading]] = {
    "ph_probe": _ph_probe,
    "ph": _ph,
    "drop_checker": _drop_checker,
    "fish": _fish,
    "bubble_count": _bubble_count,
    "temperature": _temperature,
    "kh": _kh,
    "cylinder_mass": _cylinder_mass,
    "degassed_ph": _degassed_ph,
}
