"""Putting the gas together for the first time: what to do, in what order, what to expect."""

from __future__ import annotations

from dataclasses import dataclass

from leafgill.advise.commission.cylinder_items import before_opening, hold_items, opening
from leafgill.advise.commission.expected import Expected, expected
from leafgill.advise.commission.generator_items import generator_items
from leafgill.advise.commission.item import Item
from leafgill.advise.commission.line_items import counting_item, line_items, soap_item
from leafgill.advise.figure import Figure
from leafgill.advise.gas_safety import by_topic, gas_cautions, gas_figures
from leafgill.advise.leak_space import Hold
from leafgill.advise.leak_test import LeakTest, leak_test
from leafgill.tank.spec import Tank

_NEVER_SHUT = (
    "Never shut in a vessel that makes gas: it needs a way out, or a relief valve that opens well "
    "below what it stands. Wear goggles when you open or fill it."
)


@dataclass(frozen=True)
class Commission:
    """The checklist of a rig, in order; `outlet` a word of OUTLETS or None.

    `hold` is what a pressure hold said, None where none was asked about.
    """

    tank: Tank
    outlet: str | None
    expected: Expected
    items: tuple[Item, ...]
    hold: LeakTest | None
    figures: tuple[Figure, ...]
    cautions: tuple[str, ...]
    assumed: tuple[str, ...]


def commission(
    tank: Tank,
    *,
    outlet: str | None = None,
    room_c: float | None = None,
    hold: Hold | None = None,
) -> Commission:
    """Return the checklist of a tank's rig, and what a hold says where one is given.

    `outlet` is a word of OUTLETS, by default the tank file's; `room_c` the room's warmth.
    """
    rig = tank.rig
    outlet = outlet or rig.outlet
    bottled = rig.source in ("cylinder", "cartridge")
    exp = expected(tank, room_c)
    line = line_items(tank, exp)
    if bottled:
        items = [*before_opening(tank, exp, outlet), *line, *opening(tank, exp), soap_item(tank),
                 *hold_items(tank, exp)]  # fmt: skip
    else:
        items = [*generator_items(tank), *line, soap_item(tank)]
    items.append(counting_item(tank))
    tested = None if hold is None else leak_test(hold, rig)
    charge = exp.size.charge_kg if bottled else None
    if rig.source == "cartridge" or (bottled and rig.cylinder_kg is not None):
        charge = rig.cylinder_kg
    water = rig.cylinder_water_l
    room = tank.room.volume_m3
    figures = (
        *exp.figures.values(),
        *(() if tested is None else tested.figures),
        *gas_figures(charge, room, exp.room_c, water_l=water),
    )
    return Commission(
        tank,
        outlet,
        exp,
        tuple(items),
        tested,
        figures,
        _cautions(charge, room, exp.room_c, water, bottled=bottled),
        tuple(_assumed(tank, exp, outlet)),
    )


def _cautions(
    charge_kg: float | None,
    room_m3: float | None,
    room_c: float,
    water_l: float | None,
    *,
    bottled: bool,
) -> tuple[str, ...]:
    """Return the cautions; of a generator those alone that are not about a cylinder."""
    if bottled:
        return gas_cautions(charge_kg, room_m3, room_c, water_l=water_l)
    said = by_topic(None, room_m3, room_c)
    return (_NEVER_SHUT, *(said[topic] for topic in ("room", "ventilate", "local rules")))


def _assumed(tank: Tank, exp: Expected, outlet: str | None) -> list[str]:
    rig, found = tank.rig, []
    if rig.source == "cylinder" and rig.cylinder_kg is None:
        found.append(
            f"the tank file names no cylinder; one like a {exp.size.name} is taken (cylinder_kg)"
        )
    if rig.source == "cylinder" and outlet is None:
        found.append("the cylinder's outlet is not known; give --outlet or write it as outlet")
    if not exp.room_known:
        found.append(f"the room is taken as {exp.room_c:.3g} °C; give --room-temperature")
    if rig.regulator is None and rig.source == "cylinder":
        found.append("the kind of regulator is not known (regulator)")
    if rig.diffuser is None:
        found.append("the diffuser is not known (diffuser)")
    return found
