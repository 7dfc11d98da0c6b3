"""The light at the plants: measured, or worked out from the lamp with an honest interval."""

from __future__ import annotations

import numpy as np

from leafgill.advise.balance.result import LightNow
from leafgill.advise.drawn import drawn, figure, given
from leafgill.advise.figure import Input
from leafgill.estimate.belief import Belief
from leafgill.science.cited import Range
from leafgill.science.compiled import FloatArray
from leafgill.science.light import daily_light_integral_mol_m2
from leafgill.science.light_lamp import WATER_SOURCE, ppfd_under_lamp
from leafgill.science.light_response import SUBMERGED_IK
from leafgill.tank.schedule import Window, window_in_force
from leafgill.tank.spec import Tank

# A quantum sensor under water, and that a tank is not lit evenly (a choice of ours).
_MEASURED_WIDTH = 1.25
# Light of planted tanks where nothing is said (common practice, no source).
USUAL_PPFD = Range(45.0, 15.0, 120.0)
# Plants stand between floor and surface: their middle is so far down the water.
_DEPTH_PART = 0.6


def ppfd_of(tank: Tank) -> tuple[Range, bool | None]:
    """Return the PPFD at the plants [µmol/m²/s], and whether it was measured.

    False where it was worked out from the lamp, None where it is only what is usual.
    """
    told = tank.plants.light_ppfd
    if told is not None:
        return Range(told, told / _MEASURED_WIDTH, told * _MEASURED_WIDTH), True
    lamp = tank.lamp
    sides = (tank.length_cm, tank.width_cm, tank.depth_cm)
    if lamp.power_w is None or any(side is None for side in sides):
        return USUAL_PPFD, None
    length, width, depth = (float(side) for side in sides if side is not None)
    dimmed = 1.0 if lamp.dimmed_percent is None else 1e-2 * lamp.dimmed_percent
    return ppfd_under_lamp(
        lamp.power_w * dimmed,
        length,
        width,
        _DEPTH_PART * depth,
        height_cm=lamp.height_cm,
        efficacy_umol_j=lamp.efficacy_umol_j,
        lamp=lamp.kind or "led",
        beam_deg=lamp.beam_deg,
        lamp_cm=lamp.length_cm,
    ), False


def light_draws(tank: Tank, count: int) -> tuple[FloatArray, FloatArray]:
    """Return draws [m] of the PPFD at the plants and of the plants' Ik, both [µmol/m²/s]."""
    ppfd, _ = ppfd_of(tank)
    return drawn(ppfd, count, "ppfd"), drawn(SUBMERGED_IK, count, "light saturation")


def hours_of_light(belief: Belief) -> Window | None:
    """Return the hours of light in force now, None where none are known."""
    return window_in_force(belief.problem.evidence.timeline.light, belief.now)


def light_now(tank: Tank, belief: Belief) -> LightNow:
    """Return the light of a tank."""
    ppfd, measured = ppfd_of(tank)
    window = hours_of_light(belief)
    hours = None if window is None or window.never else window.hours
    if measured is None:
        return LightNow(None, None, None, hours)
    inputs, formula, source = _grounds(tank, measured)
    at_plants = figure(
        "light_umol_m2_s", "light at the plants", ppfd, "µmol/m²/s", formula, inputs, source
    )
    daily = None
    if hours is not None:
        day = Range(*(float(daily_light_integral_mol_m2(part, hours)) for part in ppfd))
        daily = figure(
            "light_mol_m2_day", "light of a day", day, "mol/m²",
            "PPFD · hours · 0.0036",
            (given("PPFD", ppfd, "µmol/m²/s", "above"),
             Input("hours of light", hours, "h", "diary or tank file")),
            "definition of the daily light integral",
        )  # fmt: skip
    return LightNow(at_plants, daily, measured, hours)


def _grounds(tank: Tank, measured: bool) -> tuple[tuple[Input, ...], str, str]:
    if measured:
        told = Input("PPFD", float(tank.plants.light_ppfd or np.nan), "µmol/m²/s", "tank file")
        return (told,), "as measured, within a quarter", "a choice of ours, no source"
    lamp = tank.lamp
    known = (
        ("power", lamp.power_w, "W"),
        ("efficacy", lamp.efficacy_umol_j, "µmol/J"),
        ("height above the water", lamp.height_cm, "cm"),
        ("beam", lamp.beam_deg, "°"),
        ("length that shines", lamp.length_cm, "cm"),
        ("turned up to", lamp.dimmed_percent, "%"),
        ("water above the floor", tank.depth_cm, "cm"),
    )
    inputs = tuple(
        Input(name, float(value), unit, "tank file") for name, value, unit in known if value
    )
    return (
        inputs,
        "power · efficacy · part that enters the water / floor, less walls and water",
        str(WATER_SOURCE),
    )
