"""The bubble counter: what one counted bubble carries, and the count that gives the gas."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from leafgill.advise.drawn import drawn, exactly, figure, given, range_of
from leafgill.advise.figure import Figure, Input
from leafgill.advise.gas_need import GasNeed, bubble_rate
from leafgill.advise.rig.use import Use
from leafgill.science.air import ROOM_TEMPERATURE_C
from leafgill.science.bubble_counter import bubble_co2_mg, detached_volume_ul
from leafgill.science.cited import Mark, Range, Source
from leafgill.science.compiled import FloatArray

# Openings of counters as they are built, where the tank file does not say [mm].
USUAL_TIP_MM = Range(2.5, 1.5, 4.0)
TIP = Source("openings of bubble counters as they are built", Mark.CHOICE)
_TATE = ("Tate's law with the correction of Harkins & Brown 1919 (from memory); gas by the virial "
         "equation after Span & Wagner 1996")  # fmt: skip


@dataclass(frozen=True)
class Counted:
    """`bubble` the CO2 of one counted bubble [mg]; `rate` the count that gives the gas [1/s].

    `own` is the count by the bubbles of the keeper's own counter, as the diary taught them; None
    without counts in it.
    """

    bubble: Figure
    rate: Figure
    own: Figure | None


def counted(need: GasNeed, use: Use, pressure_bar: Range) -> Counted:
    """Return what is counted when the gas a day runs; `pressure_bar` stands in the counter."""
    mg = bubble_mg(need, pressure_bar)
    rig = need.belief.tank.rig
    tip = USUAL_TIP_MM if rig.counter_tip_mm is None else exactly(rig.counter_tip_mm)
    liquid = rig.counter_liquid or "water"
    seconds = need.gas.hours * 3600.0
    rate = use.gas_g * 1e3 / mg / seconds
    bubble = figure(
        "bubble_mg",
        "CO2 in one counted bubble",
        mg,
        "mg",
        "volume that leaves the tip times the gas's density at the counter's pressure",
        (
            given("opening", tip, "mm", str(TIP) if rig.counter_tip_mm is None else "tank file"),
            Input("liquid", liquid, "", "tank file" if rig.counter_liquid else "assumed"),
            given("pressure in the counter", pressure_bar, "bar", "what the diffuser needs"),
            Input("temperature", ROOM_TEMPERATURE_C, "°C", "room"),
        ),
        _TATE,
    )
    return Counted(
        bubble,
        figure("bubbles_per_s", "Bubbles a second that give the gas", rate, "/s",
               "gas a day / CO2 in a bubble / seconds of gas",
               (given("gas a day", range_of(use.gas_g), "g/day", "computed above"),
                given("CO2 in a bubble", range_of(mg), "mg", "computed above"),
                Input("hours of gas", need.gas.hours, "h", "assumed" if need.assumed
                      else "tank file or diary")), "balance of mass"),
        _own(need),
    )  # fmt: skip


def bubble_mg(need: GasNeed, pressure_bar: Range) -> FloatArray:
    """Return the CO2 of one counted bubble [mg], [m], by tip, liquid and pressure."""
    rig, m = need.belief.tank.rig, need.belief.count
    tip = USUAL_TIP_MM if rig.counter_tip_mm is None else exactly(rig.counter_tip_mm)
    volume = detached_volume_ul(drawn(tip, m, "counter's tip"), ROOM_TEMPERATURE_C,
                                liquid=rig.counter_liquid or "water")  # fmt: skip
    # of a tip's range one draw: where between its least and its most the bubble leaves
    likely, low, high = (np.asarray(part) for part in volume)
    ends = Range(1.0, float(np.median(low / likely)), float(np.median(high / likely)))
    mg: FloatArray = np.asarray(
        bubble_co2_mg(likely * drawn(ends, m, "bubble at the tip"),
                      drawn(pressure_bar, m, "pressure in the counter"), ROOM_TEMPERATURE_C)
    )  # fmt: skip
    return mg


def _own(need: GasNeed) -> Figure | None:
    if not need.belief.problem.evidence.flow.start_s:
        return None
    mass = need.belief.problem.value(need.belief.z, "bubble_mass")
    return figure(
        "own_bubbles_per_s",
        "Bubbles a second by your own counter",
        bubble_rate(need.belief, need.flow),
        "/s",
        "flow that holds the target / what one counted bubble dissolves",
        (given("CO2 in one of your bubbles", range_of(mass), "mg", "belief of the diary"),),
        "belief of the diary",
    )
