"""An archive of every tank, and its way back, from the command line."""

from __future__ import annotations

import os
import tempfile
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path

from leafgill.errors import InputError, quoted
from leafgill.web.models import TankRow
from leafgill.web.store import archive, logins
from leafgill.web.store.archive_format import LARGEST_TOTAL, MANIFEST


def export(place: Path, name: str | None, now: datetime) -> list[TankRow]:
    """Write the tanks of a name, or every tank of everybody, to a new archive; return them.

    Tanks put away are among them. What was written is read again before it counts. Raises
    InputError, in one line, where there is no such tank, or the file cannot be written.
    """
    rows = list(TankRow.objects.order_by("pk"))
    if name is not None:
        rows = [row for row in rows if row.name == name]
    if not rows:
        raise InputError("there is no tank" if name is None else f"there is no tank {quoted(name)}")
    path = place.expanduser().absolute()
    if path.is_dir():
        path /= f"leafgill-tanks-{now:%Y-%m-%d}.zip"
    if path.exists():
        raise InputError(f"{path} is there already; name another file")
    try:
        with _new_file(path) as part:
            with part.open("xb") as out:
                archive.save(rows, out, now)
                out.flush()
                os.fsync(out.fileno())
            _look(part, path.name)
    except OSError as wrong:
        why = wrong.strerror or type(wrong).__name__
        raise InputError(f"{path} cannot be written: {why}") from None
    return rows


@contextmanager
def _new_file(path: Path) -> Iterator[Path]:
    """Give a place to write, and let it be the file when all went well."""
    with tempfile.TemporaryDirectory(prefix=".export-", dir=path.parent) as folder:
        part = Path(folder) / path.name
        yield part
        part.replace(path)


def _look(path: Path, name: str) -> None:
    archive.look(path.read_bytes(), name)


def is_archive(path: Path) -> bool:
    """Return whether a file is an archive of tanks; any other file is not, nor is none."""
    try:
        with zipfile.ZipFile(path) as opened:
            return b'"leafgill archive"' in opened.read(MANIFEST)[:200]
    except (OSError, zipfile.BadZipFile, KeyError, ValueError, NotImplementedError):
        return False


def bring_tanks_back(path: Path, keeper: str | None, now: datetime) -> list[TankRow]:
    """Add the tanks of an archive as a keeper's own; all of them or none.

    Raises InputError, in one line, without a keeper, and for an archive that cannot be read.
    """
    if keeper is None:
        raise InputError("is an archive of tanks; say whose they are to be by --keeper", path.name)
    owner = logins.named(keeper)
    if path.stat().st_size > LARGEST_TOTAL:
        raise InputError("is larger than anything some tanks need", path.name)
    return archive.restore(path.read_bytes(), path.name, owner, now)
