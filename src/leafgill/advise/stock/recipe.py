"""Grams to weigh so that a dose of a bottle raises each nutrient by what is wanted."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from scipy.optimize import lsq_linear

from leafgill.advise.stock.wants import Want
from leafgill.errors import InputError
from leafgill.science.salts import SALTS
from leafgill.tank.bottle import Bottle

# A wish is met when it is off by no more than this part of it.
_MET = 0.005


def grams_a_dose(wants: Sequence[Want], volume_l: float) -> dict[str, float]:
    """Return grams of each salt in one dose, by key, so that every wish is met together.

    What one salt brings of another's nutrient counts: potassium from KNO3 is potassium. Raises
    InputError where the salts bring more of something than is wanted of it.
    """
    if not wants:
        raise InputError("nothing is wished for; a bottle needs at least one nutrient")
    named = [want.nutrient for want in wants]
    twice = {name for name in named if named.count(name) > 1}
    if twice:
        raise InputError(f"{sorted(twice)[0]} is wished for twice; wish for it once")
    keys = list(dict.fromkeys(want.salt for want in wants))
    gives = np.array([[SALTS[key].gives.get(want.nutrient, 0.0) for key in keys]
                      for want in wants])  # fmt: skip
    wanted = np.array([want.raise_mg_l for want in wants])
    # every wish counts alike, whether it is for 0.1 or 20 mg/L
    solved = lsq_linear(gives / wanted[:, None], np.ones(wanted.size), bounds=(0.0, np.inf),
                        tol=1e-14)  # fmt: skip
    mg_l = solved.x
    _refuse_missed(wants, keys, gives, mg_l)
    return {key: float(mg) * volume_l * 1e-3 for key, mg in zip(keys, mg_l, strict=True)}


def _refuse_missed(
    wants: Sequence[Want], keys: Sequence[str], gives: np.ndarray, mg_l: np.ndarray
) -> None:
    brought, wanted = gives @ mg_l, np.array([want.raise_mg_l for want in wants])
    if (np.abs(brought - wanted) <= _MET * wanted).all():
        return
    for want in wants:
        for other in wants:
            _refuse_beside(want, other)
    raise InputError(
        f"{', '.join(keys)} cannot bring {_all(wants)} together; name another salt for one of them"
    )


def _refuse_beside(want: Want, other: Want) -> None:
    """Refuse a wish that another wish's salt passes by itself."""
    if other.salt == want.salt:
        return
    share = SALTS[other.salt].gives
    beside = other.raise_mg_l * share.get(want.nutrient, 0.0) / share[other.nutrient]
    if beside > want.raise_mg_l * (1.0 + _MET):
        raise InputError(
            f"{other.salt} for {other.raise_mg_l:g} mg/L of {other.nutrient} already brings "
            f"{beside:.3g} mg/L of {want.nutrient}, more than the {want.raise_mg_l:g} wished for; "
            "wish for more of it, or take another salt"
        )


def _all(wants: Sequence[Want]) -> str:
    return ", ".join(f"{want.nutrient} {want.raise_mg_l:g}" for want in wants)


def bottle_for(
    wants: Sequence[Want], volume_l: float, bottle_ml: float, dose_ml: float, name: str = "stock"
) -> Bottle:
    """Return the bottle of which one dose brings what is wanted to a tank of `volume_l`.

    Raises InputError as `grams_a_dose`, and where the dose is more than the bottle.
    """
    if dose_ml > bottle_ml:
        raise InputError(f"a dose of {dose_ml:g} mL is more than the bottle's {bottle_ml:g} mL")
    doses = bottle_ml / dose_ml
    grams = {key: doses * one for key, one in grams_a_dose(wants, volume_l).items()}
    return Bottle(name, bottle_ml, tuple((k, g) for k, g in grams.items() if g > 0.0))
