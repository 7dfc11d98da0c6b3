"""Minerals for soft water: grams of each salt that bring it to a KH and a GH."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from scipy.optimize import lsq_linear

from leafgill.errors import InputError
from leafgill.science.compiled import FloatArray
from leafgill.science.salts import Salt, gh_dgh, kh_dkh

# What is taken where the keeper names no salts: all dissolve at once and are easily had.
USUAL = ("CaCl2.2H2O", "MgSO4.7H2O", "KHCO3")
# Calcium to magnesium by weight where the keeper does not say; common practice, no source.
USUAL_CA_TO_MG = 3.0
# What raises one without the other, and is no fertiliser.
_ALONE = {"KH": ("KHCO3", "NaHCO3"), "GH": ("CaCl2.2H2O", "CaSO4.2H2O", "MgSO4.7H2O")}
# The wishes are met to this, in degrees; a miss is no rounding.
_MET = 0.02
# How much more a wish weighs than an even spread over the salts.
_WISH = 1e4


@dataclass(frozen=True, slots=True)
class Wish:
    """What the water is to have: KH [dKH] and GH [dGH], and calcium to magnesium by weight.

    `ca_to_mg` is None where it does not matter.
    """

    kh_dkh: float
    gh_dgh: float
    ca_to_mg: float | None = USUAL_CA_TO_MG


def grams_per_l(wish: Wish, base_kh: float, base_gh: float, salts: Sequence[Salt]) -> FloatArray:
    """Return grams of each salt a litre that bring water of `base_kh`, `base_gh` to the wish.

    Where several combinations do, the salts of one kind share the work evenly. Calcium to
    magnesium is that of what is added. Raises InputError naming what these salts cannot give.
    """
    if not salts:
        raise InputError("no salts are named to take the minerals from")
    rows, wanted = _rows(wish, base_kh, base_gh, salts)
    scale = _scale(salts)
    # in equal parts of a degree rather than of a gram: urea and gypsum weigh alike then
    system = np.vstack([_WISH * rows * scale, np.eye(len(salts))])
    target = np.concatenate([_WISH * wanted, np.zeros(len(salts))])
    solved = lsq_linear(system, target, bounds=(0.0, np.inf), tol=1e-14, max_iter=500)
    grams: FloatArray = solved.x * scale
    grams[grams < 1e-7] = 0.0
    if not _met(wish, base_kh, base_gh, salts, grams):
        if wish.ca_to_mg is not None:
            # what cannot be met without the ratio either is told by this
            grams_per_l(replace(wish, ca_to_mg=None), base_kh, base_gh, salts)
            raise InputError(
                f"with these salts calcium to magnesium of {wish.ca_to_mg:g} cannot be met beside "
                "the KH and GH; leave the ratio open or name another salt"
            )
        _refuse(wish, base_kh, base_gh, salts, grams)
    return grams


def _rows(
    wish: Wish, base_kh: float, base_gh: float, salts: Sequence[Salt]
) -> tuple[FloatArray, FloatArray]:
    """Return what a gram a litre of each salt gives, row by row, and how much is wanted."""
    rows = [[kh_dkh(salt, 1.0) for salt in salts], [gh_dgh(salt, 1.0) for salt in salts]]
    wanted = [wish.kh_dkh - base_kh, wish.gh_dgh - base_gh]
    calcium = np.array([salt.gives.get("calcium", 0.0) for salt in salts])
    magnesium = np.array([salt.gives.get("magnesium", 0.0) for salt in salts])
    if wish.ca_to_mg is not None and calcium.any() and magnesium.any():
        # per gram these are about as large as degrees are
        rows.append(list(10.0 * (calcium - wish.ca_to_mg * magnesium)))
        wanted.append(0.0)
    return np.array(rows, dtype=np.float64), np.array(wanted, dtype=np.float64)


def _scale(salts: Sequence[Salt]) -> FloatArray:
    """Return grams a litre of each salt that give one degree of whatever it gives most of."""
    most = np.array([max(kh_dkh(salt, 1.0), gh_dgh(salt, 1.0)) for salt in salts])
    if not most.all():
        useless = salts[int(np.argmin(most))]
        raise InputError(f"{useless.name} gives neither KH nor GH")
    scale: FloatArray = 1.0 / most
    return scale


def _made(
    base_kh: float, base_gh: float, salts: Sequence[Salt], grams: FloatArray
) -> tuple[float, float]:
    """Return the KH and GH that grams a litre make."""
    pairs = list(zip(salts, grams, strict=True))
    return (
        base_kh + sum(float(kh_dkh(salt, g)) for salt, g in pairs),
        base_gh + sum(float(gh_dgh(salt, g)) for salt, g in pairs),
    )


def _met(
    wish: Wish, base_kh: float, base_gh: float, salts: Sequence[Salt], grams: FloatArray
) -> bool:
    kh, gh = _made(base_kh, base_gh, salts, grams)
    if max(abs(kh - wish.kh_dkh), abs(gh - wish.gh_dgh)) > _MET:
        return False
    if wish.ca_to_mg is None:
        return True
    calcium, magnesium = (
        sum(salt.gives.get(name, 0.0) * g for salt, g in zip(salts, grams, strict=True))
        for name in ("calcium", "magnesium")
    )
    both = all(any(name in salt.gives for salt in salts) for name in ("calcium", "magnesium"))
    return not both or bool(abs(calcium - wish.ca_to_mg * magnesium) <= 0.01 * max(calcium, 1e-6))


def _refuse(
    wish: Wish, base_kh: float, base_gh: float, salts: Sequence[Salt], grams: FloatArray
) -> None:
    """Say which of KH and GH these salts miss, and what would give it."""
    kh, gh = _made(base_kh, base_gh, salts, grams)
    named = ", ".join(salt.key for salt in salts)
    for what, wanted, found, base in (
        ("KH", wish.kh_dkh, kh, base_kh),
        ("GH", wish.gh_dgh, gh, base_gh),
    ):
        if abs(found - wanted) <= _MET:
            continue
        if wanted < base - _MET:
            raise InputError(
                f"{what} {wanted:g} is below the {base:.3g} of the water it starts from; minerals "
                "only raise it: begin with softer water"
            )
        raise InputError(
            f"with {named} a {what} of {wanted:g} cannot be met beside "
            f"{'GH' if what == 'KH' else 'KH'} {wish.gh_dgh if what == 'KH' else wish.kh_dkh:g}; "
            f"{_advice(what, salts)}"
        )


def _advice(what: str, salts: Sequence[Salt]) -> str:
    spare = [key for key in _ALONE[what] if key not in {salt.key for salt in salts}]
    return f"{', '.join(spare)} would raise {what} alone" if spare else "name another salt"
