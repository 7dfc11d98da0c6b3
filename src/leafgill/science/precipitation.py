"""What falls out of a water or a bottle: saturation indices, and the pH a bottle comes to.

Mixes map ions (names of `salt_table.IONS`) to mmol/L. Phosphate may be told as "H2PO4" or "HPO4",
carbon as "HCO3" or "CO3": at a given pH they are shared out anew. Chelated iron takes no part.
Activities are Davies', held at I = 0.5 mol/L: in a strong bottle an index is good to about one
unit, which is less than what separates "falls out" from "stays" in the mixes that matter.
"""

from collections.abc import Mapping
from typing import NamedTuple

import numpy as np
from scipy.optimize import brentq

from leafgill.science.carbonate_kernel import log_kw
from leafgill.science.compiled import FloatArray, Numeric, Same
from leafgill.science.complexes import ALL, DISSOLVED_CO2
from leafgill.science.constants import KELVIN
from leafgill.science.minerals import MINERALS, Mineral, log_product
from leafgill.science.speciation import Species, davies_log_gamma, speciated

_PH_ENDS = (2.0, 12.0)
_MERGED = {"H2PO4": "HPO4", "CO3": "HCO3"}


class Fallout(NamedTuple):
    """A solid that falls out: its name, in words, its saturation index and where it begins."""

    mineral: str
    words: str
    saturation_index: float
    comes_at: float


def _masters(mix_mmol_l: Mapping[str, Numeric], *, iron_oxidised: bool) -> dict[str, Same]:
    """Return the mix by masters: one phosphate, one carbonate, and iron as air leaves it."""
    masters: dict[str, Same] = {}
    for ion, amount in mix_mmol_l.items():
        name = _MERGED.get(ion, ion)
        if ion == "Fe" and iron_oxidised:
            name = "Fe3"
        masters[name] = masters.get(name, 0.0) + np.asarray(amount, dtype=np.float64)
    return masters


def saturation_indices(
    mix_mmol_l: Mapping[str, Numeric],
    ph: Numeric,
    temperature_c: Numeric = 25.0,
    *,
    iron_oxidised: bool = False,
    closed: bool = False,
) -> dict[str, Same]:
    """log10 of ion product over solubility product, for each solid whose ions are all there.

    0 is saturated, above it the solid may fall out. `iron_oxidised` takes free iron as iron(III),
    as air makes it above pH 6 within hours. `closed` counts the carbon's CO2 with it (a shut
    bottle); otherwise "HCO3" is what is bicarbonate and carbonate (alkalinity of a tank). Raises
    ValueError for an unknown ion, a negative amount, or no ions.
    """
    species = _species(mix_mmol_l, ph, temperature_c, iron_oxidised=iron_oxidised, closed=closed)
    acid = np.asarray(ph, dtype=np.float64)
    indices: dict[str, Same] = {}
    for mineral in MINERALS.values():
        if all(part in species.mmol_l for part, _ in mineral.parts):
            index = _index(mineral, species, acid)
            indices[mineral.name] = index if index.ndim else float(index)
    return indices


def _species(
    mix_mmol_l: Mapping[str, Numeric],
    ph: Numeric,
    temperature_c: Numeric,
    *,
    iron_oxidised: bool,
    closed: bool,
) -> Species:
    complexes = (*ALL, DISSOLVED_CO2) if closed else ALL
    masters = _masters(mix_mmol_l, iron_oxidised=iron_oxidised)
    return speciated(masters, temperature_c, complexes=complexes, ph=ph)


def _index(mineral: Mineral, species: Species, acid: FloatArray) -> FloatArray:
    product = sum(n * species.log_activity(part) for part, n in mineral.parts)
    # protons taken up on dissolving stand below the line of the ion product
    product = product - mineral.protons * acid
    return np.asarray(product - log_product(mineral, species.temperature_c))


def falls_out(
    mix_mmol_l: Mapping[str, float],
    ph: float,
    temperature_c: float = 25.0,
    *,
    iron_oxidised: bool = False,
    closed: bool = False,
) -> list[Fallout]:
    """Solids that fall out of the mix within days, the furthest past its beginning first.

    Raises ValueError as `saturation_indices` does.
    """
    indices = saturation_indices(
        mix_mmol_l, ph, temperature_c, iron_oxidised=iron_oxidised, closed=closed
    )
    found = [
        Fallout(name, MINERALS[name].words, float(index), MINERALS[name].comes_at)
        for name, index in indices.items()
        if index > MINERALS[name].comes_at
    ]
    return sorted(found, key=lambda one: one.comes_at - one.saturation_index)


def settled_ph(mix_mmol_l: Mapping[str, float], temperature_c: float = 25.0) -> float:
    """Find the pH that a shut bottle of this mix comes to: where the charges balance.

    Numbers only. Carbon stays in the bottle, iron is as dissolved; ligands of chelates and boric
    acid are left out. Found between pH 2 and 12; the nearer end where the balance lies beyond.
    Raises ValueError for an unknown ion, a negative amount, or no ions.
    """

    def surplus(ph: float) -> float:
        species = _species(mix_mmol_l, ph, temperature_c, iron_oxidised=False, closed=True)
        ions = sum(species.charges[name] * v for name, v in species.mmol_l.items())
        return float(ions) + _water_mmol_l(ph, species)

    low, high = (surplus(end) for end in _PH_ENDS)
    if low <= 0.0:
        return _PH_ENDS[0]
    if high >= 0.0:
        return _PH_ENDS[1]
    return float(brentq(surplus, *_PH_ENDS, xtol=1e-6))


def _water_mmol_l(ph: float, species: Species) -> float:
    """[H+] less [OH-] [mmol/L] at an activity of H+ of 10^-pH."""
    t = float(species.temperature_c)
    gamma = 10.0 ** float(davies_log_gamma(float(species.ionic_strength_mol_l), 1.0, t))
    kelvin = t + KELVIN
    kw = 10.0 ** float(log_kw(kelvin, float(np.log10(kelvin))))
    active = 10.0**-ph
    return float(1e3 * (active - kw / active) / gamma)
