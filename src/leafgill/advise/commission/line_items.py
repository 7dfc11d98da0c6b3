"""The checklist for what comes behind the regulator: counter, check valve, hose, diffuser."""

from __future__ import annotations

from leafgill.advise.commission.expected import Expected
from leafgill.advise.commission.item import Item
from leafgill.advise.rig.kinds import BELL_WHERE, KINDS
from leafgill.tank.spec import Tank

# A wall that lets this much through is worth another hose [g/day] (a choice of ours).
_MUCH_G_DAY = 1.0
_LETTERS = ("pvc", "ptfe", "epdm")


def line_items(tank: Tank, exp: Expected) -> list[Item]:
    """Return the steps from the needle valve to the tank, in the order the gas goes."""
    return [
        *_solenoid(tank),
        _counter(tank),
        _check_valve(tank, exp),
        _hose(tank, exp),
        _diffuser(tank, exp),
    ]


def _solenoid(tank: Tank) -> list[Item]:
    if not tank.rig.solenoid:
        return []
    return [
        Item(
            "solenoid",
            "Solenoid the right way round",
            "Arrow away from the cylinder, coil upward or sideways as its maker says, on the timer "
            "of the gas hours. It grows warm; nothing lies on it. Without current it must be shut: "
            "pull the plug and see the bubbles stop.",
        )
    ]


def _counter(tank: Tank) -> Item:
    liquid = tank.rig.counter_liquid or "water"
    more = " Glycerol does not dry out, and its bubbles are smaller." if liquid != "water" else (
        " Water dries out: top it up, or every count reads another bubble."
    )  # fmt: skip
    behind = "" if tank.rig.source == "yeast" else ", behind the needle valve"
    return Item(
        "counter",
        "Bubble counter upright and filled",
        f"Upright, filled two thirds with {liquid}, the gas entering below the liquid{behind}. "
        f"Overfilled it spits into the hose.{more}",
    )


def _check_valve(tank: Tank, exp: Expected) -> Item:
    saves = (
        "counter, needle valve and regulator"
        if tank.rig.source in ("cylinder", "cartridge")
        else "counter and bottles"
    )
    return Item(
        "check valve",
        "Check valve in the right place and direction",
        "Its arrow points to the tank; blow through it before it goes in, one way only. Between "
        "counter and diffuser, above the water's level or as near the tank as it goes: when the "
        f"gas stops, the water sucked into the hose shall not reach {saves}. "
        f"{exp.within('water_above_cm')} of water stand above the diffuser. It wears: a new one "
        "every year or two (common practice, no source).",
        ("water_above_cm",),
    )


def _hose(tank: Tank, exp: Expected) -> Item:
    found = exp.figures.get("hose_loss_g_per_day")
    if found is None:
        text = (
            " Silicone and soft rubber let CO2 through their walls; polyurethane, polyethylene and "
            "polyamide hold it. Write the material into the tank file as hose."
        )
    else:
        loss = exp.within("hose_loss_g_per_day")
        much = found.value > _MUCH_G_DAY
        hose = tank.rig.hose or ""
        name = hose.upper() if hose in _LETTERS else hose.capitalize()
        text = f" {name} of this length lets {loss} through its wall" + (
            ": take a hose of polyurethane, polyethylene or polyamide." if much else "."
        )
    return Item(
        "hose",
        "Hose cut square and pushed home",
        "Cut at a right angle, pushed over the whole nipple, nuts tight by hand, no kinks, no pull "
        f"on the counter.{text}",
        () if found is None else ("hose_loss_g_per_day",),
    )


def _diffuser(tank: Tank, exp: Expected) -> Item:
    word = tank.rig.diffuser
    count = tank.rig.count
    if word is None:
        where = "as its maker says"
        name = "diffuser"
    elif word == "bell":
        name, where = "bell", BELL_WHERE
    else:
        name, where = KINDS[word].name, KINDS[word].where
    several = (
        f" Each of the {count} behind a needle valve of its own, or the easier one takes all gas."
        if count > 1
        else ""
    )
    soak = {
        "disc": " Soak the disc for a day: a dry one passes gas in large bubbles first.",
        "inline": " Taps on both sides let you clean it; mind the water's direction.",
        "reactor": " Fill it with water and let it run an hour without gas; it must not rattle.",
    }.get(word or "", "")
    back = exp.within("back_pressure_bar")
    return Item(
        "diffuser",
        f"{name.capitalize()} in its place",
        f"It belongs {where}.{soak}{several} It and the water above it ask for {back}: give it "
        "minutes to build that up before you count.",
        ("back_pressure_bar",),
    )


def soap_item(tank: Tank) -> Item:
    """Return the soap test over all joints that this rig has."""
    joints = ["the cylinder's outlet nut", "the cylinder valve's stem", "both gauges",
              "the regulator's bonnet"]  # fmt: skip
    if tank.rig.source == "cartridge":
        joints = ["the cartridge's thread", "the regulator's bonnet and gauges"]
    if tank.rig.source in ("yeast", "acid-bicarbonate"):
        joints = ["the vessels' caps and fittings"]
    if tank.rig.solenoid:
        joints.append("both sides of the solenoid")
    if tank.rig.source != "yeast":
        joints.append("the needle valve's stem")
    joints += ["the counter's cap and seals", "the check valve", "every hose nut"]
    if tank.rig.diffuser in ("inline", "reactor"):
        joints.append("the gas inlet of the diffuser")
    return Item(
        "soap test",
        "Soap test with the pressure on",
        f"Brush soapy water (a drop of washing-up liquid in a glass) on {', '.join(joints)}, and "
        "wait two minutes at each: a bubble that grows is a leak. Let the pressure off before you "
        "mend it, new washer rather than more force, then brush again. Rinse and dry; none of it "
        "may drip into the tank.",
    )


def counting_item(tank: Tank) -> Item:
    """Return the first setting and what to write down."""
    new = "new cartridge" if tank.rig.source == "cartridge" else "cylinder refilled"
    weigh = (
        ' Weigh it once more as it stands and write that as cylinder_mass with "regulator on"; '
        f'write "{new}" as care.'
        if tank.rig.source in ("cylinder", "cartridge")
        else ""
    )
    opens = (
        "It cannot be set: count a minute each morning and evening, and lead some of the gas into "
        "the room's air while there is too much"
        if tank.rig.source == "yeast"
        else "Open the needle valve a hair at a time, wait a minute, count a minute; at most one "
        "bubble a second on the first day, whatever the tank"
    )
    return Item(
        "first bubbles",
        "First bubbles",
        f"{opens}. Somebody looks at the animals within the hour. Then `leafgill next` says how "
        f"to go on.{weigh}",
    )
