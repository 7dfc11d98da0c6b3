"""The carbonate system beside a weak acid that titrates as alkalinity, scalar and compiled.

A KH kit counts every base down to pH 4.5: humic and other organic acids, phosphate, borate. What
such an acid holds of the alkalinity, acid·ka/(ka + h), grows with pH, so the carbonate part is
smaller than the kit's figure and shrinks as CO2 leaves. Symbols and units as in
`carbonate_kernel`; `acid_meq_l` is the acid's total, `ka` its constant of concentrations
[mmol/L]. With `acid_meq_l` 0 these are the functions of that module.
"""

import math

from leafgill.science.compiled import compiled

_STEPS = 40
# Newton is quadratic: after a step below this, ln(h) is right to about its square.
_LAST_STEP = 3e-5


@compiled
def held_meq_l(h: float, acid_meq_l: float, ka: float) -> float:
    """Alkalinity the weak acid holds at [H+] = h [mmol/L], in meq/L."""
    return acid_meq_l * ka / (ka + h)


@compiled
def hydrogen_beside_acid(
    dic_mmol_l: float,
    alkalinity_meq_l: float,
    k1: float,
    k2: float,
    kw: float,
    acid_meq_l: float,
    ka: float,
    h_guess: float,
) -> float:
    """[H+] [mmol/L] of water with this DIC and total alkalinity, by Newton in ln(h).

    The balance falls steadily with ln(h), so steps held to ±2 come to its one root from anywhere.
    NaN for NaN or a negative DIC.
    """
    if not dic_mmol_l >= 0.0:
        return math.nan
    h = h_guess if h_guess > 0.0 else 1e-4
    k12 = k1 * k2
    for _ in range(_STEPS):
        below = h * h + k1 * h + k12
        share = k1 * h / below
        water = kw / h
        held = acid_meq_l * ka / (ka + h)
        excess = dic_mmol_l * (share + 2.0 * k12 / below) + water - h + held - alkalinity_meq_l
        slope = dic_mmol_l * share * (h * h + 4.0 * k2 * h + k12) / below + water + h
        slope += held * h / (ka + h)
        step = excess / slope
        if abs(step) < 0.2:
            # (1 + s/2)/(1 - s/2) is exp(s) to third order, which is all that Newton can use.
            h *= (1.0 + 0.5 * step) / (1.0 - 0.5 * step)
        else:
            h *= math.exp(min(max(step, -2.0), 2.0))
        if not abs(step) > _LAST_STEP:
            break
    return h


@compiled
def dco2_ddic_beside_acid(
    h: float, k1: float, k2: float, kw: float, dic_mmol_l: float, acid_meq_l: float, ka: float
) -> float:
    """d[CO2]/d[DIC] at constant total alkalinity: how much of added carbon stays CO2."""
    k12 = k1 * k2
    below = h * h + k1 * h + k12
    hco3, co3 = k1 * h / below, k12 / below
    slope = dic_mmol_l * hco3 * (h * h + 4.0 * k2 * h + k12) / below + kw / h + h
    slope += acid_meq_l * ka * h / ((ka + h) * (ka + h))
    move = (hco3 + 2.0 * co3) / slope
    return h * h / below * (1.0 + dic_mmol_l * (hco3 + 2.0 * co3) * move)


@compiled
def hydrogen_of_co2_beside_acid(
    co2_mmol_l: float,
    alkalinity_meq_l: float,
    k1: float,
    k2: float,
    kw: float,
    acid_meq_l: float,
    ka: float,
) -> float:
    """[H+] [mmol/L] of water with this CO2 [mmol/L] and total alkalinity [meq/L]."""
    if not co2_mmol_l >= 0.0:
        return math.nan
    b = k1 * co2_mmol_l + kw
    c = 2.0 * k1 * k2 * co2_mmol_l
    h = b / alkalinity_meq_l if alkalinity_meq_l > 0.0 else math.sqrt(b)
    for _ in range(_STEPS):
        held = acid_meq_l * ka / (ka + h)
        gap = (b + c / h) / h - h + held - alkalinity_meq_l
        slope = (b + 2.0 * c / h) / h + h + held * h / (ka + h)
        step = min(max(gap / slope, -2.0), 2.0)
        h *= math.exp(step)
        if not abs(step) > _LAST_STEP:
            break
    return h
