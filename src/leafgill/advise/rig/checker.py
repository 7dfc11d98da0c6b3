"""The drop checker: what its 4 dKH reference shows at the target, and where it hangs."""

from __future__ import annotations

from leafgill.advise.drawn import figure
from leafgill.advise.figure import Figure, Input
from leafgill.advise.gas_need import GasNeed
from leafgill.science.cited import Range
from leafgill.science.indicator import colour, reference_ph

REFERENCE_DKH = 4.0
# A reference made up with kitchen scales and pure water is good to this part (a choice of ours).
_MIXED = 0.08


def checker(need: GasNeed) -> tuple[Figure, str]:
    """Return the pH of the reference at the target, and the colour of bromothymol blue in it.

    Carbonate equilibrium in the reference (Plummer & Busenberg 1982), which breathes the tank's
    CO2 through the air in the bell.
    """
    temperature = need.belief.tank.temperature_c
    ends = [REFERENCE_DKH * part for part in (1.0, 1.0 - _MIXED, 1.0 + _MIXED)]
    ph = Range(*(float(reference_ph(need.target_mg_l, temperature, dkh)) for dkh in ends))
    return (
        figure("checker_ph", "pH in the drop checker at the target", ph, "pH",
               "carbonate equilibrium of the reference with the water's CO2",
               (Input("target", need.target_mg_l, "mg/L", "target"),
                Input("reference", REFERENCE_DKH, "dKH", f"mixed to {_MIXED:.0%}"),
                Input("temperature", temperature, "°C", "tank file")),
               "Plummer & Busenberg 1982; Davies activities"),
        colour(ph.value),
    )  # fmt: skip
