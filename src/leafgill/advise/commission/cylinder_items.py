"""The checklist for a cylinder or a cartridge, from the box to the first bubble."""

from __future__ import annotations

from leafgill.advise.commission.expected import HOLD_H, Expected
from leafgill.advise.commission.item import Item
from leafgill.advise.commission.outlets import OUTLETS
from leafgill.advise.leak_space import HIGH, HOSE, LOW
from leafgill.science.cited import Mark
from leafgill.tank.spec import Tank


def before_opening(tank: Tank, exp: Expected, outlet: str | None) -> list[Item]:
    """Return the steps before the line behind the regulator is built; see `line_items`."""
    if tank.rig.source == "cartridge":
        return [_dry(None), _shut(tank)]
    return [
        _look_over(exp),
        _place(tank),
        _warm(exp),
        _dry(outlet),
        *_seal(outlet),
        _snug(),
        _shut(tank),
    ]


def opening(tank: Tank, exp: Expected) -> list[Item]:
    """Return the steps that let the gas in, once everything behind stands."""
    if tank.rig.source == "cartridge":
        return [_cartridge(), _first_opening(exp, cartridge=True)]
    return [_first_opening(exp, cartridge=False)]


def _look_over(exp: Expected) -> Item:
    whose = "it" if exp.size.own else f"one like the usual {exp.size.name}"
    return Item(
        "look over",
        "Look the cylinder over and weigh it",
        f"Test date not past, valve and thread clean and whole, no dents or rust. Full and without "
        f"regulator {whose} weighs {exp.within('full_weight_kg')}; write the weight down as "
        "cylinder_mass, since the gauge cannot tell how full it is.",
        ("full_weight_kg",),
    )


def _place(tank: Tank) -> Item:
    cabinet = (
        " The cabinet needs openings at its bottom."
        if tank.cabinet.height_cm is not None
        else " In a cabinet only where it has openings at its bottom."
    )
    return Item(
        "place",
        "Stand it upright and fasten it",
        "Upright where it will stand, held by a strap at two thirds of its height, away from "
        f"heaters and sun.{cabinet}",
    )


def _warm(exp: Expected) -> Item:
    return Item(
        "warm up",
        "Let it come to the warmth of the room",
        f"A freshly filled cylinder is cold: {exp.within('warm_hours')} in a room of "
        f"{exp.room_c:.3g} °C bring it to within a degree. Cold metal tightened now sits loose "
        "later, and water that condenses on the outlet ends up in the regulator. Wipe it dry.",
        ("warm_hours",),
    )


def _cartridge() -> Item:
    return Item(
        "cartridge",
        "Put the cartridge in as its regulator asks",
        "Regulator and needle valve shut, seal in place and whole, screw it home in one go and "
        "upright. Never unscrew one that still holds gas, never refill one, and let an empty one "
        "hiss out in the open air before it is thrown away.",
    )


def _dry(outlet: str | None) -> Item:
    more = "" if outlet is None else f" The outlet is {OUTLETS[outlet].name}."
    return Item(
        "dry and clean",
        "Dry, clean joint",
        "Both faces dry, without dust, oil, grease, paste or tape: such a joint is sealed by its "
        f"washer or ring, not by its thread.{more}",
    )


def _seal(outlet: str | None) -> list[Item]:
    if outlet is None:
        known = "; ".join(f"{one.name} in {one.region}" for one in OUTLETS.values())
        text = (
            f"Find out which outlet the cylinder has ({known}), and write it into the tank file as "
            "outlet. Most take one flat washer, new each time; a regulator whose nipple carries a "
            "ring of its own takes none, never both."
        )
    else:
        one = OUTLETS[outlet]
        unsure = f" ({one.source})" if one.source.mark is Mark.MEMORY else ""
        text = f"{one.name} ({one.region}; {one.thread}) is sealed by {one.seal}{unsure}."
        if one.washer:
            text += " Where the regulator's nipple carries a ring of its own, none: never both."
    return [
        Item("washer", "Washer or ring, the right one and one only", text),
        Item(
            "never adapt",
            "Never adapt by force",
            "The nut turns by hand for several turns or it is the wrong one. Outlets differ from "
            "gas to gas and from country to country on purpose: no adapter that a supplier of "
            "gases does not sell for CO2, no second nut, no paste.",
        ),
    ]


def _snug() -> Item:
    return Item(
        "snug",
        "Snug, not forced",
        "By hand until it stops, then with the right spanner a quarter of a turn or so (common "
        "practice, no source). A joint that leaks wants a new washer and a clean face, not more "
        "force.",
    )


def _shut(tank: Tank) -> Item:
    stages = {
        "single-stage": " A single-stage regulator lets its pressure rise when the cylinder runs "
        "out: `leafgill supply` says when to change it.",
        "two-stage": " A two-stage regulator holds its pressure to the end.",
    }.get(tank.rig.regulator or "", "")
    coil = " The solenoid has current, or nothing behind it is tested." if tank.rig.solenoid else ""
    return Item(
        "shut first",
        "Shut everything before gas is let in",
        "Turn the regulator's screw out until it is loose and close the needle valve gently: it is "
        f"a fine cone that force ruins.{coil}{stages}",
    )


def _first_opening(exp: Expected, *, cartridge: bool) -> Item:
    shows = exp.within("full_gauge_bar")
    what = "The cartridge's gauge" if cartridge else "The cylinder's gauge"
    first = "" if cartridge else (
        "Stand beside it, not before it, and open the valve slowly, a turn. "
    )  # fmt: skip
    return Item(
        "first opening",
        "Open it for the first time",
        f"{first}{what} rises to {shows} at {exp.room_c:.3g} °C and stays there whatever is in "
        "it while there is liquid: much less means cold or nearly empty. Frost or a gauge that "
        "jumps means liquid in the regulator: shut it and look why. Then turn the screw in to the "
        "working pressure.",
        ("full_gauge_bar",),
    )


def hold_items(tank: Tank, exp: Expected) -> list[Item]:
    """Return the pressure holds, with the smallest loss each side shows overnight."""
    seen = {side: exp.within(f"hold_seen_{side}_g_per_day") for side in (HIGH, LOW, HOSE)}
    low = Item(
        "hold low",
        "Let the pressure stand: the low side and the hose",
        f"Set the working pressure, {_cut_off(tank)}. Needle valve shut, the gauge of the working "
        f"pressure shows {seen[LOW]} or more in {HOLD_H:g} h (`--hold low`); needle valve open and "
        f"the hose's end shut, the counter and the hose are in it too: {seen[HOSE]} "
        "(`--hold hose`), less what goes through the wall.",
        (f"hold_seen_{LOW}_g_per_day", f"hold_seen_{HOSE}_g_per_day"),
    )
    if tank.rig.source == "cartridge":
        return [low]
    return [
        Item(
            "hold high",
            "Let the pressure stand: the high side",
            "Open the cylinder valve for a moment and shut it, let off gas through the needle "
            "valve until the cylinder's gauge is ten bar lower, shut the needle valve. Read gauge "
            f"and room, and both again after {HOLD_H:g} h: that shows a leak of {seen[HIGH]} or "
            "more. With the cylinder valve open a hold tells nothing, since the liquid makes up "
            "for every loss. `--hold high` reckons what the two readings say.",
            (f"hold_seen_{HIGH}_g_per_day",),
        ),
        low,
    ]


def _cut_off(tank: Tank) -> str:
    if tank.rig.source == "cartridge":
        return (
            "turn the regulator's screw out; the high side cannot be tested so, since a cartridge "
            "has no valve to shut and its liquid makes up for every loss"
        )
    return (
        "shut the cylinder valve, turn the regulator's screw out (one that cannot be turned off is "
        "tested by the high side alone)"
    )
