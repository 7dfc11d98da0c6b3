"""The pressure hold: what two readings of a gauge over some hours say of gas that got away.

A closed space of known volume holds gas; its pressure and temperature tell how much. Three spaces
can be closed: the hose with counter and the regulator's low side (needle valve open, the hose's end
shut), the low side alone (needle valve shut), and the high side between cylinder valve and
regulator. With the cylinder valve open and liquid in the cylinder a hold tells nothing: the liquid
makes up for every loss.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from leafgill.advise.drawn import drawn, range_of
from leafgill.advise.figure import Figure
from leafgill.advise.leak_figures import hold_figures
from leafgill.advise.leak_space import (
    GAS_SD_C,
    HIGH,
    HOSE,
    LOW,
    TIGHT_G_DAY,
    Hold,
    Reading,
    hose_of,
)
from leafgill.science.carbonate_readings import HALF_90
from leafgill.science.cited import Range
from leafgill.science.co2_fluid import (
    STANDARD_BAR,
    saturation_pressure_bar,
    thin_gas_density_kg_m3,
    vapour_density_kg_m3,
)
from leafgill.science.co2_state import density_kg_m3
from leafgill.science.compiled import FloatArray
from leafgill.science.hose import permeation_g_per_day
from leafgill.tank.spec import Rig

# How sure a verdict has to be.
SURE = 0.95
# What a longer hold is planned for, so that it is settled then and not nearly.
_PLANNED = 0.96
# Longer than this nobody waits [h]: then soapy water and the scale say more.
LONGEST_H = 96.0
# Steps a gauge is read to where none is said [bar].
USUAL_STEP_BAR = {HOSE: 0.1, LOW: 0.1, HIGH: 2.0}
# Errors of a reading beside its step: of the weather over half a day [bar], of a needle that
# sticks, in parts of a step (choices of ours).
_WEATHER_SD_BAR = 0.004
_STICK_SD = 0.25
# Below saturation by less than this, droplets may sit in the regulator and feed the gauge [bar].
_NEAR_LIQUID_BAR = 3.0
_DRAWS = 1200
_PATH = 60


@dataclass(frozen=True)
class LeakTest:
    """What a hold says.

    All at the pressure of the first reading: `lost_g_day` is what leaves the closed space,
    `walls_g_day` what the hose's wall lets through, None where no hose was shut in or its material
    is not known, `leak_g_day` what is left for leaks. `chance` that this exceeds TIGHT_G_DAY.
    `wait_h` is the hour, from the first reading, at which a hold like this would settle it; None
    where it is settled or never would be.
    """

    hold: Hold
    lost_g_day: Range
    walls_g_day: Range | None
    leak_g_day: Range
    verdict: str
    chance: float
    wait_h: float | None
    notes: tuple[str, ...]
    figures: tuple[Figure, ...]

    @property
    def reading_sd_bar(self) -> float:
        """Error of one reading of the gauge, its step and its sticking [bar]."""
        return reading_sd_bar(self.hold.step_bar)


def leak_test(hold: Hold, rig: Rig) -> LeakTest:
    """Return what a pressure hold says of a rig.

    The figures are draws of the errors of gauge, temperature, volume and, where a hose is shut
    in, its wall. The same hold gives the same answer.
    """
    volume = drawn(hold.volume_ml, _DRAWS, "closed volume") * 1e-3
    before, after = _densities(hold)
    fallen = (before - after) * _at_the_start(hold) * 24.0 / hold.hours
    lost, walls = volume * fallen, _walls(hold, rig)
    wall = np.zeros(_DRAWS) if walls is None else walls
    leak = lost - wall
    chance = float(np.mean(leak > TIGHT_G_DAY))
    fed = walls is not None and float(np.mean(lost < walls)) >= SURE
    wet = hold.side == HIGH and _near_liquid(hold.first)
    empty = _run_out(hold)
    verdict = "cannot tell"
    if chance >= SURE:
        verdict = "leaks"
    elif chance <= 1.0 - SURE and not wet and not fed:
        verdict = "tight"
    settles = verdict != "cannot tell" or wet or fed or empty
    wait = None if settles else _wait(hold, fallen, volume, wall)
    notes = _notes(hold, rig, wet=wet, fed=fed, run_out=empty)
    if not settles and wait is None:
        notes = (*notes, _NEVER)
    return LeakTest(
        hold=hold,
        lost_g_day=range_of(lost),
        walls_g_day=None if walls is None else range_of(walls),
        leak_g_day=range_of(leak),
        verdict=verdict,
        chance=chance,
        wait_h=wait,
        notes=notes,
        figures=hold_figures(hold, rig, lost, walls, leak, chance),
    )


def reading_sd_bar(step_bar: float) -> float:
    """Return the error of one reading of a gauge [bar]: half a step or so, and a needle's stick."""
    return math.hypot(1.0 / math.sqrt(12.0), _STICK_SD) * step_bar


def _densities(hold: Hold) -> tuple[FloatArray, FloatArray]:
    """Return draws of the gas's density at both readings [g/L], errors included."""
    weather = _WEATHER_SD_BAR * math.sqrt(max(hold.hours, 0.1) / 12.0)
    moved = drawn(Range(0.0, -HALF_90 * weather, HALF_90 * weather), _DRAWS, "weather")
    found = []
    for name, reading, shift in (("first", hold.first, 0.0), ("second", hold.second, moved)):
        step = reading_sd_bar(hold.step_bar)
        off = drawn(Range(0.0, -HALF_90 * step, HALF_90 * step), _DRAWS, f"{name} gauge")
        warmth = HALF_90 * GAS_SD_C
        t = reading.temperature_c + drawn(Range(0.0, -warmth, warmth), _DRAWS, f"{name} warmth")
        p = np.maximum(reading.gauge_bar + off + shift, 0.0) + STANDARD_BAR
        found.append(_density(p, t, thin=hold.side != HIGH))
    return found[0], found[1]


def density_at(reading: Reading, *, thin: bool) -> float:
    """Return the density of the gas at a reading taken as exact [g/L]."""
    p, t = np.array([reading.gauge_bar + STANDARD_BAR]), np.array([reading.temperature_c])
    return float(_density(p, t, thin=thin)[0])


def _density(p: FloatArray, t: FloatArray, *, thin: bool) -> FloatArray:
    if thin:
        return np.asarray(thin_gas_density_kg_m3(p, t))
    full = np.asarray(saturation_pressure_bar(t))
    # at saturation or above, the vapour's: what lies there as liquid is not seen
    rho = np.asarray(density_kg_m3(np.minimum(p, full * (1.0 - 1e-6)), t))
    vapour: FloatArray = np.minimum(rho, np.asarray(vapour_density_kg_m3(t)))
    return vapour


def _near_liquid(reading: Reading) -> bool:
    full = float(saturation_pressure_bar(reading.temperature_c)) - STANDARD_BAR
    return not reading.gauge_bar < full - _NEAR_LIQUID_BAR


def _walls(hold: Hold, rig: Rig) -> FloatArray | None:
    """Return what the hose's wall lets through meanwhile [g/day], None where it is not known."""
    if hold.side != HOSE or rig.hose is None:
        return None
    length, bore, wall = hose_of(rig)
    warmth = 0.5 * (hold.first.temperature_c + hold.second.temperature_c)
    a_metre = permeation_g_per_day(rig.hose, bore, wall, 1.0, hold.first.gauge_bar, warmth)
    lost: FloatArray = drawn(a_metre, _DRAWS, "hose wall") * drawn(length, _DRAWS, "hose length")
    return lost


def _at_the_start(hold: Hold) -> float:
    """Return how much faster gas leaves at the first reading than it did on the mean, 1 or more.

    A fine gap passes gas as p² inside less p² outside (slow viscous flow, isothermal ideal gas),
    so a space that runs empty leaks less and less; in use its pressure is held up.
    """
    high, low = hold.first.gauge_bar, max(hold.second.gauge_bar, 0.5 * hold.step_bar)
    if low >= high:
        return 1.0
    # evenly spaced on the logarithm of the gauge, where the last of the gas takes longest
    gauge = np.geomspace(high, low, _PATH)
    warmth = np.full(_PATH, hold.first.temperature_c)
    rho = _density(gauge + STANDARD_BAR, warmth, thin=hold.side != HIGH)
    speed = ((gauge + STANDARD_BAR) / STANDARD_BAR) ** 2 - 1.0
    mean = 0.5 * (1.0 / speed[1:] + 1.0 / speed[:-1])
    time = float(np.sum(mean * -np.diff(rho)))
    return float(speed[0] * time / max(rho[0] - rho[-1], 1e-9)) if rho[0] > rho[-1] else 1.0


def _run_out(hold: Hold) -> bool:
    return hold.second.gauge_bar <= hold.step_bar < hold.first.gauge_bar


def _wait(hold: Hold, fallen: FloatArray, volume: FloatArray, wall: FloatArray) -> float | None:
    """Return the hour at which the same loss would settle it, None for never.

    The errors of the readings count less in a longer hold, those of volume and wall do not.
    """
    middle = float(np.median(fallen))
    for hours in range(math.floor(hold.hours) + 1, math.floor(LONGEST_H) + 1):
        later = middle + (fallen - middle) * hold.hours / hours
        chance = float(np.mean(volume * later - wall > TIGHT_G_DAY))
        if not 1.0 - _PLANNED < chance < _PLANNED:
            return float(hours)
    return None


_NEVER = (
    "a longer hold would not settle it: brush soapy water on the joints, shut in less volume, or "
    "weigh the cylinder a week apart"
)


def _notes(hold: Hold, rig: Rig, *, wet: bool, fed: bool, run_out: bool) -> tuple[str, ...]:
    notes = []
    if wet:
        notes.append(
            "the first reading is at the pressure of liquid: drops in the regulator would keep the "
            "gauge up whatever leaks. With the cylinder valve shut, let off gas through the needle "
            "valve until the gauge has fallen by ten bar, shut the needle valve and begin again"
        )
    if fed:
        notes.append(
            "less is gone than the hose's own wall lets through: the regulator still feeds it, or "
            "the hose is of another material. Turn the regulator off and begin again"
        )
    if run_out:
        notes.append(
            "the gauge has fallen to nothing: this is the least that leaks, it may have been empty "
            "long before. Read it again after minutes, not hours"
        )
    if hold.side == HOSE and rig.hose is None:
        notes.append(
            "the hose's material is not known, so that what its wall lets through is counted as a "
            "leak; write it into the tank file as hose"
        )
    if hold.side == HIGH:
        notes.append(
            "the cylinder's valve must have been shut: with it open the liquid in the cylinder "
            "makes up for every loss, and a hold tells nothing"
        )
    if hold.side == LOW:
        notes.append(
            "the regulator must have been turned off (screw out, cylinder valve shut and its high "
            "side let off), or it feeds this side from the other"
        )
    return tuple(notes)


def smallest_seen_g_day(side: str, volume_ml: Range, start_bar: float, hours: float) -> float:
    """Return the smallest loss a hold would tell from none [g/day], the gauge read as usual."""
    step = math.sqrt(2.0) * reading_sd_bar(USUAL_STEP_BAR[side])
    warmth = math.sqrt(2.0) * GAS_SD_C
    t = 20.0
    p = np.array([start_bar, start_bar - step]) + STANDARD_BAR
    rho = _density(p, np.array([t, t]), thin=side != HIGH)
    warmer = _density(p[:1], np.array([t + warmth]), thin=side != HIGH)
    grams = math.hypot(float(rho[0] - rho[1]), float(rho[0] - warmer[0])) * volume_ml.value * 1e-3
    return float(HALF_90 * grams * 24.0 / hours)
