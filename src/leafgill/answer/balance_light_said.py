"""Light in words: what there is, what more would ask, other hours; and what to do first."""

from __future__ import annotations

import re
from typing import NamedTuple

from leafgill.advise.balance.result import Balance, DayTrial, LightStep
from leafgill.answer.balance_figures import day_figures, step_figures
from leafgill.answer.explain import amount, bare, shown
from leafgill.answer.figures import chance
from leafgill.answer.said import sentence
from leafgill.tank.limits import limits_of

_HOURS = re.compile(r"(\d\d:\d\d)-(\d\d:\d\d)")
# Said wherever more light is spoken of.
MORE_LIGHT = (
    "Light and gas are raised in turn: the gas by the steps of `leafgill next`, with an eye on the "
    "animals, and the light only when the gas has settled. Light that the plants cannot use for "
    "want of CO2 or nutrients feeds algae (common practice, no source).",
    "Lower light first and gas after it; less light with the gas as it is leaves more CO2 in the "
    "water.",
)
DOSING = (
    "Doses are for the tank as it is described and tested: halve them for the first week on a "
    "tank that was not dosed before, and look at the animals after each (common practice, no "
    "source).",
    "Keep salts and bottles from children and animals, and phosphate and iron in bottles apart; "
    "`leafgill dose` checks what dissolves and what falls out.",
)


class First(NamedTuple):
    """Something to do first: what it is about ("lamp", "hours", "test" ...), and in words."""

    about: str
    words: str


def first_steps(balance: Balance) -> list[First]:
    """Return what would tell most of a tank of which little is known, the most telling first."""
    found = []
    tank, light = balance.tank, balance.light
    if light.hours is None:
        found.append(First("hours", "Write down the hours of light: without them nothing grows "
                           "in the reckoning."))  # fmt: skip
    if light.measured is None:
        found.append(First("lamp", "Describe the lamp below [lamp], at least its power; the light "
                           "at the plants is guessed."))  # fmt: skip
    untested = [one.name for one in balance.nutrients if not one.known and not one.trace]
    if "nitrate" in untested or "phosphate" in untested:
        names = " and ".join(name for name in ("nitrate", "phosphate") if name in untested)
        found.append(First("test", f"Test {names}: without a test or a dose written down they are "
                           "only guessed."))  # fmt: skip
    if balance.plan.assumed:
        found.append(First("fertiliser", "Write down your salts or bottles below [salts]; the "
                           "doses here are of salts that are usual."))  # fmt: skip
    if tank.tap.nitrate_mg_l is None and balance.water_change_percent_week.value > 0.0:
        found.append(First("tap", "Write down what the tap water holds below [tap]; the report of "
                           "the waterworks has it."))  # fmt: skip
    if tank.feeding.food_g_day is None and tank.livestock.kinds != ("none",):
        found.append(First("food", "Write down how much is fed below [feeding]: food is where "
                           "much nitrate and phosphate comes from."))  # fmt: skip
    return found


def light_rows(balance: Balance) -> list[tuple[str, str]]:
    """Return (what, how much) of the light there is."""
    light = balance.light
    hours = "not known" if light.hours is None else f"{amount(light.hours)} h a day"
    rows = [("Hours of light", hours)]
    if light.ppfd is not None:
        how = "measured" if light.measured else "worked out from the lamp"
        rows.insert(0, ("Light at the plants", f"{shown(light.ppfd)} ({how})"))
    else:
        rows.insert(0, ("Light at the plants", "not known"))
    if light.daily is not None:
        rows.append(("Light of a day", shown(light.daily)))
    return rows


def step_titles(balance: Balance) -> tuple[str, ...]:
    """Return the titles of the table on more light."""
    return ("light", "growth, % more", "CO2 with the gas as now, mg/L", "gas to hold CO2, % more",
            "highest CO2, mg/L", _over(balance), "lowest oxygen, mg/L", "")  # fmt: skip


def _over(balance: Balance) -> str:
    return f"over {limits_of(balance.tank).co2_mg_l:.3g} mg/L"


def step_rows(balance: Balance) -> list[tuple[str, ...]]:
    """Return what each factor of light would give and ask."""
    return [_step_row(step) for step in balance.light_up]


def _step_row(step: LightStep) -> tuple[str, ...]:
    one = step_figures(step)
    return (
        f"{amount(step.factor)} times",
        bare(one["growth"]),
        bare(one["co2_if_unchanged"]),
        bare(one["gas"]),
        bare(one["peak"]),
        chance(1e-2 * step.p_over_limit.value),
        bare(one["o2_min"]),
        "possible" if step.possible else "not advised",
    )


def step_notes(balance: Balance) -> list[str]:
    """Say what keeps more light from being advised, or that it is within the limit."""
    steps = balance.light_up
    if not steps:
        return []
    notes = [
        sentence(f"{amount(step.factor)} times the light is {step.reason}.")
        for step in steps
        if not step.possible
    ]
    if not notes:
        notes = [sentence(f"all of these stay {steps[0].reason}.")]
    return notes


def day_titles(balance: Balance) -> tuple[str, ...]:
    """Return the titles of the table on hours."""
    return (
        "hours",
        "plants take a day, mg/L",
        "against now, %",
        "highest CO2, mg/L",
        _over(balance),
        "lowest oxygen, mg/L",
        "gas a day, g",
        "",
    )


def day_rows(balance: Balance) -> list[tuple[str, ...]]:
    """Return what each day of other hours gives."""
    return [_day_row(day) for day in balance.days]


def _day_row(day: DayTrial) -> tuple[str, ...]:
    one = day_figures(day)
    against = "0" if day.key == "now" else bare(one["against_now"])
    return (
        sentence(_breakable(day.words)),
        bare(one["fixed"]),
        against.replace("-", "\u2212"),
        bare(one["peak"]),
        chance(1e-2 * day.p_over_limit.value),
        bare(one["o2_min"]),
        bare(one["gas_used"]),
        "possible" if day.possible else "not advised",
    )


def _breakable(words: str) -> str:
    """Return words whose hours may stand on two lines: "12:00 to 20:00"."""
    return _HOURS.sub(r"\1 to \2", words)


def day_notes(balance: Balance) -> list[str]:
    """Say how the days are tried, and what keeps some from being advised."""
    if not balance.days:
        return []
    notes = ["Each tried in the tank's model, with gas from an hour before the light and as much "
             "of it as holds the aim."]  # fmt: skip
    notes += [
        sentence(f"{_breakable(day.words)}: {day.reason}.")
        for day in balance.days
        if not day.possible
    ]
    return notes
