"""A rig in words: each function gives lines that a screen lays out."""

from __future__ import annotations

from leafgill.advise.figure import Figure
from leafgill.advise.rig.diffuse import Way
from leafgill.advise.rig.plan import RigPlan
from leafgill.advise.words import minutes_text, per_cent
from leafgill.answer.explain import amount, bare, ends_of, shown, within
from leafgill.answer.said import sentence

Pairs = list[tuple[str, str]]


def percent(figure: Figure) -> str:
    """Return a share with its interval: "76 %, 30 to 98"."""
    text, ends = f"{100.0 * figure.value:.0f} %", ends_of(figure, scale=100.0)
    return f"{text}, {ends}" if ends else text


def _part(figure: Figure) -> str:
    """Return a share inside a sentence: "76 % (30 to 98)"."""
    text, ends = f"{100.0 * figure.value:.0f} %", ends_of(figure, scale=100.0)
    return f"{text} ({ends})" if ends else text


def title(plan: RigPlan) -> str:
    """Return the line over everything: tank, water, aim, limit."""
    return (
        f"{plan.tank.name}, {amount(plan.tank.volume_l)} L; CO2 aim {amount(plan.need.target_mg_l)}"
        f" mg/L while lit, animals' limit {amount(plan.limits.co2_mg_l)} mg/L"
    )


def headline(plan: RigPlan) -> str:
    """Return the gas a day."""
    ends = ends_of(plan.use.gas)
    return f"{amount(plan.use.gas.value, 2)} g of CO2 a day" + (f", {ends}" if ends else "")


def about_gas(plan: RigPlan) -> list[str]:
    """Say where the gas goes and how sure that is."""
    use, need = plan.use, plan.need
    lines = [
        f"{within(use.given)} must dissolve in the gas hours, {need.gas}. Of that "
        f"{_part(use.lost)} leaves through the surface, the plants take the rest."
    ]
    if need.learnt:
        lines.append("This is what your diary has taught.")
    else:
        lines.append(
            "This is what tanks of this size and kind may take. A diary with some days of pH, KH "
            "and bubble counts narrows it: leafgill rig TANK DIARY."
        )
    return lines


def to_buy(plan: RigPlan) -> Pairs:
    """Return (part, what to get and why in short) of the advised rig."""
    choice, advised, own = plan.choice, plan.chosen.advised, plan.chosen.own
    rows = []
    if plan.tank.rig.source == "cylinder":
        rows.append(("Cylinder", f"{choice.size.name}; it lasts {shown(choice.months)}."))
    if plan.tank.rig.source == "cartridge":
        source = plan.source
        rows.append(("Cartridges", f"{source.batch.stuff[0].words} each; one lasts "
                     f"{shown(source.lasts)}."))  # fmt: skip
    if plan.tank.rig.source in ("cylinder", "cartridge"):
        rows.append(("Regulator", f"{plan.regulator}: {plan.regulator_why}."))
    yours = "yours, " if own is advised else ""
    rows.append(("Diffuser", f"{yours}{advised.words}: {advised.where}."))
    if own is not None and own is not advised:
        rows.append(("Yours", f"{own.words}: {own.where}."))
    rows.append(("Hose", hose(plan)))
    return rows


def hose(plan: RigPlan) -> str:
    """Say what a hose loses, against the gas a day."""
    used = plan.use.hose
    name = plan.tank.rig.hose or "polyurethane"
    part = plan.use.hose_share.value
    text = (
        f"{name} loses {within(used)} through its wall while under pressure, {per_cent(part)} of "
        "the gas"
    )
    others = sorted(plan.use.hoses, key=lambda figure: figure.value)
    if part > 0.1:
        return f"{text}: too much; {_material(others[0])} would lose {within(others[0])}."
    return f"{text}; {_material(others[-1])} of the same size would lose {within(others[-1])}."


def _material(loss: Figure) -> str:
    return loss.key.removeprefix("hose_").removesuffix("_g_per_day")


def setting(plan: RigPlan) -> Pairs:
    """Return (what, figure in words) of what is set and looked at."""
    counted, way = plan.counted, plan.chosen.used
    valve = plan.tank.rig.source != "yeast"
    rows = []
    if valve:
        rows.append((
            "Working pressure",
            f"{amount(plan.working.value, 2)} bar by its gauge; at least {within(way.pressure)} is "
            f"what {way.one} {'needs' if way.count == 1 else 'need'}.",
        ))  # fmt: skip
    rate = f"{within(counted.rate).replace(' /s', '')}, each of {within(counted.bubble)} of CO2. "
    rows.append((
        "Bubbles a second",
        rate + ("Never start there: leafgill next opens the valve step by step." if valve else
                "Nothing sets them: count them to see how the bottles do."),
    ))  # fmt: skip
    if counted.own is not None:
        rows.append(("By your counter", f"{bare(counted.own)} a second, as your diary taught."))
    if plan.lead is not None:
        lead = plan.lead
        rows.append((
            "Gas on",
            f"{minutes_text(60.0 * lead.advised_h)} before the lights ({shown(lead.fed)}): the "
            "plants then take nine tenths of what they take at the aim. CO2 is at nine tenths of "
            f"the aim after {within(lead.full)}.",
        ))  # fmt: skip
    rows += [
        (
            "Drop checker",
            "with a 4 dKH reference, at half height, far from the diffuser and out of its mist. At "
            f"the aim it is {plan.checker_colour} (pH {plan.checker.value:.2f}, "
            f"{plan.checker.low:.2f} to {plan.checker.high:.2f}); it lags an hour or two.",
        ),
        ("Highest CO2", f"{shown(plan.peak)}, on a day that holds the aim."),
    ]
    return rows


def in_order(plan: RigPlan) -> list[str]:
    """Say what follows on what, from the source to the water."""
    way = plan.chosen.used
    each = "; one in each branch" if way.count > 1 else ""
    lines = [
        *_FIRST[plan.tank.rig.source],
        "Bubble counter, upright, after the needle valve, two thirds full.",
        "Check valve between counter and water, its arrow with the gas, above the water line where "
        f"that can be{each}: water that creeps back ruins counter, solenoid and regulator.",
        _last(way),
    ]
    if way.in_line:
        lines.append(
            f"The water that comes in there carries {within(plan.chosen.excess)} more than the "
            "tank's: spread it along the tank, away from where animals rest."
        )
    return lines


_ON_REGULATOR = "Solenoid and needle valve on the regulator's low-pressure side."
_FIRST = {
    "cylinder": (
        "Cylinder, upright and strapped; the regulator on it, both gauges in sight.",
        _ON_REGULATOR,
    ),
    "cartridge": ("Cartridge on its regulator, upright.", _ON_REGULATOR),
    "acid-bicarbonate": (
        "Vessel made for pressure, with a relief valve, upright; needle valve on it.",
    ),
    "yeast": ("Bottle, upright; a second, empty one after it to catch foam. No valve that shuts.",),
}


def _last(way: Way) -> str:
    if way.count == 1:
        return sentence(f"{way.name}: {way.where}.")
    return (
        f"{way.count} {way.name}s apart from each other, each on a branch with a needle valve of "
        f"its own: {way.where}."
    )


def noticed(plan: RigPlan) -> list[str]:
    """Return what had to be assumed or is doubtful."""
    # a finding starts with the file's name, which is written as it is
    found = [f"{line}." for line in plan.tank.findings]
    found += [sentence(f"{line}.") for line in plan.doubts]
    own, advised = plan.chosen.own, plan.chosen.advised
    if own is not None and own is not advised:
        found.append(
            f"All figures are for your {own.words}, of whose gas {_part(own.dissolved)} dissolves; "
            f"of that of {advised.words} {_part(advised.dissolved)}."
        )
    return found
