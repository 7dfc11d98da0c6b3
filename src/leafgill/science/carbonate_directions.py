"""From any two of pH, alkalinity, DIC and CO2 to all four: scalar and compiled.

Where alkalinity is not given, the ionic strength hangs on the answer; it is found by repeating
(each round gains a factor of about 30, so a dozen rounds reach the last digit).
Combinations no water can have (DIC below CO2, carbonate alkalinity below zero) give NaN.
"""

import math

from leafgill.science.carbonate_kernel import (
    LN10,
    co2_mmol_l,
    conditional_constants,
    hydrogen_mmol_l,
    ionic_strength_mol_l,
)
from leafgill.science.compiled import FloatArray, compiled
from leafgill.science.constants import CO2_G_MOL

PH_ALKALINITY, PH_DIC, PH_CO2, ALKALINITY_DIC, ALKALINITY_CO2, DIC_CO2 = range(6)
_ROUNDS = 60
_SAME = 1e-14


@compiled
def hydrogen_of_ph(ph: float, gamma_h: float) -> float:
    """[H+] [mmol/L] of a pH."""
    return math.exp(LN10 * (3.0 - ph)) / gamma_h


@compiled
def carbon_of_ph(alkalinity_meq_l: float, h: float, k1: float, k2: float, kw: float) -> float:
    """CO2 [mmol/L] of the carbonate alkalinity at [H+] = h; NaN where that is below zero."""
    carbonate = alkalinity_meq_l - kw / h + h
    co2 = h * carbonate / (k1 * (1.0 + 2.0 * k2 / h))
    return co2 if co2 >= 0.0 else math.nan


@compiled
def hydrogen_of_co2(
    co2_mmol_l: float, alkalinity_meq_l: float, k1: float, k2: float, kw: float
) -> float:
    """[H+] [mmol/L] of water with this CO2 and alkalinity: the root of a cubic.

    h³ + alk h² - (k1 CO2 + kw) h - 2 k1 k2 CO2 has one sign change, so one positive root.
    """
    if not co2_mmol_l >= 0.0:
        return math.nan
    b = k1 * co2_mmol_l + kw
    c = 2.0 * k1 * k2 * co2_mmol_l
    # Without carbonate it is a quadratic; its root is below that of the cubic.
    spread = math.sqrt(alkalinity_meq_l * alkalinity_meq_l + 4.0 * b)
    if alkalinity_meq_l > 0.0:
        h = 2.0 * b / (alkalinity_meq_l + spread)
    else:
        h = 0.5 * (spread - alkalinity_meq_l)
    # The function is written as (charge missing)·(1), which rises with ln(h) everywhere.
    for _ in range(_ROUNDS):
        lost = (b + c / h) / h
        gap = h + alkalinity_meq_l - lost
        step = -gap / (h + lost + c / (h * h))
        h *= math.exp(min(max(step, -2.0), 2.0)) if not math.isnan(step) else math.nan
        if not abs(step) > 1e-8:
            break
    return h


@compiled
def _h_of_fraction(dic: float, co2: float, k1: float, k2: float) -> float:
    """[H+] at which `co2` is what CO2(aq) there is of `dic`."""
    rest = dic - co2
    if not (rest > 0.0 and co2 > 0.0):
        return math.nan
    # rest/co2 = k1/h + k1·k2/h², a quadratic in h.
    spread = math.sqrt(k1 * k1 * co2 * co2 + 4.0 * rest * co2 * k1 * k2)
    return (k1 * co2 + spread) / (2.0 * rest)


@compiled
def state(
    pair: int,
    first: float,
    second: float,
    temperature_c: float,
    gh_dgh: float,
    extra_salt_mmol_l: float,
    bicarbonate_share: float,
) -> tuple[float, float, float, float]:
    """(pH, alkalinity [meq/L], DIC [mmol/L], CO2 [mg/L]) from the two named by `pair`.

    `first` and `second` are in the order of the pair's name, in those units.
    """
    co2, dic, ph, alkalinity = math.nan, math.nan, math.nan, 0.0
    if pair in (PH_ALKALINITY, PH_DIC, PH_CO2):
        ph = first
    if pair in (ALKALINITY_DIC, ALKALINITY_CO2):
        alkalinity = first
    if pair == PH_ALKALINITY:
        alkalinity = second
    if pair in (PH_DIC, ALKALINITY_DIC):
        dic = second
    if pair == DIC_CO2:
        dic = first
    if pair in (PH_CO2, ALKALINITY_CO2, DIC_CO2):
        co2 = second / CO2_G_MOL
    known = pair in (PH_ALKALINITY, ALKALINITY_DIC, ALKALINITY_CO2)
    h, gamma_h, k1, k2 = math.nan, math.nan, math.nan, math.nan
    for _ in range(_ROUNDS):
        strength = ionic_strength_mol_l(alkalinity, gh_dgh, extra_salt_mmol_l, bicarbonate_share)
        k1, k2, kw, gamma_h = conditional_constants(temperature_c, strength, gh_dgh)
        if pair in (PH_ALKALINITY, PH_DIC, PH_CO2):
            h = hydrogen_of_ph(ph, gamma_h)
        elif pair == ALKALINITY_DIC:
            h = hydrogen_mmol_l(dic, alkalinity, k1, k2, kw, 0.0)
        elif pair == ALKALINITY_CO2:
            h = hydrogen_of_co2(co2, alkalinity, k1, k2, kw)
        else:
            h = _h_of_fraction(dic, co2, k1, k2)
        if pair == PH_ALKALINITY:
            co2 = carbon_of_ph(alkalinity, h, k1, k2, kw)
        elif pair in (PH_DIC, ALKALINITY_DIC):
            co2 = co2_mmol_l(dic, h, k1, k2)
        if known:
            break
        before = alkalinity
        alkalinity = co2 * k1 * (1.0 + 2.0 * k2 / h) / h + kw / h - h
        if not abs(alkalinity - before) > _SAME * abs(alkalinity):
            break
    if pair not in (PH_DIC, ALKALINITY_DIC, DIC_CO2):
        dic = co2 * (1.0 + k1 * (1.0 + k2 / h) / h)
    if pair not in (PH_ALKALINITY, PH_DIC, PH_CO2):
        ph = 3.0 - math.log(gamma_h * h) / LN10
    return ph, alkalinity, dic, co2 * CO2_G_MOL


@compiled
def states(
    out: FloatArray,
    pair: int,
    first: FloatArray,
    second: FloatArray,
    temperature_c: FloatArray,
    gh_dgh: FloatArray,
    extra_salt_mmol_l: FloatArray,
    bicarbonate_share: FloatArray,
) -> None:
    """Fill the four rows of `out` with `state` of flat arrays; those of size 1 serve all."""
    a, b, t = int(first.size > 1), int(second.size > 1), int(temperature_c.size > 1)
    g, s, r = int(gh_dgh.size > 1), int(extra_salt_mmol_l.size > 1), int(bicarbonate_share.size > 1)
    for i in range(out.shape[1]):
        out[0, i], out[1, i], out[2, i], out[3, i] = state(
            pair,
            first[i * a],
            second[i * b],
            temperature_c[i * t],
            gh_dgh[i * g],
            extra_salt_mmol_l[i * s],
            bicarbonate_share[i * r],
        )


@compiled
def co2_of_ph(
    out: FloatArray,
    ph: FloatArray,
    alkalinity_meq_l: FloatArray,
    temperature_c: FloatArray,
    gh_dgh: FloatArray,
    extra_salt_mmol_l: FloatArray,
    bicarbonate_share: FloatArray,
) -> None:
    """Fill `out` with CO2 [mg/L] from pH and alkalinity; arrays of size 1 serve all.

    The commonest question in bulk: constants are worked out again only when the water changes.
    """
    p, a = int(ph.size > 1), int(alkalinity_meq_l.size > 1)
    t, g = int(temperature_c.size > 1), int(gh_dgh.size > 1)
    s, r = int(extra_salt_mmol_l.size > 1), int(bicarbonate_share.size > 1)
    temperature, strength, hardness = math.nan, math.nan, math.nan
    k1, k2, kw, gamma_h = math.nan, math.nan, math.nan, math.nan
    for i in range(out.size):
        alkalinity = alkalinity_meq_l[i * a]
        now = ionic_strength_mol_l(
            alkalinity, gh_dgh[i * g], extra_salt_mmol_l[i * s], bicarbonate_share[i * r]
        )
        if now != strength or temperature_c[i * t] != temperature or gh_dgh[i * g] != hardness:
            temperature, strength, hardness = temperature_c[i * t], now, gh_dgh[i * g]
            k1, k2, kw, gamma_h = conditional_constants(temperature, strength, hardness)
        h = hydrogen_of_ph(ph[i * p], gamma_h)
        out[i] = carbon_of_ph(alkalinity, h, k1, k2, kw) * CO2_G_MOL
