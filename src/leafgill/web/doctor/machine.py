"""The machine under the app: its folder, its disk, its clock."""

from __future__ import annotations

import os
import shutil
import stat
from datetime import UTC, datetime, timedelta
from pathlib import Path

import leafgill
from leafgill.web.doctor.finding import BAD, FINE, LOOK, Finding, span
from leafgill.web.home import home
from leafgill.web.keeping.words import size

# Below the first nothing can be relied on to be written; below the second it will be soon.
LEAST_FREE, LITTLE_FREE = 50_000_000, 500_000_000
# A backup is made and unpacked again beside the database.
_ROOM_FOR_BACKUPS = 3
# Clocks of two machines, and a leap, may differ by so much.
_SLACK = timedelta(minutes=2)


def folder() -> Finding:
    """Look at the data folder: there, this user's, and closed to others."""
    what, path = "data folder", home()
    if not path.is_dir():
        return Finding(what, BAD, f"{path} is not there. The first start of the app makes it.")
    if not os.access(path, os.R_OK | os.W_OK | os.X_OK):
        return Finding(what, BAD, f"{path} cannot be read and written by this user.")
    if os.name == "nt":
        return Finding(what, FINE, str(path))
    open_to_others = [
        at.name for at in (path, *_ours(path)) if at.stat().st_mode & (stat.S_IRWXG | stat.S_IRWXO)
    ]
    if path.name in open_to_others and len(open_to_others) == 1:
        return Finding(what, LOOK, f"Others may enter {path}; close it by: chmod 700 {path}")
    closed = [name for name in open_to_others if name != path.name]
    if closed and path.name in open_to_others:
        words = ", ".join(closed)
        return Finding(what, BAD, f"Others may read {words} in {path}; by: chmod -R go= {path}")
    return Finding(what, FINE, str(path))


def _ours(path: Path) -> list[Path]:
    names = ("leafgill.db", "leafgill.db-wal", "secret-key")
    return [path / name for name in names if (path / name).exists()]


def disk(path: Path | None = None, free: int | None = None) -> Finding:
    """Look at the room that is left; `free` [bytes] takes the place of what the system says."""
    what, place = "disk", path or home()
    while not place.exists():
        place = place.parent
    left = shutil.disk_usage(place).free if free is None else free
    database = home() / "leafgill.db"
    needed = _ROOM_FOR_BACKUPS * (database.stat().st_size if database.exists() else 0)
    if left < LEAST_FREE:
        return Finding(what, BAD, f"{size(left)} free. Make room: readings may be refused.")
    if left < max(LITTLE_FREE, needed):
        return Finding(what, LOOK, f"{size(left)} free. That is little for backups; make room.")
    return Finding(what, FINE, f"{size(left)} free")


def clock(now: datetime, written: datetime | None) -> Finding:
    """Hold the clock against the program's files and `written`, when something last was."""
    what = "clock"
    said = f"{now:%Y-%m-%d %H:%M} UTC"
    built = datetime.fromtimestamp(Path(str(leafgill.__file__)).stat().st_mtime, UTC)
    if now < built - timedelta(days=1):
        return Finding(
            what,
            BAD,
            f"{said} is before the program was put here ({built:%Y-%m-%d}). Set the clock; a board "
            "without a battery has to wait for the network's time.",
        )
    if written is not None and written > now + _SLACK:
        return Finding(
            what,
            BAD,
            f"{said}, but something was written {span(written - now)} later than that. The clock "
            "was put back, or was wrong before; what is believed hangs on it.",
        )
    return Finding(what, FINE, said)
