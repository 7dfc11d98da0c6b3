"""A bottle of sugar and yeast: how much gas, and how it rises and dies away.

Nothing shuts it: gas comes as the yeast makes it, day and night, and a closed bottle bursts.
"""

import itertools
import math

import numpy as np

from leafgill.science.cited import Mark, Range, Source
from leafgill.science.compiled import FloatArray, Numeric, Same, everyday
from leafgill.science.constants import CO2_G_MOL
from leafgill.science.gas_course import GasCourse, spent_days, spread
from leafgill.science.gases import co2_henry_mol_l_atm
from leafgill.science.refuse import inside, not_negative, positive
from leafgill.science.stoichiometry import co2_g_per_g

# How near fermentation comes to the equation's yield.
YIELD_SHARE = Range(0.92, 0.75, 0.95)
YIELD_SOURCE = Source("90 to 95 % where all sugar goes, often less", Mark.MEMORY)
# Alcohol at which bread and wine yeasts stop [% by volume].
ALCOHOL_PERCENT = Range(12.0, 10.0, 14.0)
ALCOHOL_SOURCE = Source("yeast stops near 10 to 14 % alcohol", Mark.MEMORY)
LAG_DAYS = Range(0.5, 0.2, 1.5)
# At 25 °C, from the start until the bottle is spent.
LIFE_DAYS = Range(19.0, 12.0, 28.0)
COURSE_SOURCE = Source("the rate falls over two to four weeks", Mark.PRACTICE)
# Fermentation about doubles with 10 K between 15 and 32 °C; cited from memory.
_PER_10_K = 2.0
_WARMTH_C = (10.0, 35.0)
_ETHANOL_KG_L = 0.789
_ETHANOL_G_PER_G_CO2 = 46.069 / 44.009
_POINTS = 241


@everyday
def fermented_share(days: Numeric, lag_days: Numeric, life_days: Numeric) -> Same:
    """Part of the gas that has come after so many days [1], from 0 to 1.

    Modified Gompertz curve, exp(-exp(e·r·(lag - t) + 1)), begun at 0 (Zwietering et al. 1990, Appl.
    Environ. Microbiol. 56, 1875-1881, cited from memory); r such that 95 % is reached at about
    `life_days`, which must be more than `lag_days`.
    """
    steepness = _REACH / (life_days - lag_days)
    before = np.exp(-np.exp(1.0 + steepness * lag_days))
    curve = np.exp(-np.exp(1.0 + steepness * (lag_days - days)))
    return (curve - before) / (1.0 - before)


@everyday
def fermentation_rate_per_day(days: Numeric, lag_days: Numeric, life_days: Numeric) -> Same:
    """Part of the gas that comes in a day [1/day]: the slope of `fermented_share`."""
    steepness = _REACH / (life_days - lag_days)
    before = np.exp(-np.exp(1.0 + steepness * lag_days))
    still = np.exp(1.0 + steepness * (lag_days - days))
    return steepness * still * np.exp(-still) / (1.0 - before)


# 1 - ln(-ln 0.95): where the curve stands at 95 %.
_REACH = 1.0 - math.log(-math.log(0.95))


def yeast_grams(
    sugar_g: float, water_l: float, temperature_c: float = 25.0, *, sugar: str = "sucrose"
) -> Range:
    """CO2 [g] that leaves a bottle of this much sugar and water, with its 90 % range.

    Stoichiometry (`sugar` "sucrose" or "glucose") times the yield of practice, at most what the
    yeast's alcohol allows, less what stays dissolved in the liquid (Weiss 1974). Raises ValueError
    for negative sugar, no water, or a temperature outside 10 to 35 °C.
    """
    not_negative("sugar", "g", sugar_g)
    positive("water", "L", water_l)
    inside("a temperature", "°C", temperature_c, *_WARMTH_C)
    theory = co2_g_per_g(sugar, sugar) * sugar_g
    kept = float(co2_henry_mol_l_atm(temperature_c)) * CO2_G_MOL * water_l

    def leaves(yield_share: float, percent: float) -> float:
        allowed = percent * 10.0 * _ETHANOL_KG_L * water_l / _ETHANOL_G_PER_G_CO2
        return max(min(theory * yield_share, allowed) - kept, 0.0)

    return Range(*(leaves(*pair) for pair in zip(YIELD_SHARE, ALCOHOL_PERCENT, strict=True)))


def yeast_course(
    sugar_g: float, water_l: float, temperature_c: float = 25.0, *, sugar: str = "sucrose"
) -> GasCourse:
    """Follow a bottle of sugar, water and yeast through its life, at a steady temperature.

    `grams` by `yeast_grams`; the rate rises within days and dies away over two to four weeks
    (common practice, no source) along `fermented_share`, faster when warm. Raises ValueError as
    `yeast_grams` does.
    """
    grams = yeast_grams(sugar_g, water_l, temperature_c, sugar=sugar)
    slower = _PER_10_K ** ((25.0 - temperature_c) / 10.0)
    times = np.linspace(0.0, 1.25 * LIFE_DAYS.high * slower, _POINTS)
    rates: list[FloatArray] = []
    days: list[float] = []
    corners = itertools.product(LAG_DAYS, LIFE_DAYS, (grams.value, grams.low, grams.high))
    for lag, life, total in corners:
        pace = (lag * slower, life * slower)
        share = np.asarray(fermented_share(times, *pace))
        rates.append(total * np.asarray(fermentation_rate_per_day(times, *pace)))
        days.append(spent_days(times, share, 1.0))
    return GasCourse("yeast", grams, spread(days), times, spread(rates), shuts_at_night=False)
