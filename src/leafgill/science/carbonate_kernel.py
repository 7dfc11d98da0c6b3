"""The carbonate system of fresh water, scalar and compiled.

Everything is in mmol/L, with molal taken as molar (0.2 to 0.4 % apart at 20 to 28 °C, the same
in every term). Constants: Plummer & Busenberg 1982, Geochim. Cosmochim. Acta 46, 1011-1040;
activity coefficients by Davies (Davies 1962, cited from memory, not checked against the book).
"Conditional" constants are those of concentrations: activity coefficients and the pairing of
HCO3- and CO3-- with calcium and magnesium are folded in, so that with h = [H+]

    CO2 = h · HCO3 / k1,   CO3 = k2 · HCO3 / h,   OH = kw / h,   pH = -log10(gamma_h · h · 1e-3)

where HCO3 and CO3 count free ions and pairs together. `carbonate` is the public face.
"""

import math

from leafgill.science.compiled import compiled
from leafgill.science.constants import DGH_MMOL_L, KELVIN

LN10 = math.log(10.0)
# Hardness is taken as calcium and magnesium 3 : 1 in moles, the usual proportion of waters.
CALCIUM_SHARE = 0.75
# Concentration constants [L/mmol] of the pairs of Ca and Mg with HCO3- and SO4-- near 25 °C and
# I = 0.008 (from phreeqc.dat): good enough for how far pairs lower the ionic strength.
_HCO3_PAIRING = 0.0085
_SULFATE_PAIRING = 0.090
# A change in ln(h) below this leaves, Newton being quadratic, an error well under 1e-12.
_LAST_STEP = 5e-7
_NEWTON_STEPS = 25
_ALL_STEPS = 120


@compiled
def ionic_strength_mol_l(
    alkalinity_meq_l: float,
    gh_dgh: float,
    extra_salt_mmol_l: float,
    bicarbonate_share: float = 0.0,
) -> float:
    """Ionic strength [mol/L] of a water of given alkalinity, hardness and added neutral salt.

    `bicarbonate_share` 0 takes the alkalinity as NaHCO3 and the hardness as chloride (Ca) and
    sulfate (Mg), as in remineralised water; 1 takes as much of the hardness as there is
    alkalinity for to be Ca(HCO3)2 and Mg(HCO3)2, as in limestone water. `extra_salt_mmol_l` is
    a 1:1 salt such as NaCl.
    """
    alkalinity = 0.0 if alkalinity_meq_l < 0.0 else alkalinity_meq_l
    hardness = gh_dgh * DGH_MMOL_L
    shared_meq = bicarbonate_share * 2.0 * hardness
    if shared_meq > alkalinity:
        shared_meq = alkalinity
    # Half the sum of c·z²: sodium and bicarbonate; Ca, Mg (z² = 4) with Cl, SO4; each meq of
    # hardness that is bicarbonate takes away one of sodium and 1.25 of chloride and sulfate.
    salts = alkalinity + 3.25 * hardness - 1.125 * shared_meq + extra_salt_mmol_l
    # Pairs take ions out: MHCO3+ for M++ and HCO3- is 2 less, MSO4 for M++ and SO4-- is 4 less.
    paired = _HCO3_PAIRING * hardness
    hco3_pairs = alkalinity * paired / (1.0 + paired)
    sulfate = (1.0 - CALCIUM_SHARE) * (hardness - 0.5 * shared_meq)
    bound = _SULFATE_PAIRING * hardness
    sulfate_pairs = sulfate * bound / (1.0 + bound)
    return (salts - 2.0 * hco3_pairs - 4.0 * sulfate_pairs) * 1e-3


@compiled
def debye_hueckel_a(temperature_c: float) -> float:
    """Debye-Hückel slope A [(kg/mol)^½, log10] of water.

    Cubic fitted, within 3e-6 over 0-40 °C, to A = 1.82483e6·√ρ/(εT)^1.5 with the dielectric
    constant of Malmberg & Maryott 1956 (cited from memory, not checked against the paper).
    """
    t = temperature_c
    return 0.491803706 + t * (6.78197748e-4 + t * (3.15609446e-6 + t * 4.88055476e-9))


@compiled
def log_k1(temperature_k: float, log_t: float) -> float:
    """log10 of the first dissociation constant of CO2(aq) (Plummer & Busenberg 1982)."""
    t = temperature_k
    return -356.3094 - 0.06091964 * t + (21834.37 - 1684915.0 / t) / t + 126.8339 * log_t


@compiled
def log_k2(temperature_k: float, log_t: float) -> float:
    """log10 of the second dissociation constant (Plummer & Busenberg 1982)."""
    t = temperature_k
    return -107.8871 - 0.03252849 * t + (5151.79 - 563713.9 / t) / t + 38.92561 * log_t


@compiled
def log_kw(temperature_k: float, log_t: float) -> float:
    """log10 of the ion product of water (expression of phreeqc.dat, USGS)."""
    t = temperature_k
    return 293.29227 + t * (0.1360833 - 6.996455e-5 * t) - 10576.913 / t - 123.73158 * log_t


@compiled
def pairing_factors(
    temperature_k: float, log_t: float, gamma_1: float, gh_dgh: float
) -> tuple[float, float]:
    """Factors by which hardness raises HCO3 and CO3 in all over their free ions.

    Ca: Plummer & Busenberg 1982; Mg: phreeqc.dat (USGS). All calcium and magnesium is taken as
    free, though sulfate and bicarbonate bind some of it. With GH up to 15, CO2 is then off from
    PHREEQC's by at most 0.5 % up to pH 7.5 and 0.7 % at pH 8.
    """
    t = temperature_k
    ca_hco3 = 1209.120 + 0.31294 * t - 34765.05 / t - 478.782 * log_t
    mg_hco3 = -59.215 + 2537.455 / t + 20.92298 * log_t
    ca_co3 = -1228.732 - 0.299440 * t + 35512.75 / t + 485.818 * log_t
    mg_co3 = 0.9910 + 0.00667 * t
    ca = CALCIUM_SHARE * gh_dgh * DGH_MMOL_L * 1e-3
    mg = (1.0 - CALCIUM_SHARE) * gh_dgh * DGH_MMOL_L * 1e-3
    # M++ + HCO3- -> MHCO3+ gains gamma_2 = gamma_1^4; M++ + CO3-- -> MCO3 gains gamma_2².
    gamma_2 = gamma_1 * gamma_1 * gamma_1 * gamma_1
    on_hco3 = ca * math.exp(LN10 * ca_hco3) + mg * math.exp(LN10 * mg_hco3)
    on_co3 = ca * math.exp(LN10 * ca_co3) + mg * math.exp(LN10 * mg_co3)
    return 1.0 + gamma_2 * on_hco3, 1.0 + gamma_2 * gamma_2 * on_co3


@compiled
def conditional_constants(
    temperature_c: float, ionic_strength_mol_l: float, gh_dgh: float
) -> tuple[float, float, float, float]:
    """(k1 [mmol/L], k2 [mmol/L], kw [(mmol/L)²], gamma_h) of concentrations; see the module."""
    t = temperature_c + KELVIN
    log_t = math.log(t) / LN10
    root = math.sqrt(ionic_strength_mol_l)
    davies = root / (1.0 + root) - 0.3 * ionic_strength_mol_l
    log_gamma = -debye_hueckel_a(temperature_c) * davies
    log_gamma_co2 = 0.1 * ionic_strength_mol_l
    gamma_1 = math.exp(LN10 * log_gamma)
    k1 = math.exp(LN10 * (log_k1(t, log_t) - 2.0 * log_gamma + log_gamma_co2 + 3.0))
    k2 = math.exp(LN10 * (log_k2(t, log_t) - 4.0 * log_gamma + 3.0))
    kw = math.exp(LN10 * (log_kw(t, log_t) - 2.0 * log_gamma + 6.0))
    if gh_dgh != 0.0:
        on_hco3, on_co3 = pairing_factors(t, log_t, gamma_1, gh_dgh)
        k1 *= on_hco3
        k2 *= on_co3 / on_hco3
    return k1, k2, kw, gamma_1


@compiled
def _water_root(excess: float, kw: float) -> float:
    """Return the h at which kw/h - h equals `excess`, free of cancellation."""
    spread = math.sqrt(excess * excess + 4.0 * kw)
    return 2.0 * kw / (excess + spread) if excess > 0.0 else 0.5 * (spread - excess)


@compiled
def _first_guess(dic: float, alkalinity: float, k1: float, low: float, high: float) -> float:
    """Return an h inside [low, high]: bicarbonate alone carries the alkalinity, if it can."""
    free = dic - alkalinity
    guess = k1 * free / alkalinity if alkalinity > 0.0 else high
    return guess if low < guess < high else math.sqrt(low * high)


@compiled
def hydrogen_mmol_l(
    dic_mmol_l: float,
    alkalinity_meq_l: float,
    k1: float,
    k2: float,
    kw: float,
    h_guess: float,
) -> float:
    """[H+] [mmol/L] of water with this DIC and alkalinity, to 1e-12 relative.

    Newton's method in ln(h), started at `h_guess` (any number; the last step's h makes it one to
    three iterations) and held between bounds that cannot be wrong: alkalinity of carbonate lies
    between 0 and 2 DIC. Falls back to bisection. NaN for a NaN or a negative DIC.
    """
    dic = dic_mmol_l
    if not dic >= 0.0:
        return math.nan
    low = _water_root(alkalinity_meq_l, kw)
    high = _water_root(alkalinity_meq_l - 2.0 * dic, kw)
    h = h_guess
    if not (low < h < high):
        h = _first_guess(dic, alkalinity_meq_l, k1, low, high)
    k12 = k1 * k2
    for step_number in range(_ALL_STEPS):
        below = h * h + k1 * h + k12
        share = k1 * h / below
        water = kw / h
        excess = dic * (share + 2.0 * k12 / below) + water - h - alkalinity_meq_l
        if excess > 0.0:
            low = h
        else:
            high = h
        slope = dic * share * (h * h + 4.0 * k2 * h + k12) / below + water + h
        step = excess / slope
        # (1 + s/2) / (1 - s/2) is exp(s) to third order, which is all that Newton can use.
        trial = h * (1.0 + 0.5 * step) / (1.0 - 0.5 * step) if abs(step) < 1.0 else math.nan
        if abs(step) < _LAST_STEP or math.isnan(step):
            return trial
        newton = step_number < _NEWTON_STEPS and low < trial < high
        h = trial if newton else math.sqrt(low * high)
    return h


@compiled
def co2_mmol_l(dic_mmol_l: float, h: float, k1: float, k2: float) -> float:
    """CO2(aq) [mmol/L] of the dissolved inorganic carbon at [H+] = h [mmol/L]."""
    return dic_mmol_l / (1.0 + (k1 + k1 * k2 / h) / h)


@compiled
def dco2_ddic(h: float, k1: float, k2: float, kw: float, dic_mmol_l: float) -> float:
    """d[CO2]/d[DIC] at constant alkalinity: how much of added carbon stays CO2."""
    dic = dic_mmol_l
    k12 = k1 * k2
    below = h * h + k1 * h + k12
    hco3, co3 = k1 * h / below, k12 / below
    # Alkalinity is held: h moves by dh = h·(hco3 + 2 co3)/slope for each unit of carbon.
    slope = dic * hco3 * (h * h + 4.0 * k2 * h + k12) / below + kw / h + h
    move = (hco3 + 2.0 * co3) / slope
    return h * h / below * (1.0 + dic * (hco3 + 2.0 * co3) * move)
