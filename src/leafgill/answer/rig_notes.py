"""What is said below the tables of a rig, so that a newcomer can read them."""

from __future__ import annotations

from leafgill.advise.rig.fit import CLOSE, NO, UNKNOWN
from leafgill.advise.rig.plan import RigPlan
from leafgill.answer.explain import shown, within
from leafgill.answer.said import sentence


def about_cylinders(plan: RigPlan) -> list[str]:
    """Explain the table of cylinders."""
    room = plan.tank.room.volume_m3
    where = "30 m³ (assumed)" if room is None else f"{room:.3g} m³"
    lines = [
        f"{sentence(choice.size.name)} {choice.fit.why}."
        for choice in plan.choices
        if choice.fit.verdict == CLOSE or (choice is plan.choice and choice.fit.verdict == NO)
    ]
    if plan.choice.fit.verdict == UNKNOWN:
        lines.append(f"{sentence(plan.choice.fit.why)}: write it below [cabinet] in the tank file.")
    return [
        *lines,
        "Months without a leak, until nothing is left. Sizes in kg are steel, in lb aluminium, and "
        "vary by maker: measure yours and write it into the tank file.",
        f"* CO2 if all of it escapes into a closed room of {where}: see Take care.",
    ]


def about_ways(plan: RigPlan) -> list[str]:
    """Say why this diffuser and no other."""
    return [sentence(f"{line}.") for line in plan.chosen.why]


def about_ends(plan: RigPlan) -> list[str]:
    """Explain the table of regulators."""
    what = plan.vessel.name
    long = "while it holds liquid"
    if plan.tank.rig.source != "cartridge":
        long = f"for {within(plan.choice.steady)}"
    falls = f"The gauge of {what} stands still {long} and then falls"
    return [
        f"{falls}: what is left is gas, and "
        "the valve begins to give more, so many times what was set, within so many days. Who "
        "counts the bubbles and sets them back, or changes it at the bar given, meets none of it.",
    ]


def about_prices(plan: RigPlan) -> list[str]:
    """Say where prices are written."""
    if plan.bill.unpriced:
        return ["Prices are your own: write them below [prices] in the tank file."]
    return []


def about_sources(plan: RigPlan) -> list[str]:
    """Explain what one filling is, and which prices the costs leave out."""
    lines = [
        f"{sentence(source.name)}: a {source.batch.what} is "
        f"{' and '.join(stuff.words for stuff in source.batch.stuff)}."
        for source in plan.sources
    ]
    for running in plan.running:
        if running.cost is not None and running.unpriced:
            lines.append(f"The cost of {running.name} leaves out {', '.join(running.unpriced)}.")
    return lines


def about_days(plan: RigPlan) -> list[str]:
    """Explain the day of each source."""
    yeast = next(source for source in plan.sources if source.kind == "yeast")
    many = yeast.batch.at_once
    bottles = "one bottle" if many == 1 else f"{many} bottles at once, begun in turn,"
    return [
        "Each holds the aim while lit on its usual day. Strongest is the day a filling gives most: "
        "the end of a cylinder or cartridge left alone, the height of a yeast bottle.",
        f"Yeast cannot be shut off: it takes {bottles} day and night, and the animals have its CO2 "
        f"in the dark too ({shown(yeast.dawn)}, when the lights go on).",
    ]
