"""How much of a lamp's light a tank gets: geometry above the water, walls and water below it."""

import math

import numpy as np

from leafgill.science.cited import Mark, Range, Source
from leafgill.science.light import (
    BEAM_DEG,
    EFFICACIES_UMOL_J,
    beam_exponent,
    entry_share,
)
from leafgill.science.refuse import inside, not_negative, positive

# Light that meets a glass wall from within is thrown back, but films, a background and plants take
# their part of it. Share that stays, a wall met once.
WALL_KEEPS = Range(0.75, 0.5, 0.92)
# Attenuation of tank water, clear to slightly tinted [1/m].
TANK_KD_PER_M = Range(0.6, 0.3, 1.2)
WATER_SOURCE = Source("tank water 0.3 to 1 /m, clear to slightly tinted", Mark.MEMORY)
WALL_SOURCE = Source("", Mark.CHOICE)
_ROUND = 360
_DOWN = 12
_PIECES = 9
_BEAM_ENDS_DEG = (10.0, 180.0)
# A maker's efficacy is of a new lamp, often of the bare diodes.
_STATED = Range(0.95, 0.75, 1.05)
_WATER_INDEX = 1.333
# Evenly from the middle to the rim: a lamp over the middle lights it more.
_PLACE = Range(1.0, 0.75, 1.3)


def surface_share(
    length_cm: float,
    width_cm: float,
    height_cm: float,
    beam_deg: float = BEAM_DEG.value,
    lamp_cm: float = 0.0,
) -> float:
    """Part of the lamp's light that enters the water of a tank [1], lamp over the middle.

    `height_cm` of the lamp over the water; `lamp_cm`, the length that shines, along the tank;
    `beam_deg` the full angle at half intensity. The lamp is a row of emitters whose intensity runs
    as cos^m (Lambert's for 120°), summed over directions, less what the surface throws back
    (Fresnel). Raises ValueError for sides of 0 or less or a beam outside 10 to 180°.
    """
    positive("a tank's side", "cm", np.array([length_cm, width_cm]))
    not_negative("a height", "cm", np.array([height_cm, lamp_cm]))
    inside("a beam", "°", beam_deg, *_BEAM_ENDS_DEG)
    m = float(beam_exponent(beam_deg))
    # what shines past the rim of the tank would be lost by a lamp nobody mounts so
    reach = 0.5 * min(lamp_cm, length_cm)
    places = reach * (np.arange(_PIECES) - 0.5 * (_PIECES - 1)) * 2.0 / _PIECES
    return float(np.mean([_from_point(length_cm, width_cm, height_cm, m, x) for x in places]))


def _from_point(length_cm: float, width_cm: float, height_cm: float, m: float, x: float) -> float:
    """Part of one emitter's light, summed over directions: good at any height, 0 too."""
    angle = 2.0 * np.pi * (np.arange(_ROUND) + 0.5) / _ROUND
    cos, sin = np.cos(angle), np.sin(angle)
    to_end = (0.5 * length_cm - np.sign(cos) * x) / np.abs(cos)
    to_side = 0.5 * width_cm / np.abs(sin)
    # cosine of the steepest ray that still misses the water, in each direction round the axis
    edge = height_cm / np.hypot(height_cm, np.minimum(to_end, to_side))
    nodes, weights = np.polynomial.legendre.leggauss(_DOWN)
    half = 0.5 * (1.0 - edge)[:, None]
    c = edge[:, None] + half * (nodes + 1.0)
    each = ((m + 1.0) * c**m * np.asarray(entry_share(c)) * half) @ weights
    return float(each.mean())


def wall_meetings(length_cm: float, width_cm: float, depth_cm: float, beam_deg: float) -> float:
    """How often light meets a wall, on average, on its way down to `depth_cm` [1].

    For a ray at the lamp's mean cosine (m + 1)/(m + 2), bent by the surface, over all directions.
    """
    m = float(beam_exponent(beam_deg))
    cos_air = (m + 1.0) / (m + 2.0)
    sin_water = math.sqrt(1.0 - cos_air * cos_air) / _WATER_INDEX
    slope = sin_water / math.sqrt(1.0 - sin_water * sin_water)
    return depth_cm * slope * 2.0 / math.pi * (1.0 / length_cm + 1.0 / width_cm)


def lamp_umol_s(
    power_w: float, *, efficacy_umol_j: float | None = None, lamp: str = "led"
) -> Range:
    """Photons a lamp gives [µmol/s] with its 90 % range: power times efficacy.

    A stated efficacy is taken with what makers' figures leave out; otherwise the kind's range
    counts. Raises ValueError for a negative power, no efficacy, or another kind than
    `light.EFFICACIES_UMOL_J` names.
    """
    not_negative("a power", "W", power_w)
    if efficacy_umol_j is not None:
        positive("an efficacy", "µmol/J", efficacy_umol_j)
        return Range(*(power_w * efficacy_umol_j * part for part in _STATED))
    if lamp not in EFFICACIES_UMOL_J:
        raise ValueError(f'a lamp "{lamp}"; accepted: {", ".join(EFFICACIES_UMOL_J)}')
    return Range(*(power_w * part for part in EFFICACIES_UMOL_J[lamp]))


def ppfd_under_lamp(
    power_w: float,
    length_cm: float,
    width_cm: float,
    depth_cm: float,
    *,
    height_cm: float | None = None,
    efficacy_umol_j: float | None = None,
    lamp: str = "led",
    beam_deg: float | None = None,
    lamp_cm: float | None = None,
    kd_per_m: Range = TANK_KD_PER_M,
) -> Range:
    """PPFD [µmol/m²/s] at `depth_cm` under the surface, a mean over the tank, and its 90 % range.

    Photons of the lamp times the part that enters the water, over the tank's floor, less what walls
    and water take. What is not told has its range: the lamp 0 to 30 cm over the water, 0.4 to 1 of
    the tank long. The parts' ranges are taken as independent and meet as squares of logarithms; a
    factor for the place within the tank is among them. Raises ValueError as its parts do.
    """
    positive("a tank's side", "cm", np.array([length_cm, width_cm]))
    not_negative("a depth", "cm", depth_cm)
    heights = Range(10.0, 30.0, 0.0) if height_cm is None else Range(*[height_cm] * 3)
    beams = BEAM_DEG if beam_deg is None else Range(*[beam_deg] * 3)
    lamps = Range(0.8, 0.4, 1.0) if lamp_cm is None else Range(*[lamp_cm / length_cm] * 3)

    def enters(height: float, beam: float, part: float) -> float:
        return surface_share(length_cm, width_cm, height, beam, part * length_cm)

    middle = (heights.value, beams.value, lamps.value)
    share = enters(*middle)
    tries = (
        Range(share, enters(heights.low, *middle[1:]), enters(heights.high, *middle[1:])),
        _sorted(share, [enters(middle[0], beam, middle[2]) for beam in beams]),
        _sorted(share, [enters(*middle[:2], part) for part in lamps]),
    )
    meetings = wall_meetings(length_cm, width_cm, depth_cm, beams.value)
    walls = Range(*(keeps**meetings for keeps in WALL_KEEPS))
    water = Range(*(math.exp(-kd * depth_cm * 1e-2) for kd in (kd_per_m[0], *kd_per_m[:0:-1])))
    photons = lamp_umol_s(power_w, efficacy_umol_j=efficacy_umol_j, lamp=lamp)
    area_m2 = length_cm * width_cm * 1e-4
    value = photons.value * share * walls.value * water.value / area_m2
    return _met(value, (photons, *tries, walls, water, _PLACE))


def _sorted(middle: float, values: list[float]) -> Range:
    return Range(middle, min(values), max(values))


def _met(value: float, parts: tuple[Range, ...]) -> Range:
    """Return `value` with the range that independent factors make of it."""
    if not value > 0.0:
        return Range(value, value, value)
    low = math.sqrt(sum(math.log(part.low / part.value) ** 2 for part in parts))
    high = math.sqrt(sum(math.log(part.high / part.value) ** 2 for part in parts))
    return Range(value, value * math.exp(-low), value * math.exp(high))
