"""A PostgreSQL database's tables as text, of one moment, and back."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import closing, contextmanager
from typing import Any

from leafgill.web.keeping.backup_format import Table

Write = Callable[[bytes], object]


def quoted_name(name: str) -> str:
    """Return a table's or column's name as SQL has it."""
    return '"' + name.replace('"', '""') + '"'


@contextmanager
def one_moment() -> Iterator[Any]:
    """Give a connection of its own that sees the database as it stood at one moment."""
    from django.db import connection

    with closing(connection.get_new_connection(connection.get_connection_params())) as opened:
        opened.autocommit = False
        opened.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ READ ONLY")
        yield opened
        opened.rollback()


def names_and_columns(opened: Any) -> list[tuple[str, tuple[str, ...]]]:
    """Return the app's tables with their columns, in order of their names."""
    from django.db import connection

    ours = {*connection.introspection.django_table_names(), "django_migrations"}
    found: dict[str, list[str]] = {}
    rows = opened.execute(
        "SELECT table_name, column_name FROM information_schema.columns "
        "WHERE table_schema = current_schema() ORDER BY table_name, ordinal_position"
    )
    for table, column in rows:
        if table in ours:
            found.setdefault(table, []).append(column)
    return [(name, tuple(columns)) for name, columns in found.items()]


def migrations_of(opened: Any) -> tuple[tuple[str, str], ...]:
    """Return the (app, name) the database was brought to."""
    rows = opened.execute("SELECT app, name FROM django_migrations ORDER BY id").fetchall()
    return tuple((str(app), str(name)) for app, name in rows)


def copy_out(opened: Any, name: str, columns: Sequence[str], write: Write) -> Table:
    """Hand a table's rows to `write`, one line a row, as text; return what was written."""
    rows = 0
    with opened.cursor().copy(f"COPY {_with_columns(name, columns)} TO STDOUT") as copy:
        for block in copy:
            data = bytes(block)
            # in this form a line break within a value is written as \n
            rows += data.count(b"\n")
            write(data)
    return Table(name, rows, tuple(columns))


def copy_in(cursor: Any, table: Table, blocks: Iterator[bytes]) -> int:
    """Put a table's rows in from lines as `copy_out` writes them; return how many."""
    words = f"COPY {_with_columns(table.name, table.columns)} FROM STDIN"
    with cursor.cursor.copy(words) as copy:
        for block in blocks:
            copy.write(block)
    cursor.execute(f"SELECT count(*) FROM {quoted_name(table.name)}")
    return int(cursor.fetchone()[0])


def _with_columns(name: str, columns: Sequence[str]) -> str:
    return f"{quoted_name(name)} ({', '.join(quoted_name(column) for column in columns)})"
