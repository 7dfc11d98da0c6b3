"""The options of a pressure hold, as they are typed."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple

from leafgill.errors import InputError, quoted
from leafgill.units import quantity

if TYPE_CHECKING:
    from leafgill.advise.leak_space import Hold, Reading
    from leafgill.science.cited import Range
    from leafgill.tank.spec import Rig


class HoldOptions(NamedTuple):
    """What was typed: side, two (pressure, temperature), hours, volume, step of the gauge."""

    side: str | None
    first: tuple[str, str] | None
    second: tuple[str, str] | None
    hours: float | None
    volume: str | None
    gauge_step: str | None


def parse_hold(given: HoldOptions, rig: Rig) -> Hold | None:
    """Return the hold, None where none is asked about. Raises InputError in one line."""
    from leafgill.advise.leak_space import (
        ACCEPTED_H,
        ACCEPTED_STEP_BAR,
        SIDES,
        Hold,
        closed_volume,
    )
    from leafgill.advise.leak_test import USUAL_STEP_BAR

    if given.side is None:
        alone = [name for name, value in zip(_NAMES, given[1:], strict=True) if value is not None]
        if alone:
            raise InputError(f"{alone[0]} belongs to a pressure hold: give --hold with it")
        return None
    side = given.side.strip().lower()
    if side not in SIDES:
        accepted = ", ".join(SIDES)
        raise InputError(f"--hold = {quoted(given.side)} is not known; accepted: {accepted}")
    if side == "high" and rig.source == "cartridge":
        raise InputError(
            '--hold = "high": a cartridge has no valve to shut, and its liquid makes up for every '
            "loss; accepted: low, hose"
        )
    if rig.source not in ("cylinder", "cartridge"):
        raise InputError(
            f'--hold: [rig] source = "{rig.source}" makes gas all the time, so that a hold tells '
            "nothing, and its vessels must not be shut; brush soapy water on the joints"
        )
    if given.first is None or given.second is None or given.hours is None:
        missing = [name for name, v in zip(_NAMES, given[1:4], strict=False) if v is None]
        raise InputError(
            f"--hold needs two readings and the hours: {', '.join(missing)} is missing"
        )
    _inside("--hours", given.hours, ACCEPTED_H, "h")
    readings = [
        _reading(name, typed, side)
        for name, typed in (("--first", given.first), ("--second", given.second))
    ]
    if readings[0].gauge_bar <= 0.0:
        raise InputError("--first = 0 bar: there is nothing to lose; begin a hold with pressure on")
    step = USUAL_STEP_BAR[side]
    if given.gauge_step is not None:
        step = quantity(given.gauge_step, "bar", what="--gauge-step")
        _inside("--gauge-step", step, ACCEPTED_STEP_BAR, "bar")
    volume, origin = closed_volume(rig, side)
    if given.volume is not None:
        volume, origin = _volume(given.volume), "given"
    return Hold(side, readings[0], readings[1], given.hours, volume, origin, step)


_NAMES = ("--first", "--second", "--hours", "--volume", "--gauge-step")


def _reading(name: str, typed: tuple[str, str], side: str) -> Reading:
    from leafgill.advise.leak_space import ACCEPTED_C, MOST_BAR, Reading

    bar = quantity(typed[0], "bar", what=f"{name} pressure")
    _inside(f"{name} pressure", bar, (0.0, MOST_BAR[side]), "bar")
    warmth = quantity(typed[1], "degC", what=f"{name} temperature")
    _inside(f"{name} temperature", warmth, ACCEPTED_C, "°C")
    return Reading(bar, warmth)


def _volume(text: str) -> Range:
    from leafgill.advise.leak_space import ACCEPTED_ML, measured_ml

    ml = quantity(text, "mL", what="--volume")
    _inside("--volume", ml, ACCEPTED_ML, "mL")
    return measured_ml(ml)


def _inside(what: str, value: float, accepted: tuple[float, float], unit: str) -> None:
    low, high = accepted
    if not (math.isfinite(value) and low <= value <= high):
        raise InputError(
            f"{what} = {value:g} {unit} cannot be; accepted: {low:g} to {high:g} {unit}"
        )


def parse_outlet(text: str | None) -> str | None:
    """Return the outlet's word, by the spellings of the tank file. Raises InputError."""
    from leafgill.tank.fields import FIELDS
    from leafgill.tank.reading import nearest

    if text is None:
        return None
    field = FIELDS["rig"]["outlet"]
    words = dict(field.words)
    plain = "-".join(text.strip().lower().replace("_", " ").split())
    if plain in words:
        return words[plain]
    like = nearest(text, words)
    hint = f" (did you mean {words[like]}?)" if like else ""
    raise InputError(f"--outlet = {quoted(text)} is not known{hint}; accepted: {field.told}")
