"""How long a freshly filled, cold cylinder takes to come to the warmth of the room."""

from __future__ import annotations

import numpy as np

from leafgill.advise.drawn import drawn, figure, given
from leafgill.advise.figure import Figure, Input
from leafgill.advise.rig.sizes import Size
from leafgill.science.cited import Range
from leafgill.science.warming import (
    ALUMINIUM_KJ_KG_K,
    STEEL_KJ_KG_K,
    co2_heat_kj,
    cylinder_surface_m2,
    warming_hours,
)

# A filling leaves a cylinder cold, often with frost on it (common practice, no source) [°C].
FILLED_C = Range(-5.0, -20.0, 8.0)
# What still air and the walls give to a bare or painted cylinder [W/(m²·K)]: natural convection 3
# to 6, radiation 1 to 6 (orders of magnitude of any text on heat transfer, from memory).
EXCHANGE_W_M2_K = Range(8.0, 4.5, 12.0)
# Nearer than this the gauge is within a bar and a half of its end.
WARM_WITHIN_C = 1.0
_DRAWS = 800


def warm_up(size: Size, room_c: float) -> Figure:
    """Return the hours until a freshly filled cylinder is within a degree of the room."""
    metal = Range(0.5 * (ALUMINIUM_KJ_KG_K + STEEL_KJ_KG_K), STEEL_KJ_KG_K, ALUMINIUM_KJ_KG_K)
    start = np.minimum(drawn(FILLED_C, _DRAWS, "filled"), room_c - WARM_WITHIN_C)
    coldest = min(FILLED_C.value, room_c - 5.0)
    gas = co2_heat_kj(size.charge_kg, size.water_l, coldest, room_c) / (room_c - coldest)
    tare = drawn(size.tare_kg, _DRAWS, "tare")
    surface = cylinder_surface_m2(
        drawn(size.diameter_cm, _DRAWS, "diameter"), drawn(size.height_cm, _DRAWS, "height")
    )
    exchange = drawn(EXCHANGE_W_M2_K, _DRAWS, "exchange")
    hours = warming_hours(
        gas + tare * drawn(metal, _DRAWS, "metal"), surface, exchange, room_c - start,
        WARM_WITHIN_C,
    )  # fmt: skip
    origin = "tank file" if size.own else str(size.source)
    return figure(
        "warm_hours", "time for a freshly filled cylinder to come to the room's warmth",
        np.asarray(hours), "h",
        f"C/(h·A)·ln(gap/{WARM_WITHIN_C:g} K), one temperature throughout",
        (
            given("as filled", FILLED_C, "°C", "common practice, no source"),
            Input("room", room_c, "°C", "given or usual"),
            Input("heat of the gas", gas, "kJ/K", "Span & Wagner 1996, boiling included"),
            given("empty cylinder", size.tare_kg, "kg", origin),
            given("heat of its metal", metal, "kJ/(kg·K)", "steel to aluminium, from memory"),
            given("diameter", size.diameter_cm, "cm", origin),
            given("height", size.height_cm, "cm", origin),
            given("heat taken up", EXCHANGE_W_M2_K, "W/(m²·K)", "orders of magnitude, from memory"),
        ),
        "Newton's law of cooling (lumped capacitance)",
    )  # fmt: skip
