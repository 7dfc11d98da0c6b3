"""The gas that leaves the source a day: what the water needs, what bubbles waste, what leaks."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from leafgill.advise.drawn import drawn, exactly, figure, given, range_of
from leafgill.advise.figure import Figure, Input
from leafgill.advise.gas_need import GasNeed
from leafgill.advise.rig.diffuse import Way
from leafgill.science.cited import Mark, Range, Source
from leafgill.science.compiled import FloatArray
from leafgill.science.hose import MATERIALS, permeation_g_per_day

# Where the tank file is silent (common practice, no source).
USUAL_HOSE = "polyurethane"
USUAL_LENGTH_M, USUAL_BORE_MM, USUAL_WALL_MM = 1.5, 4.0, 1.0
COMPARED_HOSES = ("silicone", "pvc", "polyurethane", "polyethylene")
PRACTICE = str(Source("", Mark.PRACTICE))


@dataclass(frozen=True)
class Use:
    """What leaves the source a day [g], [m] draws, and the figures it is made of."""

    gas_g: FloatArray
    share: FloatArray
    gas: Figure
    given: Figure
    dissolved: Figure
    lost: Figure
    hose: Figure
    hose_share: Figure
    hoses: tuple[Figure, ...]


def use_of(need: GasNeed, way: Way) -> Use:
    """Return the gas a day for a way of bringing it in.

    Where a diary is known and the way is the tank's own, what dissolves is what the belief says;
    otherwise it is what the plume's bubbles say.
    """
    tank = need.belief.tank
    own = need.learnt and way.kind == tank.rig.diffuser and way.count == tank.rig.count
    share = need.believed_share if own else way.share
    duty = drawn(_duty(need.gas.hours), need.belief.count, "hose under pressure")
    material = tank.rig.hose or USUAL_HOSE
    pressure = way.pressure_bar
    through = {
        name: _hose(need, name, pressure) for name in dict.fromkeys((material, *COMPARED_HOSES))
    }
    through_g = drawn(through[material], need.belief.count, f"hose of {material}") * duty
    total = need.given_g / share + through_g
    dissolved = _dissolved(way, share, own)
    believed = "belief of the diary" if need.learnt else "prior"
    return Use(
        gas_g=total,
        share=share,
        gas=_gas(need, total, share, through_g, believed, own),
        given=_given(need, believed),
        dissolved=dissolved,
        lost=_lost(need),
        hose=_hose_figure(need, material, through[material], pressure,
                          "assumed" if tank.rig.hose is None else "tank file"),
        hose_share=figure(
            "hose_share", "Part of the gas that the hose lets through", through_g / total, "",
            "loss of the hose while it is under pressure / gas a day",
            (Input("material", material, "", "assumed" if tank.rig.hose is None else "tank file"),
             given("under pressure, part of the day", _duty(need.gas.hours), "",
                   "while gas flows, up to always")),
            "balance of mass",
        ),
        hoses=tuple(
            _hose_figure(need, name, through[name], pressure, "compared")
            for name in COMPARED_HOSES if name != material
        ),
    )  # fmt: skip


def _duty(hours: float) -> Range:
    """Part of the day the hose is under pressure: while gas flows, up to always."""
    on = hours / 24.0
    return exactly(1.0) if on >= 1.0 else Range(0.5 * (on + 1.0), on, 1.0)


def _hose(need: GasNeed, material: str, pressure_bar: Range) -> Range:
    rig = need.belief.tank.rig
    found = [
        permeation_g_per_day(
            material,
            rig.hose_bore_mm or USUAL_BORE_MM,
            rig.hose_wall_mm or USUAL_WALL_MM,
            rig.hose_length_m or USUAL_LENGTH_M,
            gauge,
        )
        for gauge in pressure_bar
    ]
    return Range(found[0].value, found[1].low, found[2].high)


def _gas(
    need: GasNeed,
    total: FloatArray,
    share: FloatArray,
    through_g: FloatArray,
    believed: str,
    own: bool,
) -> Figure:
    return figure(
        "gas_g_per_day",
        "Gas a day",
        total,
        "g/day",
        "CO2 that must dissolve / part of the gas that dissolves + what the hose lets through",
        (
            given("CO2 that must dissolve", range_of(need.given_g), "g/day", believed),
            given("part that dissolves", range_of(share), "", believed if own else "bubble plume"),
            given("through the hose", range_of(through_g), "g/day", "permeation"),
        ),
        f"the tank's day by the {believed}, draw by draw",
    )


def _given(need: GasNeed, believed: str) -> Figure:
    draws = need.belief.draws
    hours = f"{need.gas} ({need.gas.hours:g} h)"
    return figure(
        "dissolving_g_per_day",
        "CO2 that must dissolve a day",
        need.given_g,
        "g/day",
        "gas that makes the median CO2 from two hours after lights and gas are on until lights-off "
        "the target, on a day that repeats itself, times the water",
        (
            Input("target", need.target_mg_l, "mg/L", "target"),
            Input("hours of gas", hours, "", "assumed" if need.assumed else "tank file or diary"),
            Input("hours of light", str(need.day.light), "", "tank file, diary or assumed"),
            given("water", range_of(need.volume_l), "L", believed),
            given("surface exchange", range_of(draws.exchange_per_h), "1/h", believed),
            given("uptake at full light", range_of(draws.uptake_mg_l_h), "mg/L/h", believed),
            given("respiration", range_of(draws.respiration_mg_l_h), "mg/L/h", believed),
        ),
        "balance of dissolved carbon: exchange, uptake, respiration, carbonate equilibrium",
    )


def _dissolved(way: Way, share: FloatArray, own: bool) -> Figure:
    if not own:
        return way.dissolved
    return figure(
        "believed_dissolved_share", "Part that dissolves", share, "", "learnt with all the rest "
        "from readings and weighings", (), "belief of the diary",
    )  # fmt: skip


def _lost(need: GasNeed) -> Figure:
    cycle = need.cycle
    part = np.divide(cycle.lost, cycle.given, out=np.zeros(cycle.lost.size),
                     where=cycle.given > 0.0)  # fmt: skip
    return figure(
        "surface_share",
        "Of the CO2 that dissolves, gone through the surface",
        np.clip(part, 0.0, 1.0),
        "",
        "CO2 through the surface in a day / CO2 dissolved from the gas",
        (given("through the surface", range_of(cycle.lost), "mg/L a day", "the day, run on"),
         given("taken by plants", range_of(cycle.fixed), "mg/L a day", "the day, run on")),
        "balance of dissolved carbon",
    )  # fmt: skip


def _hose_figure(
    need: GasNeed, material: str, loss: Range, pressure_bar: Range, origin: str
) -> Figure:
    rig = need.belief.tank.rig

    def from_file(value: float | None) -> str:
        return PRACTICE if value is None else "tank file"

    return figure(
        f"hose_{material}_g_per_day",
        f"Through a hose of {material}, under pressure all day",
        loss,
        "g/day",
        "2π·length·permeability·CO2 pressure / ln(outer/inner width)",
        (
            Input("material", material, "", origin),
            Input("length", rig.hose_length_m or USUAL_LENGTH_M, "m", from_file(rig.hose_length_m)),
            Input("bore", rig.hose_bore_mm or USUAL_BORE_MM, "mm", from_file(rig.hose_bore_mm)),
            Input("wall", rig.hose_wall_mm or USUAL_WALL_MM, "mm", from_file(rig.hose_wall_mm)),
            given("pressure inside", pressure_bar, "bar", "what the diffuser needs"),
        ),
        str(MATERIALS[material].source),
    )
