"""A vessel in which acid drips on bicarbonate, behind a needle valve.

The reaction fills the vessel until its pressure stops the drip; the valve lets out what it is set
to. When one reagent is used up the pressure runs down and the flow with it. A shut valve keeps the
gas in, so the night costs nothing, but only because the vessel holds the pressure: everything mixed
at once in a closed vessel makes far more than any bottle holds (`closed_vessel_bar`).
"""

import numpy as np

from leafgill.science.cited import Mark, Range, Source
from leafgill.science.co2_fluid import STANDARD_BAR, saturation_pressure_bar
from leafgill.science.compiled import FloatArray, Numeric, Same, everyday
from leafgill.science.constants import CO2_G_MOL, GAS_CONSTANT_J_MOL_K, KELVIN, STANDARD_HPA
from leafgill.science.gas_course import GasCourse, given_g, spent_days, spread
from leafgill.science.gases import co2_henry_mol_l_atm
from leafgill.science.refuse import not_negative, positive
from leafgill.science.regulator import needle_flow_ratio
from leafgill.science.stoichiometry import co2_g, reaction_of

# How near a vessel comes to the equation's yield: lumps stay dry, some gas goes while it is closed.
YIELD_SHARE = Range(0.95, 0.85, 1.0)
YIELD_SOURCE = Source("", Mark.CHOICE)
_ATM_BAR = STANDARD_HPA * 1e-3
# The course ends when the flow is down to this part of its setting.
_LAST_FLOW = 0.02
_STEADY_POINTS, _FALLING_POINTS = 20, 120


@everyday
def held_g_per_bar(headspace_l: Numeric, water_l: Numeric, temperature_c: Numeric) -> Same:
    """CO2 [g] that a vessel holds for each bar of CO2: gas above the liquid and dissolved in it.

    Ideal gas, and Henry's law by Weiss 1974 (that of pure water; salt dissolves somewhat less).
    """
    gas = headspace_l * CO2_G_MOL / (GAS_CONSTANT_J_MOL_K * 1e-2 * (temperature_c + KELVIN))
    return gas + co2_henry_mol_l_atm(temperature_c) * CO2_G_MOL * water_l / _ATM_BAR


def closed_vessel_bar(
    co2_g: Numeric, headspace_l: Numeric, water_l: Numeric, temperature_c: Numeric = 25.0
) -> Same:
    """Pressure [bar, absolute] of a closed vessel in which so much CO2 was set free.

    The air that was there, and CO2 as an ideal gas beside what dissolves (which errs to the high
    side), never more than the pressure at which CO2 becomes liquid. Raises ValueError for negative
    CO2 or water and no headspace.
    """
    not_negative("CO2", "g", co2_g)
    not_negative("water", "L", water_l)
    positive("a headspace", "L", headspace_l)
    held = held_g_per_bar(headspace_l, water_l, temperature_c)
    return _with_air(co2_g, held, saturation_pressure_bar(temperature_c))


@everyday
def _with_air(co2_g: Numeric, held_g_per_bar: Numeric, most_bar: Numeric) -> Same:
    pressure = co2_g / held_g_per_bar
    # `most_bar` is NaN where CO2 cannot be liquid
    capped = np.where(np.isnan(most_bar), pressure, np.minimum(pressure, most_bar))
    return STANDARD_BAR + capped


def acid_course(
    acid_g: float,
    bicarbonate_g: float,
    *,
    g_per_day: float,
    headspace_l: float,
    water_l: float,
    gauge_bar: float = 1.5,
    back_gauge_bar: float = 0.2,
    temperature_c: float = 25.0,
    reaction: str = "citric-sodium",
) -> GasCourse:
    """Follow one filling of an acid generator whose valve is set to `g_per_day` of gas.

    Steady at `gauge_bar` while the drip goes on, then running down through the valve, a long narrow
    gap (`needle_flow_ratio`), to what stands behind it. The air is let out at the start. Days are
    days of open valve: a night shut off adds its hours. Grams by stoichiometry (`reaction`, one of
    REACTIONS with two reagents, the acid first) times the yield of practice, less what the vessel
    keeps. Raises ValueError for negative masses, no flow or headspace, a pressure that is not above
    the one behind the valve, and as `co2_g` does.
    """
    positive("a flow", "g/day", g_per_day)
    positive("a headspace", "L", headspace_l)
    not_negative("water", "L", water_l)
    not_negative("a pressure behind the valve", "bar", back_gauge_bar)
    if not gauge_bar > back_gauge_bar:
        raise ValueError(
            f"{gauge_bar:g} bar in the vessel and {back_gauge_bar:g} bar behind the valve pass no "
            "gas; accepted: more in the vessel"
        )
    held = float(held_g_per_bar(headspace_l, water_l, temperature_c))
    totals = [co2_from(acid_g, bicarbonate_g, reaction) * share for share in YIELD_SHARE]
    runs = [_run(total, held, g_per_day, gauge_bar, back_gauge_bar) for total in totals]
    kept = held * (back_gauge_bar + STANDARD_BAR)
    grams = [max(total - kept, 0.0) for total in totals]
    days = [
        spent_days(times, given_g(times, rate), most)
        for (times, rate), most in zip(runs, grams, strict=True)
    ]
    shared = np.unique(np.concatenate([times for times, _ in runs]))
    rates = [np.interp(shared, times, rate, right=0.0) for times, rate in runs]
    return GasCourse(
        "acid-bicarbonate",
        spread(grams),
        spread(days),
        shared,
        spread(rates),
        shuts_at_night=True,
    )


def co2_from(acid_g: float, bicarbonate_g: float, reaction: str = "citric-sodium") -> float:
    """CO2 [g] from so much acid and bicarbonate, the scarcer ending it.

    Raises ValueError for a reaction that is none of an acid with bicarbonate, and as `co2_g` does.
    """
    names = [name for name, _ in reaction_of(reaction).reagents]
    if len(names) != 2 or not names[1].endswith("bicarbonate"):
        raise ValueError(f"{reaction} is no reaction of an acid with bicarbonate")
    return co2_g(reaction, dict(zip(names, (acid_g, bicarbonate_g), strict=True)))


def _run(
    total_g: float, held: float, g_per_day: float, gauge_bar: float, back_gauge_bar: float
) -> tuple[FloatArray, FloatArray]:
    """Times [d] and rates [g/day] of one yield: steady, then running down."""
    full = gauge_bar + STANDARD_BAR
    start = min(full, total_g / held)
    steady_d = (total_g - held * start) / g_per_day
    behind = back_gauge_bar + STANDARD_BAR
    if start <= behind:
        return np.array([0.0]), np.array([0.0])
    # close together near the end, where the flow dies away
    above = (start - behind) * np.geomspace(1.0, 1e-3, _FALLING_POINTS)
    ratio = np.asarray(
        needle_flow_ratio(above + back_gauge_bar, gauge_bar, back_gauge_bar, passage="capillary")
    )
    slowness = held / (g_per_day * ratio)
    falling = np.cumsum(0.5 * (slowness[1:] + slowness[:-1]) * -np.diff(above))
    flows = ratio >= min(_LAST_FLOW, ratio[0])
    steady = np.linspace(0.0, steady_d, _STEADY_POINTS, endpoint=False)
    times = np.concatenate([[0.0], falling])[flows] + steady_d
    rate = g_per_day * ratio[flows]
    if steady_d <= 0.0:
        return times, rate
    return np.concatenate([steady, times]), np.concatenate([np.full(steady.size, rate[0]), rate])
