"""A pressure hold as a form: two readings of a gauge, and the hours between."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import Any

from leafgill.advise.leak_space import (
    ACCEPTED_C,
    ACCEPTED_H,
    ACCEPTED_ML,
    ACCEPTED_STEP_BAR,
    HIGH,
    HOSE,
    LOW,
    MOST_BAR,
    Hold,
    Reading,
    closed_volume,
    measured_ml,
)
from leafgill.advise.leak_test import USUAL_STEP_BAR
from leafgill.errors import InputError
from leafgill.tank.spec import Rig
from leafgill.units import number_in
from leafgill.web.forms.field import Choice, FormField
from leafgill.web.forms.habits import Habits

NAMES = ("side", "first_bar", "first_c", "second_bar", "second_c", "hours", "volume", "step")
_ENDS = {"degC": ACCEPTED_C, "h": ACCEPTED_H, "mL": ACCEPTED_ML}

_SIDES = {
    HOSE: "hose, counter and low side: needle valve open, the hose's end shut",
    LOW: "low side: needle valve shut, cylinder valve shut after filling",
    HIGH: "high side: cylinder valve shut, regulator backed off",
}
_LABELS: dict[str, tuple[str, str, str]] = {
    "first_bar": ("Gauge at the beginning", "bar", ""),
    "first_c": ("Warmth at the beginning", "degC", ""),
    "second_bar": ("Gauge at the end", "bar", ""),
    "second_c": ("Warmth at the end", "degC", ""),
    "hours": ("Hours between", "h", "Over night is best."),
    "volume": ("Gas shut in, where measured", "mL", "Left empty: what such parts hold."),
    "step": ("Step the gauge is read to", "bar", "Left empty: what is usual of such gauges."),
}
_OPTIONAL = ("volume", "step")


@dataclass
class ReadHold:
    """A hold that was typed, or what is wrong by field."""

    hold: Hold | None = None
    errors: dict[str, str] = field(default_factory=dict)


def sides_of(rig: Rig) -> tuple[str, ...]:
    """Return the sides a rig can be held by; none where gas is made all the time."""
    if rig.source == "cylinder":
        return (HIGH, LOW, HOSE)
    return (LOW, HOSE) if rig.source == "cartridge" else ()


def hold_fields(
    rig: Rig, typed: dict[str, str], errors: dict[str, str], habits: Habits
) -> list[FormField]:
    """Return the fields of a hold."""
    sides = tuple(Choice(side, _SIDES[side]) for side in sides_of(rig))
    shown = [
        FormField("side", "What was shut in", "radio", typed.get("side", ""), choices=sides,
                  error=errors.get("side", ""))
    ]  # fmt: skip
    for name, (label, unit, help_text) in _LABELS.items():
        shown.append(
            FormField(
                name,
                label,
                "number",
                typed.get(name, ""),
                unit=habits.shown_unit(unit),
                help=help_text,
                error=errors.get(name, ""),
                required=name not in _OPTIONAL,
            )
        )
    return shown


def typed_of(get: Any) -> dict[str, str]:
    """Return what was typed of a hold; `get` is a QueryDict."""
    return {name: get.get(name, "").strip()[:60] for name in NAMES}


def read_hold(typed: dict[str, str], rig: Rig, habits: Habits) -> ReadHold:
    """Return the hold that was typed, or what is wrong beside each field."""
    read = ReadHold()
    side = typed["side"]
    if side not in sides_of(rig):
        read.errors["side"] = "Choose one."
    numbers: dict[str, float] = {}
    for name, (_, unit, _) in _LABELS.items():
        if not typed[name]:
            if name not in _OPTIONAL:
                read.errors[name] = "Give a number."
            continue
        try:
            numbers[name] = _number(name, typed[name], unit, side, habits)
        except InputError as wrong:
            read.errors[name] = habits.text(wrong.message)
    if not read.errors and numbers["first_bar"] <= 0.0:
        read.errors["first_bar"] = "There is nothing to lose; begin a hold with pressure on."
    if not read.errors:
        read.hold = _hold(side, numbers, rig)
    return read


def _number(name: str, text: str, unit: str, side: str, habits: Habits) -> float:
    meant = habits.typed(text, unit)
    value = number_in(meant, unit) if unit != "h" else number_in(meant, "")
    ends = (0.0, MOST_BAR.get(side, MOST_BAR[HIGH])) if unit == "bar" else _ENDS[unit]
    low, high = ACCEPTED_STEP_BAR if name == "step" else ends
    if not (math.isfinite(value) and low <= value <= high):
        first, last = (habits.words(end, unit) for end in (low, high))
        raise InputError(f"Accepted: {first} to {last} {habits.shown_unit(unit)}")
    return value


def _hold(side: str, numbers: dict[str, float], rig: Rig) -> Hold:
    volume, origin = closed_volume(rig, side)
    if "volume" in numbers:
        volume, origin = measured_ml(numbers["volume"]), "given"
    return Hold(
        side,
        Reading(numbers["first_bar"], numbers["first_c"]),
        Reading(numbers["second_bar"], numbers["second_c"]),
        numbers["hours"],
        volume,
        origin,
        numbers.get("step", USUAL_STEP_BAR[side]),
    )
