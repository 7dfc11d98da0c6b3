"""Whether what is told of the gas equipment goes together; each doubt one line."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from leafgill.tank.reading import Place

Sections = dict[str, dict[str, Any]]

_BIG_CARTRIDGE_KG, _SMALL_CYLINDER_KG = 0.2, 0.1
# Filling limits run from 0.667 to 0.76 kg of CO2 a litre; below the first a cylinder was made for
# something else, or one of the two numbers is of another cylinder.
_USUAL_FILL_KG_L = (0.5, 0.77)
# Beyond these no cylinder of CO2 can be meant: liquid CO2 of 0 °C weighs 0.93 kg a litre, and a
# quarter of a kilogram a litre is all gas in a warm room.
_FILL_KG_L = (0.25, 1.0)
# Steel and aluminium cylinders weigh 1.2 to 3.6 times what they hold; wound fibre less.
_USUAL_TARE_SHARE = (0.6, 6.0)


def rig_doubts(sections: Sections, file: str) -> Iterator[str]:
    """Yield what is doubtful about the rig, its prices and where it stands.

    Raises InputError for a charge that its cylinder cannot hold.
    """
    rig = sections["rig"]
    yield from _of_source(rig, file)
    if rig.get("source", "cylinder") == "cylinder":
        yield from _of_cylinder(rig, file)
    yield from _of_diffuser(sections, file)
    if rig.get("solenoid") is False and rig.get("solenoid_w", 0.0) > 0.0:
        yield f"{Place(file, 'rig', 'solenoid_w')}: given, but solenoid is false"
    prices = sections["prices"]
    if "refill" in prices and "cylinder_kg" not in rig:
        place = Place(file, "prices", "refill")
        yield f"{place}: of which size? cylinder_kg below [rig] is not given"
    if "cartridge" in prices and "cartridge_g" not in prices:
        place = Place(file, "prices", "cartridge")
        yield f"{place}: of which size? cartridge_g is not given"


def _of_source(rig: dict[str, Any], file: str) -> Iterator[str]:
    source, kg = rig.get("source", "cylinder"), rig.get("cylinder_kg")
    place = Place(file, "rig", "cylinder_kg")
    if source in ("yeast", "acid-bicarbonate"):
        for key in ("cylinder_kg", "regulator"):
            if key in rig:
                yield f"{Place(file, 'rig', key)}: given, but source is {source}, which has none"
    elif kg is not None and source == "cartridge" and kg > _BIG_CARTRIDGE_KG:
        yield f"{place}: {kg:g} kg is large for a cartridge; is source a cylinder?"
    elif kg is not None and source == "cylinder" and kg < _SMALL_CYLINDER_KG:
        yield f"{place}: {kg:g} kg is small for a cylinder; is source a cartridge?"


def _of_cylinder(rig: dict[str, Any], file: str) -> Iterator[str]:
    kg = rig.get("cylinder_kg")
    if kg is None:
        return
    litres, tare = rig.get("cylinder_water_l"), rig.get("cylinder_tare_kg")
    if litres is not None and not _USUAL_FILL_KG_L[0] <= kg / litres <= _USUAL_FILL_KG_L[1]:
        place = Place(file, "rig", "cylinder_water_l")
        fill = f"{kg:g} kg in {litres:g} L is {kg / litres:.2g} kg/L"
        low, high = _FILL_KG_L
        if not low <= kg / litres <= high:
            raise place.refuse(f"{fill}; accepted: {low:g} to {high:g} kg/L")
        low, high = _USUAL_FILL_KG_L
        yield f"{place}: {fill}; usual: {low:g} to {high:g} kg/L"
    low, high = _USUAL_TARE_SHARE
    if tare is not None and not low <= tare / kg <= high:
        yield (
            f"{Place(file, 'rig', 'cylinder_tare_kg')}: {tare:g} kg is {tare / kg:.2g} times the "
            f"{kg:g} kg it holds; usual: {low:g} to {high:g} times"
        )


def _of_diffuser(sections: Sections, file: str) -> Iterator[str]:
    depth, height = sections["rig"].get("diffuser_depth_cm"), sections["tank"].get("height_cm")
    if depth is not None and height is not None and depth > height:
        place = Place(file, "rig", "diffuser_depth_cm")
        yield f"{place}: {depth:g} cm is more than the tank's height of {height:g} cm"
