"""Light for plants: from a lamp's watts to photons on the ground, and the day's sum.

PPFD is photons of 400-700 nm [µmol/m²/s] on a level square metre. Each law takes numbers or
arrays; NaN stays NaN.
"""

import numpy as np

from leafgill.science.cited import Mark, Range, Source
from leafgill.science.compiled import Numeric, Same, everyday

# Photons for a joule drawn from the wall [µmol/J], by kind of lamp.
EFFICACIES_UMOL_J: dict[str, Range] = {
    "led": Range(1.9, 1.2, 2.8),
    "fluorescent": Range(0.9, 0.6, 1.1),
    "metal-halide": Range(1.2, 0.9, 1.6),
}
EFFICACY_SOURCE = Source(
    "Nelson & Bugbee 2014, PLoS ONE 9, e99010 (LED 0.89 to 1.70, fluorescent 0.95, ceramic metal "
    "halide 1.46); the LEDs of today reach 3",
    Mark.MEMORY,
)
# Full width at half of its light, of a lamp whose maker says nothing: near a bare LED's.
BEAM_DEG = Range(120.0, 90.0, 140.0)


@everyday
def daily_light_integral_mol_m2(ppfd: Numeric, hours: Numeric) -> Same:
    """Photons of a day [mol/m²] from PPFD [µmol/m²/s] held for so many hours: ·3600·1e-6."""
    return ppfd * hours * 3.6e-3


@everyday
def ppfd_of_integral(dli_mol_m2: Numeric, hours: Numeric) -> Same:
    """PPFD [µmol/m²/s] that gives this daily light integral in so many hours (more than 0)."""
    return dli_mol_m2 / (hours * 3.6e-3)


@everyday
def beam_exponent(beam_deg: Numeric) -> Same:
    """Exponent m of an emitter whose intensity runs as cos^m of the angle off its axis [1].

    `beam_deg`: full angle at half intensity, up to 180°; 120° is the cosine (Lambert) emitter,
    m = 1.
    """
    return np.log(0.5) / np.log(np.cos(np.radians(0.5 * beam_deg)))


@everyday
def entry_share(cos_incidence: Numeric) -> Same:
    """Part of unpolarised light that passes from air into flat water [1] (Fresnel, n = 1.333)."""
    n = 1.333
    into = np.sqrt(1.0 - (1.0 - cos_incidence * cos_incidence) / (n * n))
    across = (cos_incidence - n * into) / (cos_incidence + n * into)
    along = (n * cos_incidence - into) / (n * cos_incidence + into)
    return 1.0 - 0.5 * (across * across + along * along)
