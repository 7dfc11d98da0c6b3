"""A vessel that makes gas and cannot let it out."""

from __future__ import annotations

from leafgill.advise.figure import Figure, Input
from leafgill.advise.rig.batches import ACID_G, PRACTICE, VESSEL_L, VESSEL_WATER_L
from leafgill.science.co2_fluid import STANDARD_BAR
from leafgill.science.generators import closed_vessel_bar, co2_g_per_g

# What a bottle for fizzy drinks bears, of the order of [bar] (from memory, not checked).
_BOTTLE_BEARS_BAR = 10.0
_TEMPERATURE_C = 25.0


def closed_figure() -> Figure:
    """Return the gauge pressure [bar] of a closed vessel in which one filling reacted at once."""
    gas = ACID_G * co2_g_per_g("citric-sodium", "citric acid")
    bar = closed_vessel_bar(gas, VESSEL_L - VESSEL_WATER_L, VESSEL_WATER_L, _TEMPERATURE_C)
    return Figure(
        "closed_vessel_bar",
        "Pressure of a closed vessel if a whole filling of acid reacts at once",
        float(bar) - STANDARD_BAR,
        "bar",
        "ideal gas in the headspace beside what dissolves, at most the pressure of liquid CO2",
        (
            Input("CO2 of one filling", gas, "g", "stoichiometry"),
            Input("vessel", VESSEL_L, "L", PRACTICE),
            Input("water in it", VESSEL_WATER_L, "L", PRACTICE),
        ),
        "ideal gas law; Weiss 1974",
    )


def relief_caution() -> str:
    """Return what must be known of vessels that make gas."""
    bar = closed_figure().value
    return (
        "A bottle or vessel that makes gas, with yeast or acid, must always have a way out for it "
        f"and a relief valve: a filling of {ACID_G:.0f} g of citric acid that reacts at once in a "
        f"closed vessel of {VESSEL_L:.0f} L would stand at about {bar:.0f} bar, and a bottle for "
        f"fizzy drinks bursts somewhere above {_BOTTLE_BEARS_BAR:.0f} (from memory, not checked)."
    )
