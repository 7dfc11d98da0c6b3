"""Solids that may fall out of tank water and of bottles, and how little of them dissolves."""

from typing import NamedTuple

import numpy as np

from leafgill.science.cited import Mark, Source
from leafgill.science.compiled import FloatArray
from leafgill.science.complexes import KCAL
from leafgill.science.constants import GAS_CONSTANT_J_MOL_K, KELVIN

_PHREEQC = Source("phreeqc.dat, USGS", Mark.CHECKED)
_WATEQ = Source("wateq4f.dat, USGS (Nordstrom et al.)", Mark.CHECKED)
_PB82 = Source("Plummer & Busenberg 1982, as phreeqc.dat carries it", Mark.CHECKED)
_BRUSHITE = Source("Gregory, Moreno & Brown 1970, J. Res. NBS 74A, 461-475", Mark.MEMORY)
_STRUVITE = Source("Ohlinger, Young & Schroeder 1998, Water Res. 32, 3607-3614", Mark.MEMORY)


class Mineral(NamedTuple):
    """A solid: what it dissolves to, log10 of its solubility product, and when it comes.

    `parts`: ions by the names of `speciation`, with "PO4---" and "CO3--"; `protons` taken up on the
    way (apart from `parts`). `analytic`: A, B, C, D, E of A + B·T + C/T + D·log10 T + E/T² where
    known, else `log_k` at 25 °C with `heat_kj_mol`. `comes_at`: saturation index from which it
    falls out within days of standing; below it, it may stay in solution for weeks. These are a
    choice of ours: seeds, stirring and organic matter move them.
    """

    name: str
    words: str
    parts: tuple[tuple[str, int], ...]
    protons: int
    log_k: float
    heat_kj_mol: float
    comes_at: float
    source: Source
    analytic: tuple[float, float, float, float, float] | None = None


MINERALS: dict[str, Mineral] = {
    mineral.name: mineral
    for mineral in (
        Mineral(
            "calcite",
            "calcium carbonate (lime)",
            (("Ca", 1), ("CO3--", 1)),
            0,
            -8.48,
            -2.297 * KCAL,
            0.8,
            _PB82,
            (-171.9065, -0.077993, 2839.319, 71.595, 0.0),
        ),
        Mineral(
            "gypsum",
            "calcium sulfate (gypsum)",
            (("Ca", 1), ("SO4", 1)),
            0,
            -4.58,
            -0.109 * KCAL,
            0.1,
            _PHREEQC,
            (68.2401, 0.0, -3221.51, -25.0627, 0.0),
        ),
        Mineral(
            "brushite",
            "calcium hydrogen phosphate",
            (("Ca", 1), ("HPO4", 1)),
            0,
            -6.59,
            0.0,
            0.3,
            _BRUSHITE,
        ),
        Mineral(
            "hydroxyapatite",
            "calcium phosphate (apatite)",
            (("Ca", 5), ("HPO4", 3)),
            -4,
            -3.421,
            -36.155 * KCAL,
            9.0,
            _PHREEQC,
        ),
        Mineral(
            "struvite",
            "magnesium ammonium phosphate",
            (("Mg", 1), ("NH4", 1), ("PO4---", 1)),
            0,
            -13.26,
            0.0,
            0.5,
            _STRUVITE,
        ),
        Mineral(
            "vivianite",
            "iron(II) phosphate",
            (("Fe", 3), ("PO4---", 2)),
            0,
            -36.0,
            0.0,
            4.0,
            _PHREEQC,
        ),
        Mineral(
            "strengite",
            "iron(III) phosphate",
            (("Fe3", 1), ("PO4---", 1)),
            0,
            -26.4,
            -2.030 * KCAL,
            2.0,
            _WATEQ,
        ),
        Mineral(
            "iron hydroxide",
            "iron(III) hydroxide (rust)",
            (("Fe3", 1),),
            -3,
            4.891,
            0.0,
            0.5,
            _PHREEQC,
        ),
    )
}


def log_product(mineral: Mineral, temperature_c: FloatArray) -> FloatArray:
    """log10 of the solubility product at a temperature (van 't Hoff where no fit is known)."""
    t = np.asarray(temperature_c, dtype=np.float64) + KELVIN
    if mineral.analytic is not None:
        a, b, c, d, e = mineral.analytic
        return np.asarray(a + b * t + c / t + d * np.log10(t) + e / (t * t))
    per_kelvin = mineral.heat_kj_mol * 1e3 / (GAS_CONSTANT_J_MOL_K * np.log(10.0))
    return np.asarray(mineral.log_k + per_kelvin * (1.0 / 298.15 - 1.0 / t))
