"""The figures of a pressure hold, each with what went into it."""

from __future__ import annotations

from leafgill.advise.drawn import figure, given
from leafgill.advise.figure import Figure, Input
from leafgill.advise.leak_space import GAS_SD_C, TIGHT_G_DAY, Hold, hose_of
from leafgill.science.carbonate_readings import HALF_90
from leafgill.science.compiled import FloatArray
from leafgill.science.hose import MATERIALS
from leafgill.tank.spec import Rig


def hold_figures(
    hold: Hold,
    rig: Rig,
    lost: FloatArray,
    walls: FloatArray | None,
    leak: FloatArray,
    chance: float,
) -> tuple[Figure, ...]:
    """Return the figures of a hold; `lost`, `walls` and `leak` are draws [m] in g/day."""
    inputs = (
        Input("first gauge", hold.first.gauge_bar, "bar", "given"),
        Input("at", hold.first.temperature_c, "°C", "given"),
        Input("second gauge", hold.second.gauge_bar, "bar", "given"),
        Input("at", hold.second.temperature_c, "°C", "given"),
        Input("apart", hold.hours, "h", "given"),
        given("closed volume", hold.volume_ml, "mL", hold.origin),
        Input("step of the gauge", hold.step_bar, "bar", "given or usual"),
        Input("gas against thermometer", HALF_90 * GAS_SD_C, "K", "a choice of ours"),
    )
    real_gas = "real gas: Span & Wagner 1996"
    found = [
        figure(
            "hold_lost_g_per_day", "gas that left the closed space", lost, "g/day",
            "volume · (density before - after) · 24 h / hours, at the first reading's pressure",
            inputs, f"{real_gas}; leak as slow viscous flow, p² inside less p² outside",
        )
    ]  # fmt: skip
    if walls is not None and rig.hose is not None:
        length, bore, wall = hose_of(rig)
        found.append(
            figure(
                "hold_walls_g_per_day", "of it through the hose's wall", walls, "g/day",
                "2π · length · permeability · pressure / ln(outer / inner)",
                (
                    Input("hose", rig.hose, "", "tank file"),
                    given("length", length, "m", "tank file or usual"),
                    Input("bore", bore, "mm", "tank file or usual"),
                    Input("wall", wall, "mm", "tank file or usual"),
                ),
                str(MATERIALS[rig.hose].source),
            )
        )  # fmt: skip
    allowed = Input("called tight below", TIGHT_G_DAY, "g/day", "a choice of ours")
    return (
        *found,
        figure(
            "hold_leak_g_per_day", "left for leaks", leak, "g/day",
            "gas that left, less what goes through the wall", inputs, real_gas,
        ),
        figure(
            "hold_leak_chance_percent", f"chance that more than {TIGHT_G_DAY:g} g/day leaks",
            100.0 * chance, "%", "part of the draws of all errors", (*inputs, allowed), real_gas,
        ),
    )  # fmt: skip
