"""Ammonia in fresh water: how much of it is the toxic NH3, and what animals stand.

Kits read the total, NH3 and NH4+ together. NaN stays NaN.
"""

import numpy as np

from leafgill.science.cited import Mark, Range, Source
from leafgill.science.compiled import Numeric, Same, everyday
from leafgill.science.constants import KELVIN

# Molar mass [g/mol] of what a kit may state the total as.
NH3_G_MOL = 17.031
NH4_G_MOL = 18.039
N_G_MOL = 14.007

EMERSON = Source(
    "Emerson, Russo, Lund & Thurston 1975, J. Fish. Res. Board Can. 32, 2379-2383", Mark.MEMORY
)
EPA_2013 = Source(
    "US EPA 2013, Aquatic Life Ambient Water Quality Criteria for Ammonia, EPA 822-R-13-001",
    Mark.MEMORY,
)
# NH3 [mg/L] that fish stand for good; the ends are ours, from sensitive fry to hardy adults.
LASTING_NH3_MG_L = Range(0.025, 0.012, 0.05)
LASTING_SOURCE = Source("EIFAC 1970, Technical Paper 11: 0.025 mg/L of NH3", Mark.MEMORY)
# NH3 [mg/L] for dwarf shrimp and their young: no published limit for the kinds kept was found.
SHRIMP_NH3_MG_L = Range(0.02, 0.01, 0.04)
SHRIMP_SOURCE = Source("", Mark.PRACTICE)


@everyday
def ammonium_pk(temperature_c: Numeric) -> Same:
    """Give the pK of NH4+ = NH3 + H+ in thin water, 0-30 °C: 0.09018 + 2729.92/T.

    Emerson, Russo, Lund & Thurston 1975, J. Fish. Res. Board Can. 32, 2379-2383 (cited from memory,
    not checked against the paper).
    """
    return 0.09018 + 2729.92 / (temperature_c + KELVIN)


@everyday
def unionised_share(ph: Numeric, temperature_c: Numeric) -> Same:
    """Part of the total ammonia that is NH3 [mol/mol], 0 to 1: 1/(10^(pK - pH) + 1).

    Emerson et al. 1975, for fresh water; salts lower it by a few per cent at most.
    """
    return 1.0 / (10.0 ** (ammonium_pk(temperature_c) - ph) + 1.0)


@everyday
def nh3_mg_l(ammonium_mg_l: Numeric, ph: Numeric, temperature_c: Numeric) -> Same:
    """NH3 [mg/L] in water whose total ammonia reads so many mg/L as NH4."""
    return ammonium_mg_l * (NH3_G_MOL / NH4_G_MOL) * unionised_share(ph, temperature_c)


@everyday
def ammonium_for_nh3_mg_l(nh3: Numeric, ph: Numeric, temperature_c: Numeric) -> Same:
    """Total ammonia [mg/L as NH4] at which there are `nh3` mg/L of NH3."""
    return nh3 * (NH4_G_MOL / NH3_G_MOL) / unionised_share(ph, temperature_c)


@everyday
def lasting_limit_n_mg_l(ph: Numeric, temperature_c: Numeric) -> Same:
    """Total ammonia nitrogen [mg/L as N] that fresh-water life stands as a 30-day mean.

    The chronic criterion of US EPA 2013 (cited from memory, not checked against the report, whose
    1.9 mg/L at pH 7 and 20 °C it gives); mussels set it, so it is a cautious one for fish. It falls
    as water warms and as pH climbs.
    """
    of_ph = 0.0278 / (1.0 + 10.0 ** (7.688 - ph)) + 1.1994 / (1.0 + 10.0 ** (ph - 7.688))
    warmest = np.maximum(temperature_c, 7.0)
    return 0.8876 * of_ph * 2.126 * 10.0 ** (0.028 * (20.0 - warmest))


@everyday
def short_limit_n_mg_l(ph: Numeric, temperature_c: Numeric) -> Same:
    """Total ammonia nitrogen [mg/L as N] that warm-water life stands for an hour.

    The acute criterion of US EPA 2013 where there are no salmonids (cited from memory, not checked
    against the report, whose 17 mg/L at pH 7 and 20 °C it gives).
    """
    of_ph = 0.0114 / (1.0 + 10.0 ** (7.204 - ph)) + 1.6181 / (1.0 + 10.0 ** (ph - 7.204))
    return 0.7249 * of_ph * np.minimum(51.93, 23.12 * 10.0 ** (0.036 * (20.0 - temperature_c)))
