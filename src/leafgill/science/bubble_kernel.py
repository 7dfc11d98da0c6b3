"""How fast a bubble rises and how fast gas crosses its face: scalar and compiled.

Rise: Clift, Grace & Weber 1978, Bubbles, Drops and Particles, by shape: rigid sphere (eq. 5-15 and
after), ellipsoid in contaminated (eq. 7-4 to 7-7) and in pure liquid (fig. 7.7, eq. 7-10),
spherical cap (Davies & Taylor 1950, cited from memory, not checked against the paper). Transfer:
rigid face by the same book (eq. 3-49, 5-25, Table 5.4), mobile face by Johnson et al. 1969, Can.
J. Chem. Eng. 47, 559, eq. 42. The equations were compared with public code that cites these, and
with its worked values, not with the book.

SI units throughout. `clean` False: a face stiff with organic matter, as in a planted tank; True:
a mobile face, as in pure water.
"""

import math

from leafgill.science.compiled import compiled

GRAVITY_M_S2 = 9.81
# Viscosity of water that the shape correlation is scaled with (Clift et al. 1978, eq. 7-4).
_WATER_PA_S = 0.0009
LN10 = math.log(10.0)
# Ends of the regimes: H below which a bubble is a sphere, Eötvös number from which it is a cap.
_ELLIPSOID_FROM, _CAP_FROM = 2.0, 40.0
# The book changes from one curve to the next at H = 59.3 and at Reynolds numbers of 100 and 2000,
# where the curves are a thousandth apart; here it is done where they meet, lest a bubble that
# dissolves as fast as it swells hang between two laws.
_SHAPE_CHANGES = (3.42 / 0.94) ** (1.0 / (0.757 - 0.441))
_SLOW_UP_TO = (1.0 / 0.724) ** (1.0 / (0.48 - 0.41))
_FAST_FROM = (0.724 / 0.425) ** (1.0 / (0.55 - 0.48))
# A clean bubble of air peaks near 0.35 m/s at 1.8 mm (Duineveld 1995, J. Fluid Mech. 292, 325-332,
# cited from memory, not checked against the paper). The correlation's factor for pure liquids
# overshoots that around 1.5 mm in water, whose Morton number is low; see `rise`.
CLEAN_LIMIT_M_S = 0.36


@compiled
def rigid_sphere_re(best: float) -> float:
    """Reynolds number of a rigid sphere from its Best number 4ρΔρgd³/(3µ²), up to 1.55e7.

    Clift, Grace & Weber 1978, eq. 5-15 and after.
    """
    if best <= 73.0:
        return best / 24.0 + best * best * (-1.7569e-4 + best * (6.9252e-7 - 2.3027e-10 * best))
    w = math.log10(best)
    if best <= 580.0:
        log_re = -1.7095 + w * (1.33438 - 0.11591 * w)
    else:
        log_re = -1.81391 + w * (1.34671 + w * (-0.12427 + 0.006344 * w))
    return math.exp(LN10 * log_re)


@compiled
def pure_liquid_factor(eotvos: float, viscosity_ratio: float) -> float:
    """By how much an ellipsoid in pure liquid rises faster than in a contaminated one.

    1 + Γ/(1 + κ), κ the viscosity of the gas over that of the liquid: Clift, Grace & Weber 1978,
    eq. 7-10 with the curve of fig. 7.7.
    """
    kappa = viscosity_ratio
    xi = eotvos * (1.0 + 0.15 * kappa) / (1.0 + kappa)
    log_xi = math.log10(xi)
    off_peak = (log_xi + 0.6383) / (0.2598 + 0.2 * (log_xi + 1.0))
    gamma = 2.0 * math.exp(-off_peak * off_peak)
    return 1.0 + gamma / (1.0 + kappa)


@compiled
def correlated_rise(
    diameter_m: float,
    density: float,
    viscosity: float,
    tension: float,
    gas_density: float,
    gas_viscosity: float,
    clean: bool,
) -> float:
    """Terminal rise velocity [m/s] as the correlations of Clift et al. 1978 give it."""
    d = diameter_m
    lift = GRAVITY_M_S2 * (density - gas_density)
    eotvos = lift * d * d / tension
    # Morton number to the power -0.149, which the shape correlation takes twice.
    cubed = density * tension
    morton = lift * density * viscosity**4 / (cubed * cubed * cubed)
    scale: float = morton**-0.149
    h: float = 4.0 / 3.0 * eotvos * scale * (viscosity / _WATER_PA_S) ** -0.14
    if h < _ELLIPSOID_FROM:
        best = 4.0 * density * lift * d * d * d / (3.0 * viscosity * viscosity)
        return rigid_sphere_re(best) * viscosity / (density * d)
    if eotvos < _CAP_FROM:
        j: float = 0.94 * h**0.757 if h <= _SHAPE_CHANGES else 3.42 * h**0.441
        rise = scale * (j - 0.857) * viscosity / (density * d)
        return rise * pure_liquid_factor(eotvos, gas_viscosity / viscosity) if clean else rise
    return 0.711 * math.sqrt(lift * d / density)


@compiled
def rise(
    diameter_m: float,
    density: float,
    viscosity: float,
    tension: float,
    gas_density: float,
    gas_viscosity: float,
    clean: bool,
) -> float:
    """Return the same, an ellipsoid in pure water held to what such bubbles were seen to reach."""
    speed = correlated_rise(
        diameter_m, density, viscosity, tension, gas_density, gas_viscosity, clean
    )
    overshoots = clean and speed > CLEAN_LIMIT_M_S
    if overshoots and GRAVITY_M_S2 * density * diameter_m**2 < _CAP_FROM * tension:
        return CLEAN_LIMIT_M_S
    return speed


@compiled
def rigid_sherwood(reynolds: float, peclet: float, schmidt_third: float) -> float:
    """Sherwood number of a rigid sphere; `schmidt_third` is the Schmidt number to the third root.

    Clift, Grace & Weber 1978, eq. 3-49 (Re < 1), eq. 5-25 and Table 5.4.
    """
    if reynolds < 1.0:
        return 1.0 + math.pow(1.0 + peclet, 1.0 / 3.0)
    if reynolds < _SLOW_UP_TO:
        slow = math.pow(1.0 + 1.0 / peclet, 1.0 / 3.0)
        return 1.0 + slow * math.pow(reynolds, 0.41) * schmidt_third
    if reynolds < _FAST_FROM:
        return 1.0 + 0.724 * math.pow(reynolds, 0.48) * schmidt_third
    return 1.0 + 0.425 * math.pow(reynolds, 0.55) * schmidt_third


@compiled
def rigid_transfer(
    diameter_m: float, speed_m_s: float, density: float, viscosity: float, diffusivity: float
) -> float:
    """Transfer velocity [m/s] across a rigid face."""
    reynolds = density * speed_m_s * diameter_m / viscosity
    schmidt_third = math.pow(viscosity / (density * diffusivity), 1.0 / 3.0)
    peclet = speed_m_s * diameter_m / diffusivity
    return rigid_sherwood(reynolds, peclet, schmidt_third) * diffusivity / diameter_m


@compiled
def mobile_transfer(diameter_m: float, speed_m_s: float, diffusivity: float) -> float:
    """Transfer velocity [m/s] across a mobile face (Johnson et al. 1969, eq. 42).

    There 1.13·√(D·u/(0.45 + 0.2 d)), all in centimetres and seconds.
    """
    return 1.13e-2 * math.sqrt(diffusivity * speed_m_s * 1e6 / (0.45 + 20.0 * diameter_m))


@compiled
def transfer(
    diameter_m: float,
    speed_m_s: float,
    density: float,
    viscosity: float,
    diffusivity: float,
    clean: bool,
) -> float:
    """Transfer velocity [m/s]: rigid, or on a clean bubble the larger of mobile and rigid."""
    rigid = rigid_transfer(diameter_m, speed_m_s, density, viscosity, diffusivity)
    return max(rigid, mobile_transfer(diameter_m, speed_m_s, diffusivity)) if clean else rigid
