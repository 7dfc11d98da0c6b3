"""The minutes of an emergency in words, tables and plain data."""

from __future__ import annotations

from typing import Any

from leafgill.advise.emergency import Halves, Rescue
from leafgill.advise.emergency.minutes import AIR_AFTER_MIN, FILL_FROM_MIN, FILLED_MIN
from leafgill.advise.words import minutes_text
from leafgill.answer import figures
from leafgill.estimate.belief import Interval

# The columns of the table, from nothing to all.
SHOWN = {"left": "Nothing done", "gas_shut": "Gas shut", "with_air": "and surface",
         "all": "and 30 % water"}  # fmt: skip
# Held as long as this, a wait is not known to end.
_MOST_MIN = 700.0
CLOCK = (
    f"Time runs from when the gas is shut. The surface is moved after {AIR_AFTER_MIN} minutes; "
    f"water runs out, and in from minute {FILL_FROM_MIN} to {FILLED_MIN}, as warm and as hard as "
    "the tank's. New water is taken to hold as much oxygen as air gives it."
)


def minutes(value: Interval) -> str:
    """Return minutes with their ends: "40 min, 25 min to 1 h"; "so already", "more than 12 h"."""
    if value.high < 1.0:
        return "so already"
    if value.mean >= _MOST_MIN:
        return "more than 12 h"
    return f"{minutes_text(value.mean)}, {minutes_text(value.low)} to {minutes_text(value.high)}"


def _within(value: Interval) -> str:
    """Return minutes inside a sentence: "40 min (25 min to 1 h)"."""
    return f"{minutes_text(value.mean)} ({minutes_text(value.low)} to {minutes_text(value.high)})"


def cell(value: Interval) -> tuple[str, str]:
    """Return a concentration as (its middle, its ends) for a narrow column."""
    return figures.level(value.mean), f"{figures.level(value.low)} to {figures.level(value.high)}"


def table(rescue: Rescue, what: str) -> list[list[str]]:
    """Return rows of (minute, each shown way's "24, 20 to 28") of "co2_mg_l" or "o2_mg_l"."""
    rows = []
    for k, minute in enumerate(rescue.ways[0].minutes):
        values = [getattr(rescue.way(key).minutes[k], what) for key in SHOWN]
        rows.append([f"{minute.minute} min", *(", ".join(cell(value)) for value in values)])
    return rows


def titles() -> list[str]:
    """Return the titles of the table's columns."""
    return ["", *SHOWN.values()]


def outcomes(rescue: Rescue) -> list[tuple[str, str]]:
    """Say of each way when CO2 and oxygen are as the animals need them; once where they are so."""
    limit, least = rescue.limits.co2_mg_l, rescue.limits.o2_min_mg_l
    ways = [way for way in rescue.ways if way.key != "left"]
    if all(way.co2_min.high < 1.0 and way.o2_min.high < 1.0 for way in ways):
        said = f"CO2 is below {limit:.3g} mg/L and oxygen above {least:.3g} mg/L already"
        return [("By what is believed", said)]
    return [
        (
            way.words,
            f"CO2 below {limit:.3g} mg/L: {minutes(way.co2_min)}; oxygen above {least:.3g} mg/L: "
            f"{minutes(way.o2_min)}",
        )
        for way in ways
    ]


def ph_rise(rescue: Rescue) -> str:
    """Say that pH rises, so that nobody fights it."""
    rise = rescue.way("all").ph_rise
    if rise.high < 0.05:
        return ""
    return (
        f"pH rises by {rise.mean:.1f} ({rise.low:.1f} to {rise.high:.1f}) within the hour when all "
        "is done. That is the CO2 leaving: add nothing against it."
    )


def halves_json(halves: Halves) -> dict[str, Any]:
    """Return the minutes in which CO2 halves as plain data, and as the card has them."""
    return {
        "gas_shut_min": figures.interval_json(halves.gas_shut_min),
        "with_air_min": figures.interval_json(halves.with_air_min),
        "said": f"In the dark CO2 halves in {_within(halves.gas_shut_min)} with the gas shut, in "
        f"{_within(halves.with_air_min)} with air.",
    }


def as_json(rescue: Rescue) -> dict[str, Any]:
    """Return the minutes as plain data: each way's CO2 and oxygen as [mean, low, high] a minute."""
    return {
        "at": rescue.at,
        "limit_mg_l": rescue.limits.co2_mg_l,
        "o2_min_mg_l": rescue.limits.o2_min_mg_l,
        "minutes": [minute.minute for minute in rescue.ways[0].minutes],
        "ways": {
            way.key: {
                "words": way.words,
                "co2_mg_l": [list(minute.co2_mg_l) for minute in way.minutes],
                "o2_mg_l": [list(minute.o2_mg_l) for minute in way.minutes],
                "co2_below_min": figures.interval_json(way.co2_min),
                "o2_above_min": figures.interval_json(way.o2_min),
            }
            for way in rescue.ways
        },
        "outcomes": [list(pair) for pair in outcomes(rescue)],
        "ph_rise": ph_rise(rescue),
        "clock": CLOCK,
    }
