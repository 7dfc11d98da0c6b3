"""What the ions of tank water and of fertiliser bottles make of each other in solution.

Every species is made of masters (Ca, Mg, Na, K, NH4, Fe, Fe3, Mn, SO4, HCO3, HPO4) and protons.
Constants of 25 °C and heats: phreeqc.dat (USGS), read in its file; those of carbonate follow
Plummer & Busenberg 1982.
"""

from typing import NamedTuple

KCAL = 4.184


class Complex(NamedTuple):
    """A species, what it is made of with protons counted apart, its charge, log10 K and heat.

    `heat_kj_mol`: enthalpy of forming it from the masters, for other temperatures than 25 °C.
    """

    name: str
    parts: tuple[tuple[str, int], ...]
    protons: int
    charge: int
    log_k: float
    heat_kj_mol: float = 0.0


# Charges of the masters that are no ions of a salt.
EXTRA_CHARGES = {"H": 1, "OH": -1, "Fe3": 3}

# HPO4-- + n H+: PO4---, H2PO4-, H3PO4.
_PO4, _PO4_HEAT = -12.346, 3.530 * KCAL
_H2PO4, _H2PO4_HEAT = 19.553 - 12.346, (-4.520 + 3.530) * KCAL
# HCO3- = CO3-- + H+
_CO3, _CO3_HEAT = -10.329, 3.561 * KCAL

SULFATE_PAIRS = (
    Complex("CaSO4", (("Ca", 1), ("SO4", 1)), 0, 0, 2.25, 1.325 * KCAL),
    Complex("MgSO4", (("Mg", 1), ("SO4", 1)), 0, 0, 2.37, 4.550 * KCAL),
    Complex("NaSO4-", (("Na", 1), ("SO4", 1)), 0, -1, 0.7, 1.120 * KCAL),
    Complex("KSO4-", (("K", 1), ("SO4", 1)), 0, -1, 0.85, 2.250 * KCAL),
    Complex("NH4SO4-", (("NH4", 1), ("SO4", 1)), 0, -1, 1.11),
    Complex("FeSO4", (("Fe", 1), ("SO4", 1)), 0, 0, 2.25, 3.230 * KCAL),
    Complex("MnSO4", (("Mn", 1), ("SO4", 1)), 0, 0, 2.25, 3.370 * KCAL),
)
BICARBONATE_PAIRS = (
    Complex("CaHCO3+", (("Ca", 1), ("HCO3", 1)), 0, 1, 11.435 + _CO3, 2.690 * KCAL),
    Complex("MgHCO3+", (("Mg", 1), ("HCO3", 1)), 0, 1, 11.399 + _CO3, 0.790 * KCAL),
    Complex("FeHCO3+", (("Fe", 1), ("HCO3", 1)), 0, 1, 2.0),
)
# Pairs that hold whatever the pH is.
PAIRS = SULFATE_PAIRS + BICARBONATE_PAIRS

CARBONATE = (
    Complex("CO3--", (("HCO3", 1),), -1, -2, _CO3, _CO3_HEAT),
    Complex("CaCO3", (("Ca", 1), ("HCO3", 1)), -1, 0, 3.224 + _CO3, 3.545 * KCAL + _CO3_HEAT),
    Complex("MgCO3", (("Mg", 1), ("HCO3", 1)), -1, 0, 2.98 + _CO3, 2.713 * KCAL + _CO3_HEAT),
    Complex("FeCO3", (("Fe", 1), ("HCO3", 1)), -1, 0, 4.38 + _CO3, _CO3_HEAT),
)
# Only where carbon cannot leave: CO2(aq) counts with the carbon.
DISSOLVED_CO2 = Complex("CO2", (("HCO3", 1),), 1, 0, 6.352, -2.177 * KCAL)

PHOSPHATE = (
    Complex("PO4---", (("HPO4", 1),), -1, -3, _PO4, _PO4_HEAT),
    Complex("H2PO4-", (("HPO4", 1),), 1, -1, _H2PO4, _H2PO4_HEAT),
    Complex("H3PO4", (("HPO4", 1),), 2, 0, 21.721 + _PO4, -10.1 + _PO4_HEAT),
    Complex("CaPO4-", (("Ca", 1), ("HPO4", 1)), -1, -1, 6.459 + _PO4, 3.10 * KCAL + _PO4_HEAT),
    Complex("CaHPO4", (("Ca", 1), ("HPO4", 1)), 0, 0, 2.739, 3.3 * KCAL),
    Complex("CaH2PO4+", (("Ca", 1), ("HPO4", 1)), 1, 1, 1.408 + _H2PO4, 3.4 * KCAL + _H2PO4_HEAT),
    Complex("MgPO4-", (("Mg", 1), ("HPO4", 1)), -1, -1, 6.589 + _PO4, 3.10 * KCAL + _PO4_HEAT),
    Complex("MgHPO4", (("Mg", 1), ("HPO4", 1)), 0, 0, 2.87, 3.3 * KCAL),
    Complex("MgH2PO4+", (("Mg", 1), ("HPO4", 1)), 1, 1, 1.513 + _H2PO4, 3.4 * KCAL + _H2PO4_HEAT),
    Complex("NaHPO4-", (("Na", 1), ("HPO4", 1)), 0, -1, 0.29),
    Complex("KHPO4-", (("K", 1), ("HPO4", 1)), 0, -1, 0.29),
    Complex("FeHPO4", (("Fe", 1), ("HPO4", 1)), 0, 0, 3.6),
    Complex("FeH2PO4+", (("Fe", 1), ("HPO4", 1)), 1, 1, 2.7 + _H2PO4, _H2PO4_HEAT),
    Complex("Fe3HPO4+", (("Fe3", 1), ("HPO4", 1)), 0, 1, 5.43, 5.76 * KCAL),
    Complex("Fe3H2PO4++", (("Fe3", 1), ("HPO4", 1)), 1, 2, 5.43 + _H2PO4, _H2PO4_HEAT),
)
HYDROLYSIS = (
    Complex("NH3", (("NH4", 1),), -1, 0, -9.252, 12.48 * KCAL),
    Complex("FeOH+", (("Fe", 1),), -1, 1, -9.5, 13.20 * KCAL),
    Complex("Fe3OH++", (("Fe3", 1),), -1, 2, -2.19, 10.4 * KCAL),
    Complex("Fe3(OH)2+", (("Fe3", 1),), -2, 1, -5.67, 17.1 * KCAL),
    Complex("Fe3(OH)3", (("Fe3", 1),), -3, 0, -12.56, 24.8 * KCAL),
    Complex("Fe3(OH)4-", (("Fe3", 1),), -4, -1, -21.6, 31.9 * KCAL),
    Complex("Fe3SO4+", (("Fe3", 1), ("SO4", 1)), 0, 1, 4.04, 3.91 * KCAL),
)
ALL = PAIRS + CARBONATE + PHOSPHATE + HYDROLYSIS
