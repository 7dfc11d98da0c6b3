"""The waters a keeper has: from the tap, pure, and the two together as they go into the tank."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import replace

from leafgill.advise.drawn import exactly
from leafgill.advise.water.make_up import MakeUp
from leafgill.science import carbonate
from leafgill.science.cited import Mark, Range, Source
from leafgill.science.constants import DKH_MEQ_L
from leafgill.tank.spec import Tank

CHOICE = str(Source("", Mark.CHOICE))
# What a test kit for hardness and one read by colour are off by, nine times in ten, as a part of
# what they show; the second also by a least amount [mg/L] (choices of ours).
HARDNESS_PART = 0.10
COLOUR_PART = 0.25
_LEAST_OFF = {
    "nitrate": 2.0,
    "nitrite": 0.05,
    "ammonia": 0.1,
    "phosphate": 0.1,
    "potassium": 1.0,
    "calcium": 4.0,
    "magnesium": 1.0,
    "iron": 0.02,
    "copper": 0.02,
}
# What the tank file may say of the tap.
_IN_TAP = ("nitrate", "phosphate", "potassium", "calcium", "magnesium", "iron")
# Tap water where nothing is said, mg/L (a choice of ours: within what drinking water may hold).
_GUESSED = {
    "nitrate": Range(10.0, 1.0, 40.0),
    "nitrite": Range(0.01, 0.0, 0.1),
    "ammonia": Range(0.02, 0.0, 0.2),
    "phosphate": Range(0.3, 0.02, 2.0),
    "potassium": Range(2.5, 0.5, 8.0),
    "iron": Range(0.02, 0.0, 0.15),
    "copper": Range(0.02, 0.0, 0.2),
}
# Where the tank file does not say: as the tank's own within this factor, and CO2 of tap water as
# the belief has it before any diary (median 6 mg/L, nine in ten from 1.6 to 22).
_UNKNOWN_KH = 1.3
_UNKNOWN_GH = 1.5
TAP_CO2 = Range(6.0, 1.6, 22.0)
_USUAL_KH_DKH, _USUAL_GH_DGH = 4.0, 6.0
# CO2 passes the membrane that holds the salts back, and leaves standing water only slowly.
PURE_CO2 = Range(2.0, 0.6, 10.0)
# A membrane lets a few parts in a hundred through; a resin next to nothing.
_PASSES = Range(0.02, 0.0, 0.05)
# New water is made as warm as the tank's to about this [°C].
_WARMTH_OFF = 1.0


def tap_of(tank: Tank, temperature_c: float | None = None) -> MakeUp:
    """Return the tap water of a tank file; what it does not say is taken wide, and marked so.

    `temperature_c` is how warm the new water is; without it the tank's warmth, within a degree.
    """
    tap = tank.tap
    kh, gh = tank.water.kh_dkh or _USUAL_KH_DKH, tank.water.gh_dgh or _USUAL_GH_DGH
    origins = {}
    if tap.kh_dkh is None:
        kh_range, origins["kh_dkh"] = _around(kh, _UNKNOWN_KH), "assumed about the tank's own"
    else:
        kh_range, origins["kh_dkh"] = _off(tap.kh_dkh, HARDNESS_PART), "tank file"
    if tap.gh_dgh is None:
        gh_range, origins["gh_dgh"] = _around(gh, _UNKNOWN_GH), "assumed about the tank's own"
    else:
        gh_range, origins["gh_dgh"] = _off(tap.gh_dgh, HARDNESS_PART), "tank file"
    co2, origins["co2_mg_l"] = _co2(tank, float(kh_range.value), float(gh_range.value))
    levels = {}
    for name in _IN_TAP:
        value = getattr(tap, f"{name}_mg_l")
        if value is not None:
            levels[name], origins[name] = kit_range(value, least_off(name)), "tank file"
    warm, origins["temperature_c"] = _warmth(tank, temperature_c)
    return MakeUp("tap water", kh_range, gh_range, co2, warm, levels, origins)


def with_guesses(water: MakeUp, names: Iterable[str]) -> MakeUp:
    """Return a water in which the named levels are at least guessed, as tap waters have them."""
    levels, origins = dict(water.levels), dict(water.origins)
    for name in names:
        if name not in levels and name in _GUESSED:
            levels[name], origins[name] = _GUESSED[name], "assumed; what tap water holds"
    return replace(water, levels=levels, origins=origins)


def pure_water(like: MakeUp) -> MakeUp:
    """Return water with next to nothing in it, made of tap water or bought; as warm as `like`."""

    def passed(known: Range) -> Range:
        return Range(*(float(part) * float(known.value) for part in _PASSES))

    names = ("kh_dkh", "gh_dgh", "co2_mg_l", *like.levels)
    return MakeUp(
        "pure water",
        passed(like.kh_dkh),
        passed(like.gh_dgh),
        PURE_CO2,
        like.temperature_c,
        {name: passed(known) for name, known in like.levels.items()},
        dict.fromkeys(names, CHOICE) | {"temperature_c": like.origin("temperature_c")},
    )


def stated(
    water: MakeUp,
    *,
    kh_dkh: float | None = None,
    gh_dgh: float | None = None,
    co2_mg_l: float | None = None,
    levels: Mapping[str, float] | None = None,
    origin: str = "given",
) -> MakeUp:
    """Return a water with some of its figures as they are stated, with their kits' errors."""
    origins = dict(water.origins)
    changed: dict[str, Range] = {}
    for what, value in (("kh_dkh", kh_dkh), ("gh_dgh", gh_dgh), ("co2_mg_l", co2_mg_l)):
        if value is not None:
            changed[what], origins[what] = _off(value, HARDNESS_PART), origin
    given = dict(water.levels)
    for name, value in (levels or {}).items():
        given[name], origins[name] = kit_range(value, least_off(name)), origin
    return replace(water, levels=given, origins=origins, **changed)  # type: ignore[arg-type]


def least_off(name: str) -> float:
    """Return the least a test of a substance is off by [mg/L], however little it shows."""
    return _LEAST_OFF.get(name, 0.0)


def kit_range(value: float, least_off: float) -> Range:
    """Return what a test read by its colour stands for [mg/L]."""
    off = max(COLOUR_PART * value, least_off)
    return Range(value, max(value - off, 0.0), value + off)


def _off(value: float, part: float) -> Range:
    return Range(value, (1.0 - part) * value, (1.0 + part) * value)


def _around(value: float, factor: float) -> Range:
    return Range(value, value / factor, value * factor)


def _warmth(tank: Tank, temperature_c: float | None) -> tuple[Range, str]:
    if temperature_c is not None:
        return exactly(temperature_c), "given"
    warm = tank.temperature_c
    return Range(warm, warm - _WARMTH_OFF, warm + _WARMTH_OFF), "assumed as warm as the tank"


def _co2(tank: Tank, kh_dkh: float, gh_dgh: float) -> tuple[Range, str]:
    """Return CO2 of the tap water: stated, or from its pH and KH, or as the belief begins with."""
    tap = tank.tap
    if tap.co2_mg_l is not None:
        return _around(tap.co2_mg_l, 1.2) if tap.co2_mg_l else exactly(0.1), "tank file"
    if tap.ph is None or tap.kh_dkh is None or kh_dkh <= 0.0:
        return TAP_CO2, "assumed; what tap water holds"
    found = [
        float(
            carbonate.co2_mg_l(tap.ph + off, kh_dkh * DKH_MEQ_L, tank.temperature_c, gh_dgh=gh_dgh)
        )
        for off in (0.0, 0.15, -0.15)
    ]
    if not all(math.isfinite(value) and value > 0.0 for value in found):
        return TAP_CO2, "assumed; what tap water holds"
    return Range(*found), "from the tap water's pH and KH in the tank file"
