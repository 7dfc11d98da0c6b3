"""Bringing a backup back into a PostgreSQL database: all of it in one transaction, or nothing."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import Any

from django.db import DatabaseError, connection, transaction
from django.db.migrations.executor import MigrationExecutor

from leafgill.errors import InputError
from leafgill.web.keeping.backing_up import back_up
from leafgill.web.keeping.backup_format import BEFORE_RESTORE
from leafgill.web.keeping.postgres_copy import copy_in, quoted_name
from leafgill.web.keeping.reading_back import Backup, member_of

_RECORDS = "django_migrations"


def bring_tables_back(backup: Backup, now: datetime) -> Path | None:
    """Put a backup's tables in the place of those that are there.

    Return the backup that was made of what was there before, None where nothing was. The database
    gets the form the backup has; the next start brings it up to date. Raises InputError, in one
    line, where it cannot be done; the database is then as it was.
    """
    try:
        aside = back_up(now, BEFORE_RESTORE).path if _there() else None
        with transaction.atomic():
            _clear()
            _form(backup)
            _fill(backup)
    except DatabaseError as wrong:
        told = (str(wrong).strip().splitlines() or [type(wrong).__name__])[0]
        raise InputError(f"cannot be brought back: {told}", backup.name) from None
    return aside


def _there() -> set[str]:
    """Return the tables of the app that are in the database."""
    ours = {*connection.introspection.django_table_names(), _RECORDS}
    return ours & set(connection.introspection.table_names())


def _clear() -> None:
    with connection.cursor() as cursor:
        for name in sorted(_there()):
            cursor.execute(f"DROP TABLE {quoted_name(name)} CASCADE")


def _form(backup: Backup) -> None:
    """Make the tables as they were when the backup was made."""
    listed = set(backup.manifest.migrations)
    executor = MigrationExecutor(connection)
    nodes = executor.loader.graph.node_map
    last = [
        at
        for at in listed
        if at in nodes and not any(child.key in listed and child.key[0] == at[0]
                                   for child in nodes[at].children)
    ]  # fmt: skip
    executor.migrate(sorted(last))


def _fill(backup: Backup) -> None:
    listed = {table.name: table for table in backup.manifest.tables}
    missing = _there() - set(listed)
    if missing:
        raise InputError(f"lacks {', '.join(sorted(missing))}", backup.name)
    with connection.cursor() as cursor:
        # what belongs together is looked at when all is there
        cursor.execute("SET CONSTRAINTS ALL DEFERRED")
        for name in sorted(_there()):
            cursor.execute(f"DELETE FROM {quoted_name(name)}")
        for table in listed.values():
            rows = copy_in(cursor, table, backup.blocks(backup.member(member_of(table))))
            if rows != table.rows:
                raise InputError(f"{table.name}: not the rows that were counted", backup.name)
        for words in _sequences(cursor):
            cursor.execute(words)


def _sequences(cursor: Any) -> list[str]:
    """Return what lets each table's next number follow the largest that is in it."""
    found = []
    for name in sorted(_there()):
        for at in connection.introspection.get_sequences(cursor, name):
            table, column = quoted_name(name), quoted_name(at["column"])
            found.append(
                f"SELECT setval(pg_get_serial_sequence('{table}', '{at['column']}'), "
                f"coalesce(max({column}), 1), max({column}) IS NOT NULL) FROM {table}"
            )
    return found
