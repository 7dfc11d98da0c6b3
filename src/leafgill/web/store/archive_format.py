"""The archive: one zip file with everything about some tanks, readable without this program.

    manifest.json                     the version, and the tanks with what each has
    tanks/1/spec-1.toml ...           the description, each as it held from its day on
    tanks/1/entries.csv               the diary, removed entries included
    tanks/1/readings-ph.csv ...       each sensor's readings
    tanks/1/tasks.json, steps.json    care tasks, and the steps that were advised

Nothing is ever unpacked to disk, and no name in the file is used as a path: members are looked up
by the names above. Sizes are counted while reading, whatever the file says of itself.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

FORMAT, VERSION = "leafgill archive", 1
MANIFEST = "manifest.json"
# More than a tank's decades need; what is above was made to fill a disk or a memory.
MOST_TANKS, MOST_SPECS, MOST_SENSORS = 500, 2_000, 50
LARGEST_MEMBER, LARGEST_TOTAL = 512_000_000, 4_000_000_000
LARGEST_MANIFEST = 8_000_000
MOST_READINGS, MOST_ENTRIES = 20_000_000, 2_000_000
ENTRY_COLUMNS = ("time", "kind", "value", "unit", "note", "made_by", "made_at", "removed_at")

Times = NDArray[np.int64]
Values = NDArray[np.float64]
Flags = NDArray[np.int16]


@dataclass(frozen=True, slots=True)
class Sensor:
    """One sensor, with its readings: epoch seconds [n], values [n], flags [n]."""

    name: str
    kind: str
    unit: str
    times_s: Times
    values: Values
    flags: Flags


@dataclass
class Kept:
    """One tank as it is kept in an archive; times are ISO 8601 with an offset.

    `specs` are (valid from, text of a tank file), the oldest first. `entries` are the columns of
    ENTRY_COLUMNS, as text. `tasks` and `steps` are plain data.
    """

    name: str
    created: str
    archived_at: str | None
    specs: list[tuple[str, str]]
    entries: list[dict[str, str]]
    sensors: Callable[[], Iterable[Sensor]] = field(default=tuple)
    tasks: list[dict[str, Any]] = field(default_factory=list)
    steps: list[dict[str, Any]] = field(default_factory=list)
