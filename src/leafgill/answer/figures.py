"""How figures and moments are written: with their unit, and as beliefs with their interval."""

from __future__ import annotations

import math
from datetime import datetime, timedelta
from typing import Any, Protocol


class IntervalLike(Protocol):
    """Anything with a mean and the ends of its 90 % interval."""

    @property
    def mean(self) -> float: ...  # noqa: D102

    @property
    def low(self) -> float: ...  # noqa: D102

    @property
    def high(self) -> float: ...  # noqa: D102


def level(value: float) -> str:
    """Return mg/L or dKH as people say it: "24", below ten "6.3", below one "0.42"."""
    size = abs(value)
    # 9.96 is 10, not 10.0
    for digits, below in ((2, 0.995), (1, 9.95)):
        if size < below:
            return f"{value:.{digits}f}"
    return f"{value:.0f}"


def ph(value: float) -> str:
    """Return a pH: "6.80"."""
    return f"{value:.2f}"


def interval(value: IntervalLike, unit: str = "mg/L") -> str:
    """Return "24 mg/L, 20 to 28"; with the unit "pH" "pH 6.62, 6.50 to 6.75"."""
    if unit == "pH":
        return f"pH {ph(value.mean)}, {ph(value.low)} to {ph(value.high)}"
    return f"{level(value.mean)} {unit}, {level(value.low)} to {level(value.high)}"


def chance(part: float) -> str:
    """Return a probability in words: "under 1 %", "12 %", "over 99 %"."""
    if part < 0.01:
        return "under 1 %"
    return "over 99 %" if part > 0.99 else f"{part:.0%}".replace("%", " %")


def moment(when: datetime, now: datetime) -> str:
    """Return a moment as said at `now`: "today 14:30", "tomorrow 09:00", "Fri 14 Mar 09:00"."""
    when = when.astimezone(now.tzinfo)
    apart = when.date() - now.date()
    day = {0: "today", 1: "tomorrow", -1: "yesterday"}.get(apart // timedelta(days=1))
    if day is None:
        day = f"{when:%a} {when.day} {when:%b}"
        if when.year != now.year:
            day += f" {when.year}"
    return f"{day} {when:%H:%M}"


def plain(value: Any) -> Any:
    """Return a value as JSON takes it: times as ISO 8601, NaN and infinities as null."""
    if isinstance(value, datetime):
        return value.isoformat(timespec="seconds")
    if isinstance(value, float):
        return float(f"{value:.6g}") if math.isfinite(value) else None
    if isinstance(value, dict):
        return {str(key): plain(part) for key, part in value.items()}
    if isinstance(value, list | tuple):
        return [plain(part) for part in value]
    return value


def interval_json(value: IntervalLike) -> dict[str, float]:
    """Return a belief as JSON has it."""
    return {"mean": value.mean, "low": value.low, "high": value.high}
