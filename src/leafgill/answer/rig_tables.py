"""The tables of a rig, as rows of words."""

from __future__ import annotations

from leafgill.advise.rig.plan import RigPlan
from leafgill.advise.rig.regulators import Regulator
from leafgill.answer.explain import amount, bare
from leafgill.answer.figures import chance
from leafgill.answer.rig_said import percent

Rows = list[tuple[str, ...]]

CYLINDERS = ("", "months it lasts", "full, kg", "fits cabinet", "room's air*")
WAYS = ("", "dissolves", "mL/min each", "least bar")
ENDS = ("", "gas, times", "highest CO2", "over limit", "within days", "at bar")
PARTS = ("", "", "how many", "price")
SOURCES = ("", "g a day", "a year", "days each", "night", "cost a year")
DAYS = ("", "lights-on", "highest", "strongest", "over limit", "O2, lights-on")
NO_PRICE = "no price given"


def cylinders(plan: RigPlan) -> Rows:
    """Return a row a cylinder size; the advised one is marked."""
    rows: Rows = []
    for choice in plan.choices:
        mark = "> " if choice is plan.choice else "  "
        rows.append(
            (
                mark + choice.size.short,
                bare(choice.months),
                bare(choice.full_kg),
                choice.fit.verdict,
                f"{amount(choice.room_ppm.value * 1e-4, 2)} %",
            )
        )
    return rows


def ways(plan: RigPlan) -> Rows:
    """Return a row a way of bringing the gas in."""
    rows: Rows = []
    for way in plan.chosen.ways:
        mark = "> " if way is plan.chosen.advised else "  "
        name = mark + way.words + (" (yours)" if way is plan.chosen.own else "")
        rows.append((name, percent(way.dissolved), bare(way.flow), bare(way.pressure)))
    return rows


def ends(plan: RigPlan) -> Rows:
    """Return the day as it is set, and a row a kind of regulator: what its end does to it."""
    as_set = ("as it is set", "1", bare(plan.peak), chance(plan.over.value), "-", "-")
    return [as_set, *(_end(regulator) for regulator in plan.regulators)]


def _end(regulator: Regulator) -> tuple[str, ...]:
    return (
        regulator.kind,
        bare(regulator.flow),
        bare(regulator.peak),
        chance(regulator.over.value),
        bare(regulator.climb_days),
        bare(regulator.change_gauge),
    )


def parts(plan: RigPlan) -> Rows:
    """Return a row a part, and the sum with what it leaves out."""
    rows: Rows = [
        (
            part.name,
            part.note,
            str(part.count),
            NO_PRICE if part.price is None else f"{part.price:.2f}",
        )
        for part in plan.bill.parts
    ]
    total = plan.bill.total
    if total is not None:
        left = plan.bill.unpriced
        note = f"without {', '.join(left)}" if left else "everything above"
        rows.append(("Sum", note, "", f"{total.value:.2f} {total.unit}"))
    return rows


def sources(plan: RigPlan) -> Rows:
    """Return a row a source of gas: what a year takes."""
    running = {one.kind: one for one in plan.running}
    rows: Rows = []
    for source in plan.sources:
        mark = "> " if source is plan.source else "  "
        cost = running[source.kind].cost
        rows.append(
            (
                mark + source.name,
                bare(source.gas),
                bare(source.year),
                bare(source.lasts),
                "on" if source.at_night else "off",
                NO_PRICE if cost is None else bare(cost),
            )
        )
    return rows


def days(plan: RigPlan) -> Rows:
    """Return a row a source of gas: the day it makes of this tank."""
    return [
        (
            source.name,
            bare(source.dawn),
            bare(source.peak),
            bare(source.worst),
            chance(source.over.value),
            bare(source.dawn_o2),
        )
        for source in plan.sources
    ]
