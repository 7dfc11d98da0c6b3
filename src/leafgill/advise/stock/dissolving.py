"""Whether what is in a bottle stays dissolved on the coldest day, each salt beside the others.

Every salt that the bottle's ions could form is looked at, not only those weighed in: potassium
from one and sulfate from another crystallise as potassium sulfate. Its share of saturation is the
root of its ion product over that of its own saturated solution; that is 1 where a salt alone is
just dissolved. Activities at such strengths are left to the width.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from leafgill.advise.drawn import figure, given
from leafgill.advise.figure import Figure, Input
from leafgill.science.cited import Range
from leafgill.science.salts import SALTS, Salt, solubility_g_l, solubility_source
from leafgill.tank.bottle import Bottle

# How far the rule of concentrations is off beside other salts (a choice of ours).
_BESIDE = 1.25
# A salt this far from crystallising need not be told of where it was not weighed in.
_TELLING = 0.5
# What falls out as a mineral is told by `settling`.
_MINERALS = ("CaSO4.2H2O", "CaCO3")
DISSOLVES, MAYBE, NOT = "dissolves", "may not dissolve", "does not dissolve"


@dataclass(frozen=True, slots=True)
class Dissolving:
    """One salt's share of saturation: 1 is a solution that takes no more of it."""

    salt: str
    weighed: bool
    share: Figure
    verdict: str


def ions_mol_l(bottle: Bottle) -> dict[str, float]:
    """Return moles of each ion in a litre of a bottle; none for one known by its label."""
    moles: dict[str, float] = {}
    for key, g_l in bottle.salts_g_l().items():
        salt = SALTS[key]
        for ion, count in salt.ions.items():
            moles[ion] = moles.get(ion, 0.0) + count * g_l / salt.molar_mass_g_mol
    return moles


def dissolving(bottle: Bottle, coldest_c: float) -> tuple[Dissolving, ...]:
    """Return each salt that a bottle's ions could form, at the coldest it gets [°C].

    Those weighed in come first; of the others those that come near to crystallising.
    """
    moles = ions_mol_l(bottle)
    weighed = dict(bottle.salts_g)
    found = []
    for key, salt in SALTS.items():
        if not set(salt.ions) <= set(moles) or (key in _MINERALS and key not in weighed):
            continue
        told = _told(salt, moles, key in weighed, len(weighed) > 1, coldest_c)
        if told.weighed or (told.share.high or told.share.value) > _TELLING:
            found.append(told)
    # of the hydrates of one salt the driest dissolves best; the wettest is what crystallises
    found = [one for one in found if one.weighed or not _drier(one.salt, found)]
    return tuple(sorted(found, key=lambda one: (not one.weighed, -one.share.value)))


def _drier(key: str, found: list[Dissolving]) -> bool:
    """Return whether another of the same ions is told of, with more crystal water."""
    mine = SALTS[key]
    return any(
        other.salt != key
        and SALTS[other.salt].ions == mine.ions
        and (SALTS[other.salt].molar_mass_g_mol > mine.molar_mass_g_mol or other.weighed)
        for other in found
    )


def share_of(salt: Salt, moles: Mapping[str, float], solubility_g_l_: float) -> float:
    """Return a salt's share of saturation among ions [mol/L]; 1 is just saturated."""
    dissolved = solubility_g_l_ / salt.molar_mass_g_mol
    logs = [count * math.log(moles[ion] / (count * dissolved)) for ion, count in salt.ions.items()]
    return math.exp(sum(logs) / sum(salt.ions.values()))


def _told(
    salt: Salt, moles: Mapping[str, float], weighed: bool, beside: bool, coldest_c: float
) -> Dissolving:
    known = solubility_g_l(salt, coldest_c)
    # little dissolves where the share is high: the ends change sides
    shares = [share_of(salt, moles, float(end)) for end in (known.value, known.high, known.low)]
    width = _BESIDE if beside else 1.0
    share = Range(shares[0], shares[1] / width, shares[2] * width)
    inputs = (
        given("dissolves in a litre", known, "g", str(solubility_source(salt))),
        Input("coldest", coldest_c, "°C", "given"),
        *(Input(f"{ion} in the bottle", moles[ion], "mol/L", "weighed in") for ion in salt.ions),
    )
    told = figure(
        f"saturation_{salt.key}", f"{salt.name.capitalize()}, of what dissolves", share, "",
        "root of the ion product over that of its own saturated solution",
        inputs, f"solubility: {solubility_source(salt)}; beside other salts a choice of ours",
    )  # fmt: skip
    low, high = (told.value, told.value) if told.low is None else (told.low, told.high or 0.0)
    verdict = DISSOLVES if high <= 1.0 else NOT if low > 1.0 else MAYBE
    return Dissolving(salt.key, weighed, told, verdict)


def thinner_by(found: tuple[Dissolving, ...]) -> float:
    """Return how many times thinner a bottle must be so that all surely dissolves; 1 as it is.

    A share goes with the strength: half the grams in the same water, half the share.
    """
    return max([1.0, *((one.share.high or one.share.value) for one in found)])
