"""Copper in fresh water: how much its life stands, by hardness.

Criteria for dissolved copper; a chelate and the humic matter of a tank bind much of it, so that
they stand on the safe side of what kits read. NaN stays NaN.
"""

import numpy as np

from leafgill.science.cited import Mark, Range, Source
from leafgill.science.compiled import Numeric, Same, everyday

CACO3_MG_L_PER_DGH = 17.848
# Hardness the criteria were drawn for [mg/L CaCO3]; beyond it the nearer end counts.
HARDNESS_ENDS_MG_L = (25.0, 400.0)
EPA_1996 = Source(
    "US EPA 1996, 1995 Updates: Water Quality Criteria for Aquatic Life, EPA 820-B-96-001",
    Mark.MEMORY,
)
# Dissolved copper [µg/L] for dwarf shrimp and snails: no published limit for the kinds kept.
SHRIMP_UG_L = Range(10.0, 5.0, 30.0)
SHRIMP_SOURCE = Source("", Mark.PRACTICE)
# Filtered, of the total that the criteria were first written for.
_DISSOLVED_SHARE = 0.960


@everyday
def lasting_limit_ug_l(gh_dgh: Numeric) -> Same:
    """Dissolved copper [µg/L] that fresh-water life stands for days: the chronic criterion.

    0.960·exp(0.8545·ln H - 1.702), H hardness in mg/L of CaCO3, taken between 25 and 400: US EPA
    1996 (cited from memory, not checked against the report, whose 9.0 µg/L at 100 mg/L it gives).
    EPA's 2007 method asks for organic carbon too, which no keeper can measure.
    """
    hardness = np.clip(gh_dgh * CACO3_MG_L_PER_DGH, *HARDNESS_ENDS_MG_L)
    return _DISSOLVED_SHARE * np.exp(0.8545 * np.log(hardness) - 1.702)


@everyday
def short_limit_ug_l(gh_dgh: Numeric) -> Same:
    """Dissolved copper [µg/L] that fresh-water life stands for an hour: the acute criterion.

    0.960·exp(0.9422·ln H - 1.700), as `lasting_limit_ug_l`; 13 µg/L at 100 mg/L of CaCO3.
    """
    hardness = np.clip(gh_dgh * CACO3_MG_L_PER_DGH, *HARDNESS_ENDS_MG_L)
    return _DISSOLVED_SHARE * np.exp(0.9422 * np.log(hardness) - 1.700)
