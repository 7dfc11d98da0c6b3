"""What part of the gas each way of bringing it in dissolves, and what pressure each needs."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from leafgill.advise.drawn import drawn, exactly, figure, given, range_of
from leafgill.advise.figure import Figure, Input
from leafgill.advise.gas_need import GasNeed
from leafgill.advise.rig import kinds
from leafgill.advise.rig.kinds import KINDS, Kind
from leafgill.science.cited import Mark, Range, Source
from leafgill.science.compiled import FloatArray
from leafgill.science.cylinder import gas_volume_l
from leafgill.science.gases import co2_equilibrium_mg_l
from leafgill.science.plume import plume_share
from leafgill.science.water_properties import surface_tension_n_m
from leafgill.tank.spec import Tank

# Water above a diffuser where the tank file names neither it nor the tank's depth [m].
USUAL_DEPTH_M = 0.35
# A diffuser stands this much above the bottom, its mist leaves this much below the surface [m].
_CLEAR_M = 0.05
_BAR_PER_M = 0.0979
# Sizes that stand for a cloud, first roughly to learn the flow, then within 0.01 of the many,
# which is finer than the ranges.
_NODES = (5, 12)
_TABLE = 40
PLUME = "single-bubble dissolution after Clift, Grace & Weber 1978, over a log-normal cloud"
_HYDROSTATIC = Source("hydrostatics", Mark.CHECKED)


@dataclass(frozen=True)
class Way:
    """One way to bring the gas in: a kind of diffuser, how many, and what comes of it.

    `share` [m] is the part of the gas that dissolves, `ml_min` [m] the gas through each one.
    """

    kind: str
    name: str
    count: int
    where: str
    share: FloatArray
    ml_min: FloatArray
    pressure_bar: Range
    dissolved: Figure
    flow: Figure
    pressure: Figure

    @property
    def words(self) -> str:
        """Name with number: "disc", "2 discs", "inline diffuser"."""
        return self.name if self.count == 1 else f"{self.count} {self.name}s"

    @property
    def in_line(self) -> bool:
        """Whether it sits in the filter's hose."""
        return self.kind in KINDS and KINDS[self.kind].in_line

    @property
    def one(self) -> str:
        """The same inside a sentence: "a disc", "2 discs", "an inline diffuser"."""
        if self.count > 1:
            return self.words
        return f"{'an' if self.name[0] in 'aeiou' else 'a'} {self.name}"


def depth_of(tank: Tank) -> tuple[float, str]:
    """Return the water above the diffuser [m], and where the figure comes from."""
    if tank.rig.diffuser_depth_cm is not None:
        return tank.rig.diffuser_depth_cm * 1e-2, "tank file"
    if tank.depth_m is not None:
        return max(tank.depth_m - _CLEAR_M, _CLEAR_M), "depth of the tank less 5 cm"
    return USUAL_DEPTH_M, "assumed"


def way_of(need: GasNeed, kind: str, count: int = 1) -> Way:
    """Return what comes of `count` diffusers of a kind ("disc", "bell", ...) for this need."""
    depth_m, origin = depth_of(need.belief.tank)
    if kind == "bell":
        return _bell(need, count, depth_m, origin)
    known = KINDS[kind]
    m = need.belief.count
    held, whence = _held(need, known, m)
    growth = drawn(kinds.GROWTH, m, "growth") if known.grows else np.zeros(m)
    size = drawn(known.bubble_mm, m, f"bubbles of a {kind}")
    share = np.full(m, 0.8)
    for nodes in _NODES:
        flow = _ml_min(need, share, count)
        # above the reference only: fewer bubbles are no smaller than the pores make them
        mm = size * np.maximum(flow / kinds.REFERENCE_ML_MIN, 1.0) ** growth
        share = _share(need, mm, depth_m, held, nodes)
    inputs = (
        given("bubbles at 10 mL/min, median by volume", known.bubble_mm, "mm", str(kinds.BUBBLES)),
        given("gas through each", range_of(flow), "mL/min", "from the need"),
        given(
            "diameter grows with the flow to the power", range_of(growth), "", str(kinds.BUBBLES)
        ),
        given("water above it", depth_m, "m", origin),
        given("time held under water", range_of(held), "s", whence),
        Input("CO2 of the water", need.target_mg_l, "mg/L", "target"),
    )
    return _way(need, known.word, known.name, count, known.where, share, inputs,
                pressure_of(known, depth_m, need.belief.tank, origin), known)  # fmt: skip


def _share(
    need: GasNeed, mm: FloatArray, depth_m: float, held_s: FloatArray, nodes: int
) -> FloatArray:
    tank = need.belief.tank

    def plume(sizes: FloatArray, held: FloatArray | float) -> FloatArray:
        return np.asarray(
            plume_share(sizes, kinds.SPREAD, depth_m, tank.temperature_c,
                        co2_mg_l=need.target_mg_l, hold_s=held, nodes=nodes)
        )  # fmt: skip

    if held_s.max() > 0.0:
        share = plume(mm, held_s)
    else:
        # size alone tells the share then: a table of sizes does for all draws
        sizes = np.geomspace(mm.min(), mm.max(), _TABLE)
        share = np.interp(np.log(mm), np.log(sizes), plume(sizes, 0.0))
    kept: FloatArray = np.clip(share, 0.02, 1.0)
    return kept


def _held(need: GasNeed, kind: Kind, m: int) -> tuple[FloatArray, str]:
    if kind.held_s.high == 0.0:
        return np.zeros(m), "rises at once"
    return drawn(kind.held_s, m, f"time held by a {kind.word}"), str(kinds.HELD)


def _ml_min(need: GasNeed, share: FloatArray, count: int) -> FloatArray:
    """Gas through each diffuser while the gas is on [mL/min at 1 atm]."""
    litres = np.asarray(gas_volume_l(need.given_g * 1e-3, need.belief.tank.temperature_c))
    flow: FloatArray = litres / share * 1e3 / (need.gas.hours * 60.0) / count
    return flow


def _bell(need: GasNeed, count: int, depth_m: float, origin: str) -> Way:
    """A pocket of gas under glass: it passes what its face can, whatever is given to it."""
    m, tank = need.belief.count, need.belief.tank
    face = drawn(kinds.BELL_FACE_CM2, m, "bell's face") * 1e-4 * count
    speed = drawn(kinds.BELL_TRANSFER_M_S, m, "bell's transfer")
    full = co2_equilibrium_mg_l(1e6, tank.temperature_c)
    g_h = speed * 3600.0 * face * (full - need.target_mg_l)
    share = np.clip(g_h * need.gas.hours / np.maximum(need.given_g, 1e-6), 0.02, 1.0)
    inputs = (
        given("face of each", kinds.BELL_FACE_CM2, "cm²", str(kinds.BUBBLES)),
        given("CO2 crosses it at", kinds.BELL_TRANSFER_M_S, "m/s", str(kinds.BUBBLES)),
        Input("CO2 at saturation", full, "mg/L", "Weiss 1974"),
        Input("CO2 of the water", need.target_mg_l, "mg/L", "target"),
    )
    pressure = pressure_of(None, depth_m, need.belief.tank, origin)
    return _way(
        need, "bell", kinds.BELL_NAME, count, kinds.BELL_WHERE, share, inputs, pressure, None
    )


def _way(
    need: GasNeed,
    word: str,
    name: str,
    count: int,
    where: str,
    share: FloatArray,
    inputs: tuple[Input, ...],
    pressure: Figure,
    kind: Kind | None,
) -> Way:
    key = f"{word}_{count}" if count > 1 else word
    many = name if count == 1 else f"{count} {name}s"
    flow = _ml_min(need, share, count)
    formula = (
        "share of the CO2 that leaves the bubbles before they reach the surface, dirty surface"
        if kind is not None
        else "what the face passes in the hours of gas, over what is needed"
    )
    return Way(
        kind=word,
        name=name,
        count=count,
        where=where,
        share=share,
        ml_min=flow,
        pressure_bar=range_of_figure(pressure),
        dissolved=figure(f"{key}_dissolved_share", f"Part that dissolves, {many}", share, "",
                         formula, inputs, PLUME if kind else "film theory: speed·face·difference"),
        flow=figure(f"{key}_gas_ml_min", f"Gas through each, {many}", flow, "mL/min",
                    "need / part that dissolves / hours of gas / number, as gas at 1 atm",
                    (given("CO2 that must dissolve", range_of(need.given_g), "g/day", "the need"),
                     given("hours of gas", need.gas.hours, "h", "assumed" if need.assumed
                           else "tank file or diary")),
                    "density of CO2: Span & Wagner 1996"),
        pressure=pressure,
    )  # fmt: skip


def range_of_figure(made: Figure) -> Range:
    """Return value and ends of a figure as a range."""
    low = made.value if made.low is None else made.low
    high = made.value if made.high is None else made.high
    return Range(made.value, low, high)


def pressure_of(kind: Kind | None, depth_m: float, tank: Tank, origin: str) -> Figure:
    """Return the least gauge pressure [bar] that makes a kind give bubbles at its depth."""
    water_bar = _BAR_PER_M * depth_m
    word = "bell" if kind is None else kind.word
    inputs = [given("water above it", depth_m, "m", origin)]
    own: Range
    if tank.rig.diffuser_bar is not None and tank.rig.diffuser == word:
        own = exactly(tank.rig.diffuser_bar)
        inputs.append(given("pressure of its own", own, "bar", "tank file"))
    elif kind is not None and kind.pore_mm is not None:
        tension = surface_tension_n_m(tank.temperature_c)
        # the widest pore opens first
        own = Range(*(4.0 * tension / (pore * 1e-3) * 1e-5 for pore in
                      (kind.pore_mm.value, kind.pore_mm.high, kind.pore_mm.low)))  # fmt: skip
        inputs.append(given("pores", Range(*(p * 1e3 for p in kind.pore_mm)), "µm",
                            str(kinds.PORES)))  # fmt: skip
        inputs.append(Input("surface tension of water", tension * 1e3, "mN/m", "IAPWS"))
    else:
        own = exactly(0.0) if kind is None else kind.opening_bar
        inputs.append(given("pressure of its own", own, "bar", str(kinds.PORES)))
    return figure(
        f"{word}_least_pressure_bar",
        f"Least pressure, {kinds.BELL_NAME if kind is None else kind.name}",
        Range(*(water_bar + bar for bar in own)),
        "bar",
        "weight of the water above + what opens the pores (4·surface tension/width)",
        tuple(inputs),
        "hydrostatics; Young-Laplace equation",
    )
