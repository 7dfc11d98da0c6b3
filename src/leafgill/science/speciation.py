"""Which ions of a mix are free, which are bound to each other, and how active they are.

A mix is a mapping from ions (the names of `salt_table.IONS`, and "Fe3") to mmol/L, numbers or
arrays that broadcast. NaN stays NaN.
"""

from collections.abc import Callable, Mapping, Sequence
from typing import Any, NamedTuple, cast

import numpy as np

from leafgill.science.carbonate_kernel import debye_hueckel_a
from leafgill.science.compiled import FloatArray, Numeric, Same, everyday
from leafgill.science.complexes import EXTRA_CHARGES, PAIRS, Complex
from leafgill.science.constants import GAS_CONSTANT_J_MOL_K, KELVIN
from leafgill.science.refuse import not_negative
from leafgill.science.salt_table import IONS

# The formula as it stands takes arrays; compiling it for them would gain nothing.
_slope: Callable[[Numeric], Same] = getattr(debye_hueckel_a, "py_func", cast(Any, debye_hueckel_a))
# Beyond this the Davies formula turns and climbs; its value here is kept.
DAVIES_END_MOL_L = 0.5
_ROUNDS = 400
_NEAR = 1e-10
_LN10 = float(np.log(10.0))


class Species(NamedTuple):
    """Amounts [mmol/L] of the free ions and of the complexes, charges, and the ionic strength."""

    mmol_l: dict[str, FloatArray]
    charges: dict[str, int]
    ionic_strength_mol_l: FloatArray
    temperature_c: FloatArray

    def log_activity(self, name: str) -> FloatArray:
        """log10 of an activity [mol/L]; -inf where there is none of it."""
        with np.errstate(divide="ignore"):
            amount = np.log10(self.mmol_l[name] * 1e-3)
        return np.asarray(amount + self.log_gamma(name))

    def log_gamma(self, name: str) -> FloatArray:
        """log10 of the activity coefficient; 0 for a species without charge."""
        charge = float(self.charges[name])
        return np.asarray(davies_log_gamma(self.ionic_strength_mol_l, charge, self.temperature_c))


def charge_of(ion: str) -> int:
    """Charge of an ion. Raises ValueError for a name that is not known."""
    if ion in EXTRA_CHARGES:
        return EXTRA_CHARGES[ion]
    if ion not in IONS:
        raise ValueError(f'an ion "{ion}"; accepted: {", ".join((*IONS, *EXTRA_CHARGES))}')
    return IONS[ion].charge


@everyday
def davies_log_gamma(
    ionic_strength_mol_l: Numeric, charge: Numeric, temperature_c: Numeric
) -> Same:
    """log10 of an ion's activity coefficient: -A·z²·(√I/(1 + √I) - 0.3·I).

    Davies 1962 (cited from memory, not checked against the book), good to I = 0.5 mol/L.
    """
    strength = np.minimum(ionic_strength_mol_l, DAVIES_END_MOL_L)
    root = np.sqrt(strength)
    return -_slope(temperature_c) * charge * charge * (root / (1.0 + root) - 0.3 * strength)


def speciated(
    mix_mmol_l: Mapping[str, Numeric],
    temperature_c: Numeric = 25.0,
    *,
    complexes: Sequence[Complex] = PAIRS,
    ph: Numeric | None = None,
) -> Species:
    """Share a mix out over free ions and `complexes`, at a pH where one of them asks for it.

    Mass action with Davies activities, all masters at once by damped steps towards their totals.
    Raises ValueError for an unknown ion, a negative amount, no ions, or a complex with protons
    where no `ph` is given.
    """
    totals = _totals(mix_mmol_l, temperature_c, 0.0 if ph is None else ph)
    shape = next(iter(totals.values())).shape
    t = np.broadcast_to(np.asarray(temperature_c, dtype=np.float64), shape)
    made = [each for each in complexes if all(part in totals for part, _ in each.parts)]
    if ph is None and any(each.protons for each in made):
        raise ValueError("complexes with protons without a pH; accepted: a pH")
    acid = np.broadcast_to(np.asarray(0.0 if ph is None else ph, dtype=np.float64), shape)
    charges = {name: charge_of(name) for name in totals} | {c.name: c.charge for c in made}
    logs = [each.log_k + _warmer(each.heat_kj_mol, t) - each.protons * acid for each in made]
    free = dict(totals)
    strength = np.zeros(shape)
    for _ in range(_ROUNDS):
        bound = _bound(free, made, logs, charges, strength, t)
        now = _strength({**free, **bound}, charges)
        moved = np.abs(now - strength)
        # halfway in the ionic strength: the two feed each other
        strength = 0.5 * (strength + now)
        for name, total in totals.items():
            held = free[name] + sum(
                dict(each.parts)[name] * bound[each.name]
                for each in made
                if name in dict(each.parts)
            )
            with np.errstate(invalid="ignore", divide="ignore"):
                ratio = np.where(held > 0.0, total / held, 1.0)
            moved = np.maximum(moved, np.abs(ratio - 1.0))
            free[name] = free[name] * np.sqrt(ratio)
        if not np.any(moved > _NEAR):
            break
    mmol_l = {**free, **_bound(free, made, logs, charges, strength, t)}
    return Species(mmol_l, charges, _strength(mmol_l, charges), t)


def _totals(
    mix: Mapping[str, Numeric], temperature_c: Numeric, ph: Numeric
) -> dict[str, FloatArray]:
    if not mix:
        raise ValueError("a mix without ions; accepted: at least one")
    for ion, amount in mix.items():
        charge_of(ion)
        not_negative(ion, "mmol/L", amount)
    zero = 0.0 * (np.asarray(temperature_c, dtype=np.float64) + np.asarray(ph))
    arrays = np.broadcast_arrays(zero, *(np.asarray(v, dtype=np.float64) for v in mix.values()))
    return {ion: np.array(array + arrays[0]) for ion, array in zip(mix, arrays[1:], strict=True)}


def _warmer(heat_kj_mol: float, temperature_c: FloatArray) -> FloatArray:
    """What the temperature adds to a log10 K of 25 °C (van 't Hoff, constant heat)."""
    inverse = 1.0 / 298.15 - 1.0 / (temperature_c + KELVIN)
    return np.asarray(heat_kj_mol * 1e3 / (GAS_CONSTANT_J_MOL_K * _LN10) * inverse)


def _bound(
    free: Mapping[str, FloatArray],
    made: Sequence[Complex],
    logs: Sequence[FloatArray],
    charges: Mapping[str, int],
    strength: FloatArray,
    t: FloatArray,
) -> dict[str, FloatArray]:
    """Amounts of the complexes [mmol/L] by mass action on the free ions."""
    root = np.sqrt(np.minimum(strength, DAVIES_END_MOL_L))
    per_square = -np.asarray(_slope(t)) * (root / (1.0 + root) - 0.3 * root * root)
    amounts = {}
    for each, log_k in zip(made, logs, strict=True):
        squares = sum(n * charges[part] ** 2 for part, n in each.parts) - each.charge**2
        amount = 1e3 * 10.0 ** (log_k + per_square * squares)
        for part, n in each.parts:
            amount = amount * (free[part] * 1e-3) ** n
        amounts[each.name] = amount
    return amounts


def _strength(mmol_l: Mapping[str, FloatArray], charges: Mapping[str, int]) -> FloatArray:
    return np.asarray(0.5e-3 * sum(charges[name] ** 2 * v for name, v in mmol_l.items()))


def ionic_strength_mol_l(mix_mmol_l: Mapping[str, Numeric], temperature_c: Numeric = 25.0) -> Same:
    """Ionic strength [mol/L] of a mix of ions: half the sum of c·z², pairs counted as they are.

    Raises ValueError for an unknown ion, a negative amount, or no ions.
    """
    answer = speciated(mix_mmol_l, temperature_c).ionic_strength_mol_l
    return answer if answer.ndim else float(answer)
