"""Invented tanks that come with the program."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

_HERE = Path(__file__).parent


@dataclass(frozen=True)
class Example:
    """One invented tank: where its files are, and the moment they end at, by its clock."""

    folder: Path
    now: datetime
    probe: Path | None

    @property
    def tank(self) -> Path:
        """The tank's description."""
        return self.folder / "tank.toml"

    @property
    def diary(self) -> Path:
        """What its invented keeper wrote."""
        return self.folder / "diary.csv"


HALLWAY = Example(_HERE / "hallway", datetime(2025, 3, 8, 12, 10), _HERE / "hallway" / "probe.csv")
READING_ROOM = Example(_HERE / "reading-room", datetime(2025, 3, 10, 13, 10), None)
STAIRS = Example(_HERE / "stairs", datetime(2025, 4, 2, 13, 20), _HERE / "stairs" / "probe.csv")
WINDOW_SEAT = Example(
    _HERE / "window-seat", datetime(2025, 4, 2, 13, 20), _HERE / "window-seat" / "probe.csv"
)
EXAMPLES = (HALLWAY, READING_ROOM, STAIRS, WINDOW_SEAT)
# What `leafgill serve --demo` shows: a month each, to one and the same moment.
DEMO = (STAIRS, WINDOW_SEAT)
