"""The diary's lines and its manner of writing numbers."""

from datetime import datetime
from typing import NamedTuple

START = datetime(2025, 3, 3, 8, 0)
MINUTES_DAY = 1440


class Row(NamedTuple):
    """One line of the diary; every field as it stands in the file but the time."""

    time: datetime
    kind: str
    value: str
    unit: str = ""
    note: str = ""


def number(value: float, decimals: int) -> str:
    """A number without needless zeros, but with one decimal at least (or none when 0 asked)."""
    if decimals == 0:
        return f"{value:.0f}"
    short = f"{value:.{decimals}f}".rstrip("0")
    return short + "0" if short.endswith(".") else short
