"""Bubbles: rates in the units people give them, and counts over some seconds."""

from __future__ import annotations

import re
from dataclasses import dataclass

from leafgill.diary.finding import Finding, warning
from leafgill.diary.words import plain, shown
from leafgill.errors import InputError

# What one of each unit is in bubbles per second.
RATE_PER_S = {
    "per s": 1.0,
    "per sec": 1.0,
    "per second": 1.0,
    "1/s": 1.0,
    "/s": 1.0,
    "/sec": 1.0,
    "bps": 1.0,
    "hz": 1.0,
    "bubbles/s": 1.0,
    "bubbles per s": 1.0,
    "bubbles per second": 1.0,
    "per min": 1 / 60,
    "per minute": 1 / 60,
    "1/min": 1 / 60,
    "/min": 1 / 60,
    "bpm": 1 / 60,
    "bubbles/min": 1 / 60,
    "bubbles per min": 1 / 60,
    "bubbles per minute": 1 / 60,
    "per h": 1 / 3600,
    "per hour": 1 / 3600,
}
_SECONDS = re.compile(r"(?:per |in )?(\d+(?:[.,]\d+)?)?\s*(s|secs?|seconds?|mins?|minutes?)")
_OVER = re.compile(
    r"(?:over|in|for|during|counted)\s+(\d+(?:[.,]\d+)?)\s*(s|secs?|seconds?|mins?|minutes?)\b"
)
ASSUMED_SECONDS = 10.0


@dataclass(frozen=True)
class Count:
    """A bubble count as a rate [1/s] with the seconds counted [s], and what was assumed."""

    rate_per_s: float
    seconds: float
    cautions: tuple[Finding, ...] = ()


def bubble_count(number: float, unit: str) -> Count:
    """Return the rate and the seconds of a count written as "0.9, per s over 10 s" or "9, 10 s".

    Without seconds 10 s are assumed, with a caution; a bare number with a fraction is then a rate,
    a whole one a count. Raises InputError for any other unit, and for a count over less than a
    second or more than an hour.
    """
    words = plain(unit).replace("bubbles", "").strip()
    over = _OVER.search(words)
    rate_unit = _OVER.sub("", words).strip()
    if rate_unit in RATE_PER_S:
        seconds = _in_seconds(over) if over else ASSUMED_SECONDS
        rate, assumed = number * RATE_PER_S[rate_unit], over is None
    else:
        counted = over or _SECONDS.fullmatch(words)
        if words and not counted:
            raise InputError(
                f'unit "{shown(unit)}" is not a unit of bubble count; accepted: "10 s" (bubbles in '
                '10 s) or "per s over 10 s"'
            )
        seconds = _in_seconds(counted) if counted else ASSUMED_SECONDS
        assumed = counted is None
        rate = number if (assumed and number % 1) or not seconds else number / seconds
    if not 1.0 <= seconds <= 3600.0:
        raise InputError(
            f'unit "{shown(unit)}" means counted over {seconds:g} s; accepted: 1 to 3600 s'
        )
    return Count(rate, seconds, (_assumed(number, unit, rate, seconds),) if assumed else ())


def _assumed(number: float, unit: str, rate: float, seconds: float) -> Finding:
    typed = f"{number:g} {shown(unit)}".strip()
    return warning(
        "count-without-seconds",
        f"bubble count {typed} without its seconds; taken as {rate:g} per s counted over "
        f'{seconds:g} s (write the unit as "10 s")',
    )


def _in_seconds(found: re.Match[str]) -> float:
    amount = float((found[1] or "1").replace(",", "."))
    return amount * (60.0 if found[2].startswith("min") else 1.0)
