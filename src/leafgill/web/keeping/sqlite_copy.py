"""A SQLite database as one file, copied while it is in use, and what is looked at in a copy."""

from __future__ import annotations

import re
import sqlite3
import time
from contextlib import closing
from pathlib import Path

from leafgill.errors import InputError
from leafgill.web.keeping.backup_format import Table

_LOCKED_FOR_S = 60.0
_NULL = re.compile(r"NULL value in (\w+)\.(\w+)")


def copy_database(source: sqlite3.Connection, out: Path) -> None:
    """Write what a connection sees into a new file, as of one moment.

    Readers and writers go on meanwhile: in write-ahead mode the copy is one long read
    (sqlite.org, "Online Backup API"). Raises sqlite3.Error, also where somebody holds the database
    for longer than anything should.
    """
    until = time.monotonic() + _LOCKED_FOR_S

    def not_for_ever(status: int, _left: int, _pages: int) -> None:
        if status in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED) and time.monotonic() > until:
            raise sqlite3.OperationalError("database is locked")

    with closing(sqlite3.connect(out)) as target:
        source.backup(target, pages=-1, progress=not_for_ever)
        # a file by itself, without the two that stand beside one in write-ahead mode
        target.execute("PRAGMA journal_mode=DELETE")


def tables_of(file: Path) -> tuple[Table, ...]:
    """Return the tables of a database file with their rows. Raises sqlite3.Error."""
    with closing(_opened(file)) as opened:
        names = [
            name
            for (name,) in opened.execute(
                "SELECT name FROM sqlite_master WHERE type = 'table' "
                "AND name NOT LIKE 'sqlite!_%' ESCAPE '!' ORDER BY name"
            )
        ]
        return tuple(
            Table(name, opened.execute(f'SELECT count(*) FROM "{name}"').fetchone()[0])
            for name in names
        )


def migrations_of(file: Path) -> tuple[tuple[str, str], ...]:
    """Return the (app, name) a database file was brought to. Raises sqlite3.Error."""
    with closing(_opened(file)) as opened:
        found = opened.execute("SELECT app, name FROM django_migrations ORDER BY id").fetchall()
    return tuple((app, name) for app, name in found)


def check_database(file: Path, name: str) -> None:
    """Read all of a database file. Raises InputError, in one line, where anything is broken."""
    try:
        with closing(_opened(file)) as opened:
            faults = _faults(opened)
            if faults:
                raise InputError(f"the database is damaged: {faults[0]}", name)
            astray = opened.execute("PRAGMA foreign_key_check").fetchone()
    except sqlite3.Error as wrong:
        raise InputError(f"the database cannot be read: {wrong}", name) from None
    if astray is not None:
        raise InputError(f"a row of {astray[0]} belongs to one that is not there", name)


def _faults(opened: sqlite3.Connection) -> list[str]:
    """Return what SQLite finds wrong, without what only its own check gets wrong.

    SQLite 3.40 calls columns NULL that are not, in a table that lies by its key when the key's
    first column is the table's last; so each such column is asked for itself.
    """
    faults, told_null = [], set()
    # one for each such row, and the real ones among them
    for (fault,) in opened.execute("PRAGMA integrity_check(1000000)"):
        null = _NULL.fullmatch(fault)
        if null is None:
            faults += [] if fault == "ok" else [fault]
        else:
            told_null.add((null[1], null[2]))
    for table, column in sorted(told_null):
        # not "IS NULL", which is taken for false where the column may not be
        where = f'SELECT 1 FROM "{table}" WHERE typeof("{column}") = \'null\' LIMIT 1'
        if opened.execute(where).fetchone():
            faults.append(f"NULL value in {table}.{column}")
    return faults


def _opened(file: Path) -> sqlite3.Connection:
    return sqlite3.connect(f"{file.absolute().as_uri()}?mode=ro", uri=True)
