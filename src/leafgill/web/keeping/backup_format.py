"""The backup: one zip file with the whole of the app's data, as its database has it.

    manifest.json       what made it and when, the database's form, each table's rows, hashes
    leafgill.db         of SQLite: the database, a file that any SQLite opens
    tables/NAME.copy    of PostgreSQL: each table as COPY writes it, in text
    files/NAME          the small files of the data folder that belong to it: the secret key

It holds password hashes and the key that logins are signed with: it is for its owner's eyes. An
archive (`leafgill.web.store.archive`) holds tanks alone, readable and for any machine.
"""

from __future__ import annotations

import fnmatch
import re
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from leafgill.errors import InputError, quoted

FORMAT, VERSION = "leafgill backup", 1
MANIFEST, SQLITE_FILE = "manifest.json", "leafgill.db"
SQLITE, POSTGRESQL = "sqlite", "postgresql"
LARGEST_MANIFEST = 2_000_000
# The files at the top of the data folder that belong to the data; the rest is made anew.
KEPT_FILES = ("secret-key", "*-password", "*-key", "*.toml")
# By hand, by the app each day, or just before the database gets another form or other rows.
BY_HAND, DAILY = "by-hand", "daily"
BEFORE_UPGRADE, BEFORE_RESTORE = "before-upgrade", "before-restore"
KINDS = (BY_HAND, DAILY, BEFORE_UPGRADE, BEFORE_RESTORE)

_NAME = re.compile(r"leafgill-(\d{4}-\d\d-\d\dT\d{6}Z)-([a-z-]+)\.zip")
_TIME = "%Y-%m-%dT%H%M%SZ"
_FILE = re.compile(r"[a-z][a-z0-9._-]{0,60}", re.ASCII)
_MEMBER = re.compile(r"leafgill\.db|tables/[a-z][a-z0-9_]{0,62}\.copy|files/[a-z0-9._-]{1,61}")


def name_of(now: datetime, kind: str) -> str:
    """Return the file name of a backup of an aware moment, in UTC; names sort by time."""
    return f"leafgill-{now.astimezone(UTC).strftime(_TIME)}-{kind}.zip"


def told_by_name(name: str) -> tuple[datetime, str] | None:
    """Return when a backup was made, and its kind, by its name; None for another file."""
    found = _NAME.fullmatch(name)
    if found is None or found[2] not in KINDS:
        return None
    try:
        return datetime.strptime(found[1], _TIME).replace(tzinfo=UTC), found[2]
    except ValueError:
        return None


def is_kept(name: str) -> bool:
    """Return whether a file of the data folder's top belongs into a backup."""
    return bool(_FILE.fullmatch(name)) and any(
        fnmatch.fnmatchcase(name, pattern) for pattern in KEPT_FILES
    )


@dataclass(frozen=True, slots=True)
class Member:
    """A file within a backup: its name, size and SHA-256."""

    name: str
    bytes: int
    sha256: str


@dataclass(frozen=True, slots=True)
class Table:
    """A table: its rows; its columns are named where the order of a copy hangs on them."""

    name: str
    rows: int
    columns: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Manifest:
    """What a backup tells of itself. `migrations` are (app, name) of the database's form."""

    program: str
    made_at: str
    database: str
    migrations: tuple[tuple[str, str], ...]
    tables: tuple[Table, ...]
    members: tuple[Member, ...]

    def plain(self) -> dict[str, Any]:
        """Return it as it is written."""
        return {
            "format": FORMAT,
            "version": VERSION,
            "program": self.program,
            "made_at": self.made_at,
            "database": self.database,
            "migrations": [list(pair) for pair in self.migrations],
            "tables": [
                {"name": at.name, "rows": at.rows, "columns": list(at.columns)}
                for at in self.tables
            ],
            "members": [
                {"name": at.name, "bytes": at.bytes, "sha256": at.sha256} for at in self.members
            ],
        }


def manifest_of(told: Any, name: str) -> Manifest:
    """Return the manifest that was written as plain data.

    Raises InputError, in one line, for anything that `plain` does not give.
    """
    if not isinstance(told, dict) or told.get("format") != FORMAT:
        raise InputError("is no backup of this program", name)
    if told.get("version") != VERSION:
        raise InputError(
            f"is of version {quoted(told.get('version'))}; this program reads {VERSION}", name
        )
    try:
        made = Manifest(
            program=str(told["program"]),
            made_at=datetime.fromisoformat(told["made_at"]).isoformat(),
            database=told["database"],
            migrations=tuple((str(app), str(at)) for app, at in told["migrations"]),
            tables=tuple(
                Table(str(at["name"]), int(at["rows"]), tuple(str(c) for c in at["columns"]))
                for at in told["tables"]
            ),
            members=tuple(
                Member(str(at["name"]), int(at["bytes"]), str(at["sha256"]))
                for at in told["members"]
            ),
        )
    except (KeyError, TypeError, ValueError, AttributeError):
        raise InputError("tells of itself what cannot be read", name) from None
    if made.database not in (SQLITE, POSTGRESQL):
        raise InputError(f"is of the database {quoted(made.database)}", name)
    for member in made.members:
        if not _MEMBER.fullmatch(member.name) or member.bytes < 0:
            raise InputError(f"lists {quoted(member.name)}, which belongs to none", name)
    return made
