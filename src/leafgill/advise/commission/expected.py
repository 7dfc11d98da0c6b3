"""The figures a commissioning needs: gauge, weight, warm-up, hose, and what a hold would show."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from leafgill.advise.back_pressure import back_bar, back_pressure
from leafgill.advise.commission.warm import warm_up
from leafgill.advise.drawn import drawn, figure, given
from leafgill.advise.figure import Figure, Input
from leafgill.advise.leak_space import SIDES, closed_volume, hose_of
from leafgill.advise.leak_test import USUAL_STEP_BAR, smallest_seen_g_day
from leafgill.advise.rig.cylinders import sizes_for
from leafgill.advise.rig.diffuse import depth_of
from leafgill.advise.rig.sizes import Size, like
from leafgill.advise.supply.unknowns import KNOWN_ROOM_SD, USUAL_ROOM_C, USUAL_ROOM_SD
from leafgill.science.carbonate_readings import HALF_90
from leafgill.science.cited import Range
from leafgill.science.co2_fluid import STANDARD_BAR
from leafgill.science.cylinder import cylinder_pressure_bar
from leafgill.science.hose import MATERIALS, permeation_g_per_day
from leafgill.tank.spec import Tank

# Where the tank file names no cylinder.
USUAL_CHARGE_KG = 2.0
# A hold overnight [h], and the pressures it is begun at [bar].
HOLD_H = 12.0
_START_BAR = {"hose": 2.0, "low": 2.0, "high": 45.0}
_DRAWS = 400


@dataclass(frozen=True)
class Expected:
    """The cylinder that is taken, the room's warmth, and the figures by key."""

    size: Size
    room_c: float
    room_known: bool
    figures: dict[str, Figure]

    def within(self, key: str) -> str:
        """Return a figure as it stands in a sentence: "56 bar (50 to 62)"."""
        figure = self.figures[key]
        ends = ""
        if figure.low is not None and figure.high is not None:
            ends = f" ({_short(figure.low)} to {_short(figure.high)})"
        return f"{_short(figure.value)} {figure.unit}{ends}"


def _short(value: float) -> str:
    return f"{value:.0f}" if abs(value) >= 9.95 else f"{value:.2g}"


def expected(tank: Tank, room_c: float | None) -> Expected:
    """Return what to expect of a rig; `room_c` the room's warmth, None for the usual one."""
    size = cylinder_of(tank)
    warmth = USUAL_ROOM_C if room_c is None else room_c
    spread = HALF_90 * (USUAL_ROOM_SD if room_c is None else KNOWN_ROOM_SD)
    room = Range(warmth, warmth - spread, warmth + spread)
    # what depends on the diffuser alone is told of every source
    found: list[Figure] = [replace(back_pressure(tank), key="back_pressure_bar")]
    if tank.rig.source in ("cylinder", "cartridge"):
        found += [_gauge(size, room), *_hose_loss(tank, warmth), *_holds(tank)]
        if tank.rig.source == "cylinder":
            found += [warm_up(size, warmth), _weight(size, tank)]
    else:
        found += _hose_loss(tank, warmth)
    found += _water_above(tank)
    return Expected(size, warmth, room_c is not None, {one.key: one for one in found})


def cylinder_of(tank: Tank) -> Size:
    """Return the keeper's own cylinder, or the usual one most like a 2 kg one."""
    own = [size for size in sizes_for(tank.rig) if size.own]
    return own[0] if own else like(tank.rig.cylinder_kg or USUAL_CHARGE_KG)


def _gauge(size: Size, room: Range) -> Figure:
    warmth = drawn(room, _DRAWS, "room")
    shows = np.asarray(cylinder_pressure_bar(size.charge_kg, size.water_l, warmth)) - STANDARD_BAR
    return figure(
        "full_gauge_bar", "cylinder gauge when full, at the room's warmth", shows, "bar",
        "pressure of CO2 at its mean density, gauge",
        (
            Input("charge", size.charge_kg, "kg", "tank file" if size.own else "usual"),
            Input("water capacity", size.water_l, "L", "tank file or usual filling"),
            given("room", room, "°C", "given or usual"),
        ),
        "Span & Wagner 1996",
    )  # fmt: skip


def _weight(size: Size, tank: Tank) -> Figure:
    origin = "tank file" if tank.rig.cylinder_tare_kg is not None else str(size.source)
    return figure(
        "full_weight_kg", "weight of the full cylinder, without regulator",
        Range(*(size.charge_kg + tare for tare in size.tare_kg)), "kg",
        "empty weight + charge",
        (
            Input("charge", size.charge_kg, "kg", "tank file" if size.own else "usual"),
            given("empty weight", size.tare_kg, "kg", origin),
        ),
        origin,
    )  # fmt: skip


def _hose_loss(tank: Tank, room_c: float) -> list[Figure]:
    rig = tank.rig
    if rig.hose is None:
        return []
    length, bore, wall = hose_of(rig)
    back = back_bar(tank)
    a_metre = permeation_g_per_day(rig.hose, bore, wall, 1.0, back.value, room_c)
    loss = drawn(a_metre, _DRAWS, "hose wall") * drawn(length, _DRAWS, "hose length")
    return [
        figure(
            "hose_loss_g_per_day", "gas that goes through the hose's wall", loss, "g/day",
            "2π · length · permeability · pressure / ln(outer / inner)",
            (
                Input("hose", rig.hose, "", "tank file"),
                given("length", length, "m", "tank file or usual"),
                Input("bore", bore, "mm", "tank file or usual"),
                Input("wall", wall, "mm", "tank file or usual"),
                given("pressure in it", back, "bar", "diffuser and water above it"),
            ),
            str(MATERIALS[rig.hose].source),
        )
    ]  # fmt: skip


def _water_above(tank: Tank) -> list[Figure]:
    depth_m, origin = depth_of(tank)
    return [
        figure(
            "water_above_cm", "water above the diffuser", 100.0 * depth_m, "cm",
            "as described, or the tank's depth less 5 cm", (), origin,
        )
    ]  # fmt: skip


def _holds(tank: Tank) -> list[Figure]:
    found = []
    for side in SIDES:
        volume, origin = closed_volume(tank.rig, side)
        seen = [
            smallest_seen_g_day(side, Range(part, part, part), _START_BAR[side], HOLD_H)
            for part in volume
        ]
        found.append(
            figure(
                f"hold_seen_{side}_g_per_day",
                f"smallest loss a hold of {HOLD_H:g} h shows, {side} side", Range(*seen), "g/day",
                "error of gauge and temperature as gas · 24 h / hours",
                (
                    given("closed volume", volume, "mL", origin),
                    Input("begun at", _START_BAR[side], "bar", "usual"),
                    Input("step of the gauge", USUAL_STEP_BAR[side], "bar", "usual"),
                ),
                "real gas: Span & Wagner 1996",
            )
        )  # fmt: skip
    return found
