"""Making a backup while the app runs; it counts when it was read back."""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import sqlite3
import tempfile
import time
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from importlib.metadata import version
from pathlib import Path
from typing import IO, Any

from leafgill.errors import InputError
from leafgill.web.home import home
from leafgill.web.keeping import postgres_copy
from leafgill.web.keeping.backup_format import (
    MANIFEST,
    POSTGRESQL,
    SQLITE,
    SQLITE_FILE,
    Manifest,
    Member,
    Table,
    is_kept,
    name_of,
)
from leafgill.web.keeping.reading_back import BLOCK, member_of, read_back
from leafgill.web.keeping.sqlite_copy import copy_database, migrations_of, tables_of

FOLDER = "LEAFGILL_BACKUPS"
# a small board has more disk than time: the quickest level halves a database already
_LEVEL = 1
_WORKPLACE, _LEFT_BEHIND_S = ".backup-", 86_400.0


@dataclass(frozen=True, slots=True)
class Made:
    """A backup that was made and read back."""

    path: Path
    bytes: int
    manifest: Manifest


def folder() -> Path:
    """Return where backups go: `LEAFGILL_BACKUPS`, else a folder within the data folder."""
    named = os.environ.get(FOLDER, "").strip()
    return Path(named).expanduser().absolute() if named else home() / "backups"


def back_up(now: datetime, kind: str, place: Path | None = None) -> Made:
    """Make a backup and read it back; readers and writers go on meanwhile.

    `place` is a folder, or the name of a new file; without it the backup goes into `folder()`
    under a name that tells time and kind. Raises InputError, in one line, where it cannot be made
    or is not read back as it was written; nothing half is left behind then.
    """
    path = _path(now, kind, place)
    try:
        path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        if path.exists():
            raise InputError(f"{path} is there already; name another file")
        return _made(path, now)
    except OSError as wrong:
        why = wrong.strerror or type(wrong).__name__
    except sqlite3.Error as wrong:
        why = str(wrong)
    raise InputError(f"no backup could be made at {path}: {why}; nothing is left of it")


def _path(now: datetime, kind: str, place: Path | None) -> Path:
    if place is None:
        return folder() / name_of(now, kind)
    whole = place.expanduser().absolute()
    return whole / name_of(now, kind) if whole.is_dir() else whole


def _made(path: Path, now: datetime) -> Made:
    _clear_away(path.parent)
    # in a folder of its own, so that whatever stops it leaves no file that looks like a backup
    with tempfile.TemporaryDirectory(prefix=_WORKPLACE, dir=path.parent) as made_in:
        part = Path(made_in) / path.name
        with part.open("xb") as out:
            part.chmod(0o600)
            _write(out, Path(made_in), now)
            out.flush()
            os.fsync(out.fileno())
        manifest = read_back(part)
        size = part.stat().st_size
        part.replace(path)
    _flush_folder(path.parent)
    return Made(path, size, manifest)


def _clear_away(parent: Path) -> None:
    """Delete what a backup left behind that was killed in the middle, some time ago."""
    for left in parent.glob(f"{_WORKPLACE}*"):
        if time.time() - left.stat().st_mtime > _LEFT_BEHIND_S:
            shutil.rmtree(left, ignore_errors=True)


def _flush_folder(folder: Path) -> None:
    """Have the new name survive a loss of power, where a folder can be flushed."""
    if os.name == "nt":
        return
    number = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(number)
    finally:
        os.close(number)


def _write(out: IO[bytes], space: Path, now: datetime) -> None:
    from django.db import connection

    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED, compresslevel=_LEVEL) as archive:
        if connection.vendor == POSTGRESQL:
            migrations, tables, members = _postgres(archive)
        else:
            migrations, tables, members = _sqlite(archive, space)
        members += _files(archive)
        manifest = Manifest(
            program=version("leafgill"),
            made_at=now.astimezone(UTC).isoformat(timespec="seconds"),
            database=POSTGRESQL if connection.vendor == POSTGRESQL else SQLITE,
            migrations=migrations,
            tables=tables,
            members=tuple(members),
        )
        archive.writestr(MANIFEST, json.dumps(manifest.plain(), indent=1))


_Database = tuple[tuple[tuple[str, str], ...], tuple[Table, ...], list[Member]]


def _sqlite(archive: zipfile.ZipFile, space: Path) -> _Database:
    from django.db import connection

    file = space / SQLITE_FILE
    connection.ensure_connection()
    copy_database(connection.connection, file)
    with _Hashed(archive, SQLITE_FILE) as member, file.open("rb") as source:
        while block := source.read(BLOCK):
            member.write(block)
    found = migrations_of(file), tables_of(file), [member.told()]
    file.unlink()
    return found


def _postgres(archive: zipfile.ZipFile) -> _Database:
    tables, members = [], []
    with postgres_copy.one_moment() as opened:
        migrations = postgres_copy.migrations_of(opened)
        for name, columns in postgres_copy.names_and_columns(opened):
            with _Hashed(archive, member_of(Table(name, 0))) as member:
                tables.append(postgres_copy.copy_out(opened, name, columns, member.write))
            members.append(member.told())
    return migrations, tuple(tables), members


def _files(archive: zipfile.ZipFile) -> list[Member]:
    members = []
    for name, path in _kept_files():
        with _Hashed(archive, f"files/{name}") as member:
            member.write(path.read_bytes())
        members.append(member.told())
    return members


def _kept_files() -> Iterator[tuple[str, Path]]:
    found = sorted(home().iterdir()) if home().is_dir() else []
    for path in found:
        if is_kept(path.name) and path.is_file() and not path.is_symlink():
            yield path.name, path


class _Hashed:
    """A member of a zip file that is hashed and counted while it is written."""

    def __init__(self, archive: zipfile.ZipFile, name: str) -> None:
        self._name, self._hash, self._size = name, hashlib.sha256(), 0
        # a table of years may be larger than 2 GB, and nobody knows before
        self._out: Any = archive.open(name, "w", force_zip64=True)

    def __enter__(self) -> _Hashed:
        return self

    def __exit__(self, *_what: object) -> None:
        self._out.close()

    def write(self, data: bytes) -> None:
        """Add to it."""
        self._out.write(data)
        self._hash.update(data)
        self._size += len(data)

    def told(self) -> Member:
        """Return what was written."""
        return Member(self._name, self._size, self._hash.hexdigest())
