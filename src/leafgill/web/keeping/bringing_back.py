"""Bringing a backup back in place of what is there, which is set aside and not deleted."""

from __future__ import annotations

import os
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from leafgill.errors import InputError, quoted
from leafgill.web.home import DATABASE_URL, database, home, prepare
from leafgill.web.keeping.backup_format import (
    POSTGRESQL,
    SQLITE,
    SQLITE_FILE,
    Manifest,
    is_kept,
)
from leafgill.web.keeping.reading_back import Backup, check_file, opened, read_back
from leafgill.web.lock import Lock

_NEW = ".bringing-back"


@dataclass(frozen=True, slots=True)
class Back:
    """What came back, and where what was there before lies (None where nothing was)."""

    manifest: Manifest
    aside: Path | None


def bring_back(path: Path, now: datetime) -> Back:
    """Put a backup in the place of the app's data; the app must not run meanwhile.

    All of the backup is read and found sound first. Of SQLite, what was there lies in a folder
    beside it afterwards; of PostgreSQL it is in a backup made just before. Raises InputError, in
    one line, for a backup that cannot be brought back here; nothing is changed then.
    """
    prepare()
    lock = Lock()
    if not lock.take():
        raise InputError("the app runs on this data; stop it first, nothing was changed")
    try:
        with opened(path) as backup:
            _refuse_other_kind(backup)
            _refuse_newer(backup)
            if backup.manifest.database == SQLITE:
                return _sqlite(backup, now)
            from leafgill.web.keeping.postgres_back import bring_tables_back

            read_back(path)
            aside = bring_tables_back(backup, now)
            _put_files(backup)
            return Back(backup.manifest, aside)
    finally:
        lock.release()


def kind_here() -> str:
    """Return which kind of database the app is set to keep. Raises InputError as `database`."""
    return POSTGRESQL if "postgresql" in database()["ENGINE"] else SQLITE


def _refuse_other_kind(backup: Backup) -> None:
    here, there = kind_here(), backup.manifest.database
    if here == there:
        return
    how = "set" if there == POSTGRESQL else "unset"
    raise InputError(
        f"is of a {'PostgreSQL' if there == POSTGRESQL else 'SQLite'} database; {how} "
        f"{DATABASE_URL}, or take tanks from one kind to the other by leafgill export",
        backup.name,
    )


def _refuse_newer(backup: Backup) -> None:
    """Raise InputError for a backup in a form that only a later version knows."""
    from django.db.migrations.loader import MigrationLoader

    known = set(MigrationLoader(None).disk_migrations)
    unknown = [(app, at) for app, at in backup.manifest.migrations if (app, at) not in known]
    if unknown:
        raise InputError(
            f"is of a newer Leaf & Gill ({backup.manifest.program}) than this one "
            f"({quoted(unknown[-1][1])} is not known here); bring the program up to date",
            backup.name,
        )


# -- SQLite: files


def _sqlite(backup: Backup, now: datetime) -> Back:
    file = home() / SQLITE_FILE
    new = home() / (SQLITE_FILE + _NEW)
    new.unlink(missing_ok=True)
    try:
        backup.put(backup.member(SQLITE_FILE), new)
        check_file(new, backup)
        _flush(new)
        aside = _set_aside(file, now)
        new.replace(file)
    except OSError as wrong:
        why = wrong.strerror or type(wrong).__name__
        raise InputError(f"cannot be brought back to {home()}: {why}", backup.name) from None
    finally:
        new.unlink(missing_ok=True)
    _put_files(backup)
    return Back(backup.manifest, aside)


def _set_aside(file: Path, now: datetime) -> Path | None:
    """Move the database that is there into a folder of its own."""
    # the log goes first: were it left beside another database it would be taken for that one's
    parts = [file.with_name(file.name + end) for end in ("-wal", "-shm", "-journal", "")]
    there = [part for part in parts if part.exists()]
    if not there:
        return None
    # a second try in the same second gets a folder of its own
    stamp = now.astimezone(UTC).strftime("%Y-%m-%dT%H%M%SZ")
    aside = next(
        folder
        for folder in (home() / f"before-restore-{stamp}{end}" for end in ("", *"bcdefgh"))
        if not folder.exists()
    )
    aside.mkdir(mode=0o700)
    for part in there:
        part.replace(aside / part.name)
    return aside


def _flush(file: Path) -> None:
    with file.open("rb+") as opened_file:
        os.fsync(opened_file.fileno())


def _put_files(backup: Backup) -> None:
    """Put the data folder's small files back, over those that are there."""
    for member in backup.manifest.members:
        folder, _, name = member.name.partition("/")
        if folder != "files" or not is_kept(name):
            continue
        new = home() / (name + _NEW)
        new.unlink(missing_ok=True)
        backup.put(member, new)
        new.replace(home() / name)
