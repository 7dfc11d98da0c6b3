"""How much of a salt dissolves: saturated solutions from 0 to 40 °C.

Handbooks give grams of anhydrous salt in 100 g of water; who fills a bottle to its mark needs grams
of the salt as sold in a litre of solution. The step between counts the crystal water as water and
gives the dissolved salt the room it takes up there.
"""

import math
from typing import NamedTuple

import numpy as np

from leafgill.science.cited import Mark, Range, Source
from leafgill.science.compiled import FloatArray, Numeric
from leafgill.science.formulas import anhydrous, formula_mass_g_mol
from leafgill.science.gases import water_density_kg_l
from leafgill.science.refuse import inside
from leafgill.science.salt_table import ROWS

_POINTS_C = (0.0, 10.0, 20.0, 30.0, 40.0)
_HANDBOOK = Source("CRC Handbook; Perry's Handbook: solubility tables", Mark.MEMORY)
_CALCIUM_CHLORIDE = Source(
    "CRC Handbook's 74.5 g at 20 °C, as a university quotes it; the rest from memory", Mark.CHECKED
)
_COPPER = Source(
    "CRC Handbook's 20.5 g at 20 °C, as a university quotes it; the rest from memory", Mark.CHECKED
)
_SUPPLIERS = Source("suppliers' sheets, order of magnitude", Mark.MEMORY)


class Saturation(NamedTuple):
    """Anhydrous salt [g per 100 g water] at 0, 10 ... 40 °C, or one figure taken for them all.

    `share_low`, `share_high`: ends of the 90 % range as shares of it. `room_ml_g`: volume [mL] a
    gram of dissolved anhydrous salt takes up near saturation, and `room_spread` to either side.
    """

    g_100g: tuple[float, ...]
    room_ml_g: float
    share_low: float = 0.95
    share_high: float = 1.05
    room_spread: float = 0.03
    source: Source = _HANDBOOK


# The room is worked out with the density correlation of Laliberté & Cooper 2004 (J. Chem. Eng. Data
# 49, 1141-1151) at 20 °C, from a program that carries its coefficients; boric acid, urea, and the
# chelates are not among them: those are from memory. K2HPO4 and MnSO4 lie beyond its range.
SATURATIONS: dict[str, Saturation] = {
    "KNO3": Saturation((13.3, 20.9, 31.6, 45.8, 63.9), 0.412),
    "KH2PO4": Saturation((14.8, 18.3, 22.6, 28.0, 35.5), 0.345),
    # 0.75 of it covers 10 °C, where another hydrate is the solid one
    "K2HPO4": Saturation((150.0,), 0.39, 0.75, 1.1, 0.06),
    "K2SO4": Saturation((7.4, 9.3, 11.1, 13.0, 14.8), 0.234, 0.91),
    "KCl": Saturation((28.0, 31.2, 34.2, 37.2, 40.1), 0.416),
    "KHCO3": Saturation((22.5, 27.4, 33.7, 39.9, 47.5), 0.406),
    "K2CO3": Saturation((105.0, 109.0, 111.0, 114.0, 117.0), 0.30),
    "NaHCO3": Saturation((7.0, 8.1, 9.6, 11.1, 12.7), 0.324),
    "Na2CO3": Saturation((7.0, 12.5, 21.5, 39.7, 49.0), 0.096),
    "NaCl": Saturation((35.7, 35.8, 35.9, 36.1, 36.4), 0.364),
    "NaNO3": Saturation((73.0, 80.8, 87.6, 94.9, 102.0), 0.406),
    "MgSO4.7H2O": Saturation((22.0, 28.2, 33.7, 38.9, 44.5), 0.115),
    # what dissolves comes to rest with the heptahydrate
    "MgSO4": Saturation((22.0, 28.2, 33.7, 38.9, 44.5), 0.115),
    "MgCl2.6H2O": Saturation((52.9, 53.6, 54.6, 55.8, 57.5), 0.296),
    "Mg(NO3)2.6H2O": Saturation((62.1, 66.0, 69.5, 73.6, 78.9), 0.327),
    "CaSO4.2H2O": Saturation((0.176, 0.193, 0.202, 0.208, 0.210), 0.02),
    "CaCl2.2H2O": Saturation((59.5, 64.7, 74.5, 100.0, 128.0), 0.301, source=_CALCIUM_CHLORIDE),
    "CaCl2": Saturation((59.5, 64.7, 74.5, 100.0, 128.0), 0.301, source=_CALCIUM_CHLORIDE),
    "Ca(NO3)2.4H2O": Saturation((102.0, 115.0, 129.0, 152.0, 191.0), 0.357),
    # from pure water without CO2 to water that stands in room air
    "CaCO3": Saturation(
        (0.0013,),
        0.0,
        0.9,
        5.0,
        source=Source("PHREEQC, calcite in closed pure water and in air", Mark.CHECKED),
    ),
    "urea": Saturation((67.0, 85.0, 106.0, 133.0, 164.0), 0.75),
    "(NH4)2SO4": Saturation((70.6, 73.0, 75.4, 78.1, 81.2), 0.539),
    "NH4NO3": Saturation((118.0, 150.0, 192.0, 242.0, 297.0), 0.637),
    "NH4Cl": Saturation((29.4, 33.2, 37.2, 41.4, 45.8), 0.734),
    "Fe-gluconate": Saturation((8.0,), 0.55, 0.5, 1.3, 0.1, _SUPPLIERS),
    "Fe-DTPA": Saturation((10.0,), 0.55, 0.7, 1.3, 0.1, _SUPPLIERS),
    "Fe-EDTA": Saturation((8.0,), 0.55, 0.6, 1.3, 0.1, _SUPPLIERS),
    "FeSO4.7H2O": Saturation((15.6, 20.5, 26.3, 32.8, 40.1), 0.093),
    "MnSO4.H2O": Saturation((52.9, 59.7, 62.9, 62.9, 60.0), 0.139, room_spread=0.06),
    "ZnSO4.7H2O": Saturation((41.6, 47.2, 53.8, 61.3, 70.5), 0.086),
    "CuSO4.5H2O": Saturation((14.3, 17.4, 20.5, 24.4, 28.5), 0.035, source=_COPPER),
    "H3BO3": Saturation((2.6, 3.6, 4.8, 6.6, 8.7), 0.63),
    "Na2MoO4.2H2O": Saturation((44.1, 64.7, 65.3, 66.9, 68.6), 0.215),
    "CoSO4.7H2O": Saturation((25.5, 30.5, 36.1, 42.0, 48.8), 0.191),
    "NiSO4.6H2O": Saturation((27.2, 32.0, 37.5, 43.4, 50.4), 0.048),
}


_FORMULAS = {row.key or row.formula: row.formula for row in ROWS}


def _row(key: str) -> Saturation:
    if key not in SATURATIONS:
        raise ValueError(f'a solubility of "{key}"; accepted: {", ".join(SATURATIONS)}')
    return SATURATIONS[key]


def source_of(key: str) -> Source:
    """Return who says how much of this salt dissolves. Raises ValueError for another salt."""
    return _row(key).source


def saturated_g_100g(key: str, temperature_c: Numeric) -> FloatArray:
    """Anhydrous salt [g] in 100 g of water at saturation, 0 to 40 °C; always an array.

    Between the handbook's points the logarithm runs straight. Raises ValueError for another salt or
    a temperature outside.
    """
    row = _row(key)
    inside("a temperature", "°C", temperature_c, _POINTS_C[0], _POINTS_C[-1])
    t = np.asarray(temperature_c, dtype=np.float64)
    if len(row.g_100g) == 1:
        return np.where(np.isnan(t), math.nan, row.g_100g[0])
    return np.asarray(np.exp(np.interp(t, _POINTS_C, np.log(row.g_100g))))


def hydrate_factor(key: str) -> float:
    """Grams of the salt as sold that bring one gram of anhydrous salt."""
    formula = _FORMULAS[key]
    return formula_mass_g_mol(formula) / formula_mass_g_mol(anhydrous(formula))


def in_solution_g_l(key: str, temperature_c: Numeric) -> Range:
    """Grams of the salt as sold in a litre of saturated solution, and the 90 % range.

    Raises ValueError as `saturated_g_100g` does. NaN stays NaN.
    """
    row = _row(key)
    held = saturated_g_100g(key, temperature_c)
    water_ml = 100.0 / np.asarray(water_density_kg_l(temperature_c))

    def per_litre(share: float, room_ml_g: float) -> FloatArray:
        dissolved = held * share
        volume_ml = water_ml + dissolved * room_ml_g
        return np.asarray(1e3 * dissolved * hydrate_factor(key) / volume_ml)

    ends = (
        per_litre(1.0, row.room_ml_g),
        per_litre(row.share_low, row.room_ml_g + row.room_spread),
        per_litre(row.share_high, row.room_ml_g - row.room_spread),
    )
    return Range(*(end if end.ndim else float(end) for end in ends))
