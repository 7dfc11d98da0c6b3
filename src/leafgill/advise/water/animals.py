"""What the animals feel of a water change: jumps of warmth and hardness, and free ammonia."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from leafgill.advise.drawn import figure, given, range_of
from leafgill.advise.figure import Figure, Input
from leafgill.advise.water.make_up import MakeUp, WaterDraws
from leafgill.science.ammonia import (
    EMERSON,
    LASTING_NH3_MG_L,
    LASTING_SOURCE,
    SHRIMP_NH3_MG_L,
    SHRIMP_SOURCE,
    nh3_mg_l,
)
from leafgill.science.cited import Mark, Source
from leafgill.science.compiled import FloatArray

PRACTICE = str(Source("", Mark.PRACTICE))
# What most animals of a planted tank take at once without harm; common practice, no source.
MOST_WARMTH_C = 2.0
MOST_KH_DKH = 2.0
MOST_GH_DGH = 3.0
# The groups of `tank.animals` that take less poison than fish.
INVERTEBRATES = frozenset({"shrimp", "crayfish", "snails", "mussels"})


@dataclass(frozen=True, slots=True)
class Strain:
    """One jump, against what the animals take at once.

    `jump` is its size at the stated part, `limit` what it is held to, `passed` whether nine
    draws in ten are within; `most_part` is the part of the water that would stay within it (1
    where all of it may be changed, None where no part does).
    """

    name: str
    jump: Figure
    limit: float
    unit: str
    basis: str
    passed: bool
    most_part: float | None
    words: str


def ammonia_limit(kinds: Iterable[str]) -> tuple[float, str]:
    """Return the NH3 [mg/L] that a tank's groups of animals stand for good, and who says so."""
    if INVERTEBRATES.intersection(kinds):
        return float(SHRIMP_NH3_MG_L.value), str(SHRIMP_SOURCE)
    return float(LASTING_NH3_MG_L.value), str(LASTING_SOURCE)


def strains_of(
    before: WaterDraws, after: WaterDraws, part: float, new: MakeUp, kinds: Iterable[str] = ()
) -> tuple[Strain, ...]:
    """Return what a change means to the animals; free ammonia only where ammonia was tested.

    `before` and `after` are draws of the tank's water, `after` with a `part` of `new` in it.
    """
    found = [
        _jump("warmth", "Jump of warmth", after.temperature_c - before.temperature_c, "°C",
              MOST_WARMTH_C, part, new, "temperature_c",
              "make the new water as warm as the tank's, by a thermometer in both"),
        _jump("kh", "Jump of KH", after.kh_dkh - before.kh_dkh, "dKH", MOST_KH_DKH, part, new,
              "kh_dkh", "change less at a time, some days apart"),
        _jump("gh", "Jump of GH", after.gh_dgh - before.gh_dgh, "dGH", MOST_GH_DGH, part, new,
              "gh_dgh", "change less at a time, some days apart; shrimp and snails mind most"),
    ]  # fmt: skip
    if "ammonia" in after.levels:
        found.append(_ammonia(before, after, *ammonia_limit(kinds)))
    return tuple(found)


def _jump(
    name: str,
    label: str,
    jump: FloatArray,
    unit: str,
    limit: float,
    part: float,
    new: MakeUp,
    what: str,
    words: str,
) -> Strain:
    size = np.abs(jump)
    reach = float(range_of(size).high)
    return Strain(
        name=name,
        jump=figure(
            f"jump_{name}", label, size, unit, "size of after - before",
            (Input("part changed", part, "", "given"),
             given("new water", getattr(new, what), unit, new.origin(what))),
            "balance of mass" if name != "warmth" else "balance of heat",
        ),
        limit=limit,
        unit=unit,
        basis=PRACTICE,
        passed=reach <= limit,
        # a jump grows as the part does
        most_part=min(part * limit / reach, 1.0) if reach > 0.0 else 1.0,
        words=words,
    )  # fmt: skip


def free_ammonia_mg_l(water: WaterDraws) -> FloatArray:
    """Return free ammonia [mg/L as NH3], [m], of tested ammonia as most kits read it (as NH4)."""
    return np.asarray(nh3_mg_l(water.levels["ammonia"], water.ph, water.temperature_c))


def _ammonia(before: WaterDraws, after: WaterDraws, limit: float, basis: str) -> Strain:
    free, was = free_ammonia_mg_l(after), range_of(free_ammonia_mg_l(before))
    reach = float(range_of(free).high)
    rises = float(range_of(free).value) > float(was.value)
    words = (
        "it rises although there is less ammonia in the water: less CO2 means a higher pH, and "
        "that sets ammonia free; use new water of less KH or change less at a time"
        if rises
        else "find where the ammonia comes from, and feed nothing until it is gone"
    )
    return Strain(
        name="ammonia",
        jump=figure(
            "free_ammonia_mg_l", "Free ammonia after it", free, "mg/L",
            "tested ammonia × un-ionised share at the pH and warmth after",
            (given("ammonia after", range_of(after.levels["ammonia"]), "mg/L", "test"),
             given("pH after", range_of(after.ph), "", "mixed"),
             given("free ammonia before", was, "mg/L", "test")),
            str(EMERSON),
        ),
        limit=limit,
        unit="mg/L",
        basis=basis,
        passed=reach <= limit,
        most_part=None,
        words=words,
    )  # fmt: skip
