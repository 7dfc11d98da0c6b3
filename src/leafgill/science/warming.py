"""A cold cylinder in a warm room: the heat it takes up, and how long that lasts."""

import math

import numpy as np

from leafgill.science.compiled import Numeric, Same, everyday
from leafgill.science.constants import KELVIN

# Specific heat of the metals cylinders are made of [kJ/(kg·K)] (handbook values, from memory).
ALUMINIUM_KJ_KG_K, STEEL_KJ_KG_K = 0.90, 0.49


@everyday
def warming_hours(
    heat_kj_k: Numeric, surface_m2: Numeric, exchange_w_m2_k: Numeric, gap_k: Numeric,
    rest_k: Numeric,
) -> Same:  # fmt: skip
    """Hours until a body that is `gap_k` colder than the room is only `rest_k` colder.

    Newton's law of cooling with one temperature throughout: t = C/(h·A)·ln(gap/rest). `heat_kj_k`
    is the body's heat capacity C, `exchange_w_m2_k` what a square metre takes up from still air
    and from the walls around it. 0 where the gap is not larger than the rest. Any text on heat
    transfer (lumped capacitance); for a cylinder the metal conducts far better than the air gives
    (Biot number below 0.01), and boiling liquid keeps the inside of one temperature.
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        seconds = heat_kj_k * 1e3 / (exchange_w_m2_k * surface_m2) * np.log(gap_k / rest_k)
    return np.where(gap_k > rest_k, seconds / 3600.0, 0.0)


@everyday
def cylinder_surface_m2(diameter_cm: Numeric, height_cm: Numeric) -> Same:
    """Surface [m²] of an upright cylinder that gives and takes heat: its side and its top."""
    d, h = diameter_cm * 1e-2, height_cm * 1e-2
    return math.pi * d * h + 0.25 * math.pi * d * d


def co2_heat_kj(mass_kg: float, water_capacity_l: float, from_c: float, to_c: float) -> float:
    """Heat [kJ] that CO2 in a closed cylinder takes up between two temperatures.

    Difference of internal energy at one mean density, boiling included: Span & Wagner 1996 by
    CoolProp. Raises ValueError for a mass or capacity of 0 or less, and outside -56 to 150 °C.
    """
    if not (mass_kg > 0.0 and water_capacity_l > 0.0):
        raise ValueError(
            f"{mass_kg:g} kg in {water_capacity_l:g} L; accepted: more than 0 of either"
        )
    for t in (from_c, to_c):
        if not -56.0 <= t <= 150.0:
            raise ValueError(f"CO2 at {t:g} °C; accepted: -56 to 150 °C")
    from CoolProp.CoolProp import PropsSI

    density = mass_kg / water_capacity_l * 1e3
    before, after = (
        float(PropsSI("UMASS", "D", density, "T", t + KELVIN, "CarbonDioxide"))
        for t in (from_c, to_c)
    )
    return mass_kg * (after - before) * 1e-3
