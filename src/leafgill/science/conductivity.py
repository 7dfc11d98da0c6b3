"""Conductivity of a mix of ions (mmol/L, as `speciation` names them). NaN stays NaN."""

from collections.abc import Mapping

import numpy as np

from leafgill.science.cited import Mark, Source
from leafgill.science.compiled import Numeric, Same
from leafgill.science.speciation import charge_of, speciated
from leafgill.science.water_properties import water_viscosity_pa_s

# Molar conductivity at infinite dilution and 25 °C [S·cm²/mol], an ion's whole charge counted.
LIMITING_S_CM2_MOL: dict[str, float] = {
    "H": 349.65, "OH": 198.0,
    "K": 73.48, "Na": 50.08, "NH4": 73.5,
    "Ca": 118.94, "Mg": 106.0, "Fe": 108.0, "Mn": 107.0, "Zn": 105.6, "Cu": 107.2, "Co": 110.0,
    "Ni": 99.2,
    "NO3": 71.42, "Cl": 76.31, "SO4": 160.0, "HCO3": 44.5, "CO3": 138.6,
    "H2PO4": 36.0, "HPO4": 114.0, "MoO4": 149.0,
}  # fmt: skip
LIMITING_SOURCE = Source(
    "CRC Handbook, ionic conductivity at infinite dilution, as an open program carries it",
    Mark.CHECKED,
)
# An ion not named above, by its charge: for milligrams of a large organic one. A choice of ours.
_OTHERS_PER_CHARGE = 30.0
_WALDEN = 0.9
# Charged pairs, from the diffusion coefficients of phreeqc.dat (Nernst and Einstein: ·3.755e10);
# NH4SO4- as KSO4-, FeHCO3+ as MgHCO3+.
_PAIRS_S_CM2_MOL = {
    "CaHCO3+": 19.0, "MgHCO3+": 18.0, "FeHCO3+": 18.0,
    "NaSO4-": 23.2, "KSO4-": 28.0, "NH4SO4-": 28.0,
}  # fmt: skip


def limiting_s_cm2_mol(ion: str, temperature_c: Numeric = 25.0) -> Same:
    """Molar conductivity [S·cm²/mol] of an ion at infinite dilution.

    25 °C values (CRC Handbook) times (viscosity at 25 °C over that at the temperature)^0.9, which
    is Walden's rule with the exponent that eleven salts measured by McCleskey 2011 show between 20
    and 30 °C. Uncharged species give 0. Raises ValueError for a name that is not known.
    """
    return _warmed(
        LIMITING_S_CM2_MOL.get(ion, _OTHERS_PER_CHARGE * abs(charge_of(ion))), temperature_c
    )


def _warmed(at_25: float, temperature_c: Numeric) -> Same:
    t = np.asarray(temperature_c, dtype=np.float64)
    thinner = water_viscosity_pa_s(25.0) / np.asarray(water_viscosity_pa_s(t))
    answer = np.asarray(at_25 * thinner**_WALDEN)
    return answer if answer.ndim else float(answer)


def conductivity_us_cm(mix_mmol_l: Mapping[str, Numeric], temperature_c: Numeric = 25.0) -> Same:
    """Electrical conductivity [µS/cm] of a mix of ions; at 25 °C as compensated meters show it.

    Σ λ·c·γ^(0.6/√|z|) over the ions and charged pairs that `speciation` finds, γ by Davies: ions
    hinder one another about as their activities fall (the form PHREEQC uses; Appelo 2010, cited
    from memory, not checked). Raises ValueError as `speciation.speciated` does.
    """
    species = speciated(mix_mmol_l, temperature_c)
    total = 0.0 * species.ionic_strength_mol_l
    for name, amount in species.mmol_l.items():
        charge = species.charges[name]
        if charge == 0:
            continue
        if name in _PAIRS_S_CM2_MOL:
            limiting = _warmed(_PAIRS_S_CM2_MOL[name], temperature_c)
        else:
            limiting = limiting_s_cm2_mol(name, temperature_c)
        hindered = 0.6 / np.sqrt(abs(charge)) * species.log_gamma(name)
        total = total + limiting * amount * 10.0**hindered
    answer = np.asarray(total)
    return answer if answer.ndim else float(answer)
