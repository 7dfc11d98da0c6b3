"""How photosynthesis answers to light: from nothing to its most, before night's own losses.

All forms start with slope 1/Ik and end at 1; Ik [µmol/m²/s] is where the first slope would reach
the most. NaN stays NaN.
"""

from collections.abc import Callable

import numpy as np

from leafgill.science.cited import Mark, Range, Source
from leafgill.science.compiled import Numeric, Same, everyday
from leafgill.science.refuse import not_negative, positive

# Ik and light compensation of submerged leaves [µmol/m²/s].
SUBMERGED_IK = Range(100.0, 40.0, 250.0)
SUBMERGED_COMPENSATION = Range(15.0, 5.0, 35.0)
SUBMERGED_SOURCE = Source(
    "Van, Haller & Bowes 1976, Plant Physiol. 58, 761-768; Sand-Jensen's reviews; our ends",
    Mark.MEMORY,
)
# Carbon dioxide fixed for a photon absorbed [mol/mol], at its best in low light.
QUANTUM_YIELD = Range(0.05, 0.03, 0.07)
QUANTUM_SOURCE = Source("leaves of submerged plants, 0.03 to 0.07", Mark.MEMORY)
_CARBON_G_MOL = 12.011
_CANOPY_NODES = 12


@everyday
def tanh_share(ppfd: Numeric, ik: Numeric) -> Same:
    """Gross photosynthesis as a part of its most [1]: tanh(I/Ik).

    Jassby & Platt 1976, Limnol. Oceanogr. 21, 540-547, who found it the best of eight forms for
    phytoplankton (cited from memory, not checked against the paper).
    """
    return np.tanh(ppfd / ik)


@everyday
def smith_share(ppfd: Numeric, ik: Numeric) -> Same:
    """Gross photosynthesis as a part of its most [1]: x/√(1 + x²), x = I/Ik.

    Smith 1936, Proc. Natl. Acad. Sci. 22, 504-511 (cited from memory, not checked).
    """
    x = ppfd / ik
    return x / np.sqrt(1.0 + x * x)


@everyday
def monod_share(ppfd: Numeric, ik: Numeric) -> Same:
    """Gross photosynthesis as a part of its most [1]: I/(Ik + I).

    Baly 1935, Proc. R. Soc. B 117, 218-239; Monod's and Michaelis and Menten's form (cited from
    memory, not checked). It comes to its most the latest of the four.
    """
    return ppfd / (ik + ppfd)


@everyday
def exponential_share(ppfd: Numeric, ik: Numeric) -> Same:
    """Gross photosynthesis as a part of its most [1]: 1 - exp(-I/Ik).

    Webb, Newton & Starr 1974, Oecologia 17, 281-291 (cited from memory, not checked).
    """
    return -np.expm1(-ppfd / ik)


FORMS: dict[str, Callable[..., Same]] = {
    "tanh": tanh_share,
    "smith": smith_share,
    "monod": monod_share,
    "exponential": exponential_share,
}


@everyday
def compensated_share(ppfd: Numeric, ik: Numeric, compensation: Numeric) -> Same:
    """Net photosynthesis as a part of the gross at its most [1]: tanh(I/Ik) - tanh(Ic/Ik).

    Below the compensation light Ic it is negative: the leaf gives CO2 off.
    """
    return np.tanh(ppfd / ik) - np.tanh(compensation / ik)


def canopy_share(
    ppfd_top: Numeric, kd_per_m: Numeric, height_m: Numeric, ik: Numeric, *, form: str = "tanh"
) -> Same:
    """Mean response [1] of leaves spread evenly through a depth in which light dies away.

    `kd_per_m` is that of water and leaves together. Gauss-Legendre over the depth. Raises
    ValueError for another form, a negative light, attenuation or height, or an Ik of 0 or less.
    """
    if form not in FORMS:
        raise ValueError(f'a form "{form}"; accepted: {", ".join(FORMS)}')
    not_negative("a light", "µmol/m²/s", ppfd_top)
    not_negative("an attenuation", "/m", kd_per_m)
    not_negative("a height", "m", height_m)
    positive("an Ik", "µmol/m²/s", ik)
    nodes, weights = np.polynomial.legendre.leggauss(_CANOPY_NODES)
    depth = 0.5 * (nodes + 1.0)
    top, kd, height, knee = np.broadcast_arrays(ppfd_top, kd_per_m, height_m, ik)
    light = top[..., None] * np.exp(-(kd * height)[..., None] * depth)
    answer = np.asarray(FORMS[form](light, knee[..., None])) @ (0.5 * weights)
    return answer if answer.ndim else float(answer)


@everyday
def carbon_ceiling_g_m2_day(dli_mol_m2: Numeric, quantum_yield: Numeric, absorbed: Numeric) -> Same:
    """Carbon [g/m²/day] that light alone would allow, gross.

    Photons of the day times the part absorbed times the quantum yield [mol CO2/mol photons]: no
    plant fixes more, most fix much less.
    """
    return dli_mol_m2 * absorbed * quantum_yield * _CARBON_G_MOL
