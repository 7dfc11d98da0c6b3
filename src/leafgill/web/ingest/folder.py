"""The watched folder: what a logger drops there comes in, and is put away as done or refused.

incoming/den-4k7w2m9xqt/          one folder a tank, made by the program
incoming/den-4k7w2m9xqt/done/     what came in
incoming/den-4k7w2m9xqt/refused/  what is no probe file, with a text beside it that says why
"""

from __future__ import annotations

import logging
import os
import re
import stat
import threading
import time
from datetime import datetime
from pathlib import Path

from leafgill.diary import read_probe
from leafgill.errors import InputError
from leafgill.web.clock import now as clock_now
from leafgill.web.home import home
from leafgill.web.importing.upload import LARGEST
from leafgill.web.ingest.durable import make_durable
from leafgill.web.ingest.failing import StoreError
from leafgill.web.ingest.parcel import Taken, packed, sender_of
from leafgill.web.ingest.taking import Desk
from leafgill.web.lock import Lock
from leafgill.web.models import TankRow
from leafgill.web.store.readings import sensor_for
from leafgill.web.store.tanks import spec_of

log = logging.getLogger(__name__)
FOLDER, DONE, REFUSED = "incoming", "done", "refused"
LOCK_FILE = "folder.lock"
EVERY_S = 3.0
# Still being written, by the habit of many programs.
_UNFINISHED = (".part", ".tmp", ".crdownload", ".filepart")
_MOST_PAUSE_S = 60.0


class Folder:
    """A runner that looks into the folder every few seconds."""

    name = "folder"

    def __init__(self, every_s: float = EVERY_S) -> None:
        self._every_s = every_s
        # size and time of change of each file, when it was looked at last
        self._seen: dict[Path, tuple[int, int]] = {}

    def run(self, stop: threading.Event) -> None:
        """Look until `stop`; what has begun to come in is finished.

        One process looks into a data folder's; in another this returns at once.
        """
        lock = Lock(home() / LOCK_FILE)
        if not lock.take():
            return
        try:
            self._look_on(stop)
        finally:
            lock.release()

    def _look_on(self, stop: threading.Event) -> None:
        pause_s = self._every_s
        while not stop.is_set():
            try:
                self.look()
                pause_s = self._every_s
            except StoreError as wrong:
                log.warning("files wait in %s: %s", home() / FOLDER, wrong)
                pause_s = min(2 * pause_s, _MOST_PAUSE_S)
            stop.wait(pause_s)

    def look(self) -> int:
        """Take in what lies there and has not changed since the last look; return how many files.

        Raises StoreError where nothing can be kept; the files stay where they are.
        """
        count, seen = 0, {}
        for row in TankRow.objects.filter(archived_at__isnull=True).order_by("pk"):
            for path, looks in _waiting(folder_of(row)).items():
                if self._seen.get(path) != looks:
                    seen[path] = looks
                    continue
                self._take(row, path)
                count += 1
        self._seen = seen
        return count

    def _take(self, row: TankRow, path: Path) -> None:
        try:
            told = take_file(row, path, clock_now())
        except InputError as wrong:
            self._put_away(path, REFUSED, str(wrong))
        except FileNotFoundError:
            return  # whoever put it there has taken it away
        except StoreError:
            raise
        except Exception:
            # one file must not keep all others waiting for good
            log.exception("a file could not be read")
            self._put_away(path, REFUSED, "something unforeseen; the log says what")
        else:
            self._put_away(path, DONE, _words(told))

    def _put_away(self, path: Path, where: str, words: str) -> None:
        try:
            _put_away(path, where, words)
        except OSError as wrong:
            # it comes in once however often it is read
            log.warning("%s cannot be put away: %s", path, wrong.strerror)


def folder_of(row: TankRow) -> Path:
    """Return a tank's folder, made where it is not there; the tank may have been renamed since."""
    base = home() / FOLDER
    there = sorted(base.glob(f"*-{row.public_id}"))
    if there:
        return there[0]
    plain = re.sub(r"[^a-z0-9]+", "-", row.name.lower()).strip("-")[:40] or "tank"
    made = base / f"{plain}-{row.public_id}"
    for part in (made, made / DONE, made / REFUSED):
        part.mkdir(parents=True, exist_ok=True, mode=0o700)
    return made


def _waiting(folder: Path) -> dict[Path, tuple[int, int]]:
    """Return the files of a folder with size and time of change, the oldest first."""
    found = []
    with os.scandir(folder) as entries:
        for entry in entries:
            if entry.name.startswith(".") or entry.name.lower().endswith(_UNFINISHED):
                continue
            about = entry.stat(follow_symlinks=False)
            # a link could lead anywhere
            if stat.S_ISREG(about.st_mode):
                found.append((about.st_mtime_ns, Path(entry.path), about.st_size))
    return {path: (size, changed) for changed, path, size in sorted(found)}


def take_file(row: TankRow, path: Path, now: datetime) -> list[Taken]:
    """Take a file's readings in, all of them or none; return what became of each sensor's.

    Raises InputError for what is no probe file, StoreError where nothing can be kept now.
    """
    name = path.name
    if path.stat().st_size > LARGEST["probe"]:
        raise InputError(f"is larger than {LARGEST['probe'] // 1_000_000} MB", name)
    try:
        data = path.read_bytes()
    except OSError as wrong:
        raise InputError(f"cannot be read: {wrong.strerror}", name) from None
    streams, findings = read_probe(data, name, keep_outside=True)
    lost = [finding for finding in findings if finding.kind == "not-a-number"]
    timezone, parcels = spec_of(row).timezone, []
    make_durable()
    for kind, stream in streams.items():
        local, _ = stream.localised(timezone)
        parcels.append(packed(sender_of(sensor_for(row, kind)), local.times_s, local.values))
    if not any(parcel.times_s.size for parcel in parcels):
        raise InputError("no reading in it can be used", name)
    taken = Desk(lambda: now).take_all(parcels)
    if lost:
        count = sum(max(1, len(finding.lines)) for finding in lost)
        taken.append(Taken(refused=count, why=tuple(str(finding) for finding in lost)))
    return taken


def _words(taken: list[Taken]) -> str:
    """Return what is worth telling of a file that came in, "" where all is as it should be."""
    lines = []
    for attribute, words in (
        ("clashing", "had another value for a second that has one; the first stays"),
        ("doubted", "are kept and doubted"),
        ("refused", "were not taken"),
    ):
        count = sum(getattr(found, attribute) for found in taken)
        if count:
            lines.append(f"{count} readings {words}")
    return "\n".join([*lines, *(why for found in taken for why in found.why)])


def _put_away(path: Path, where: str, words: str) -> None:
    """Move a file away with what is to be said of it; one that cannot be moved is tried again."""
    folder = path.parent / where
    folder.mkdir(exist_ok=True, mode=0o700)
    to = folder / path.name
    if to.exists():
        to = folder / f"{path.stem}-{time.time_ns()}{path.suffix}"
    path.rename(to)
    note = to.with_name(f"{to.name}.txt")
    if words:
        try:
            note.write_text(words + "\n", encoding="utf-8", errors="backslashreplace")
        except OSError as wrong:
            log.warning("%s: %s", note, wrong.strerror)
    if where == REFUSED:
        log.warning("a file is refused; why stands beside it: %s", to)
