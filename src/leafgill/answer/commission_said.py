"""A commissioning in words: the checklist, and what a pressure hold says."""

from __future__ import annotations

from leafgill.advise.commission import Commission
from leafgill.advise.leak_space import HIGH, HOSE, LOW, TIGHT_G_DAY
from leafgill.advise.leak_test import LeakTest
from leafgill.answer.explain import amount
from leafgill.answer.figures import chance
from leafgill.answer.said import sentence
from leafgill.science.cited import Range

_SIDES = {
    HOSE: "hose, counter and low side",
    LOW: "low side of the regulator",
    HIGH: "high side, cylinder valve shut",
}


def title(commission: Commission) -> str:
    """Return what is put together, in one line."""
    rig = commission.tank.rig
    parts = [{"acid-bicarbonate": "acid and bicarbonate"}.get(rig.source, rig.source)]
    if rig.source == "cylinder" and rig.cylinder_kg is not None:
        parts[0] = f"{amount(rig.cylinder_kg)} kg cylinder"
    parts += [f"{rig.regulator} regulator"] if rig.regulator else []
    parts += ["solenoid"] if rig.solenoid else []
    if rig.diffuser:
        parts.append(rig.diffuser if rig.count == 1 else f"{rig.count} x {rig.diffuser}")
    return ", ".join(parts)


def verdict(test: LeakTest) -> str:
    """Return what the hold says in one line."""
    hold = test.hold
    ends = f"{amount(hold.first.gauge_bar)} to {amount(hold.second.gauge_bar)} bar"
    where = f"{_SIDES[hold.side]}, {ends} in {amount(hold.hours)} h"
    if test.verdict == "tight":
        return f"Tight ({where})"
    if test.verdict == "leaks":
        return f"It leaks ({where}): shut the cylinder and find the joint"
    if test.wait_h is not None:
        return f"Cannot tell yet ({where}): read again {test.wait_h:g} h after the first reading"
    return f"Cannot tell ({where})"


def hold_lines(test: LeakTest) -> list[str]:
    """Return the grams a day and what is to be minded about them."""
    lines = [f"Gone: {loss(test.lost_g_day)}, at the pressure of the first reading."]
    if test.walls_g_day is not None:
        lines.append(f"Of it through the hose's wall, as such are: {loss(test.walls_g_day)}.")
    lines.append(
        f"Left for leaks: {loss(test.leak_g_day)}; the chance of more than {TIGHT_G_DAY:g} g/day, "
        f"{_a_year(TIGHT_G_DAY)} a year, is {chance(test.chance)}."
    )
    if test.verdict == "leaks":
        lines.append(f"That is {_range_a_year(test.leak_g_day)} a year.")
    return [*lines, *(sentence(note) + "." for note in test.notes)]


def loss(lost: Range) -> str:
    """Return grams a day as they are said: what is less than nothing is nothing."""
    value, low, high = (amount(max(part, 0.0), 2) for part in lost)
    if lost.high <= 0.0:
        return "nothing"
    if lost.value <= 0.0:
        return f"nothing to be seen, at most {high} g/day"
    return f"{value} g/day, {low} to {high}"


def _a_year(g_day: float) -> str:
    return f"{g_day * 365.0:.0f} g"


def _range_a_year(g_day: Range) -> str:
    value, low, high = (amount(max(part, 0.0) * 0.365, 2) for part in g_day)
    return f"{value} kg ({low} to {high})"


def assumed(commission: Commission) -> list[str]:
    """Return what was taken for granted, a sentence each."""
    told = [sentence(text) + "." for text in commission.assumed]
    return [*told, *commission.tank.findings]
