"""What a diffuser's cloud of bubbles dissolves: many sizes at once.

Bubble sizes are taken as log-normal, and each size counts by the gas it carries, which is its
volume. Bubbles are taken to live each for itself in the tank's mean water (`bubble_life`).
"""

from functools import cache

import numpy as np
from scipy.special import ndtri

from leafgill.science.bubble_life import dissolved_share
from leafgill.science.compiled import FloatArray, Numeric, Same
from leafgill.science.constants import STANDARD_HPA
from leafgill.science.refuse import not_negative

# Sizes that stand for a cloud. The share has kinks (where a regime of rise ends, where a bubble
# dissolves whole), on which quadrature in the quantiles gains faster than Gauss-Hermite in ln(d);
# with these it is within 0.0005 of the limit for clouds that a tank sees.
NODES = 24


@cache
def _quantiles(nodes: int) -> tuple[FloatArray, FloatArray]:
    """Standard normal places at Gauss-Legendre quantiles, and weights that sum to 1."""
    roots, weights = np.polynomial.legendre.leggauss(nodes)
    return ndtri(0.5 * (roots + 1.0)), 0.5 * weights


def volume_median_mm(number_median_mm: Numeric, spread: Numeric) -> Same:
    """Median diameter by volume [mm] of log-normal bubbles from their median by number.

    d·exp(3·spread²), `spread` the standard deviation of ln(diameter) (Hatch & Choate 1929, J.
    Franklin Inst. 207, 369-387, cited from memory, not checked against the paper). The few large
    bubbles carry most of the gas.
    """
    answer = np.asarray(number_median_mm) * np.exp(3.0 * np.square(spread))
    return answer if np.ndim(answer) else float(answer)


def plume_share(
    median_diameter_mm: Numeric,
    spread: Numeric,
    depth_m: Numeric,
    temperature_c: Numeric,
    *,
    co2_mg_l: Numeric = 0.0,
    surface: str = "dirty",
    hold_s: Numeric = 0.0,
    pressure_hpa: Numeric = STANDARD_HPA,
    nodes: int = NODES,
) -> Same:
    """Part of a cloud's CO2 that dissolves before the surface, 0 to 1.

    `median_diameter_mm` is by volume: half of the gas is in smaller bubbles (`volume_median_mm`
    makes it of a median by number). `spread` is the standard deviation of ln(diameter), 0 for
    bubbles all alike. The rest as in `dissolved_share`; numbers or arrays, which broadcast. By
    Gauss-Legendre quadrature over the quantiles of the gas. Raises ValueError as `dissolved_share`
    does, for a spread below 0, and for fewer than one node.
    """
    if nodes < 1:
        raise ValueError(f"a cloud is made of one size at least, got {nodes}")
    not_negative("spread", "", spread)
    places, weights = _quantiles(nodes)

    def column(value: Numeric) -> FloatArray:
        return np.asarray(value, dtype=np.float64)[..., np.newaxis]

    sizes = column(median_diameter_mm) * np.exp(column(spread) * places)
    each = dissolved_share(
        sizes,
        column(depth_m),
        column(temperature_c),
        co2_mg_l=column(co2_mg_l),
        surface=surface,
        hold_s=column(hold_s),
        pressure_hpa=column(pressure_hpa),
    )
    answer = each @ weights
    return answer if np.ndim(answer) else float(answer)
