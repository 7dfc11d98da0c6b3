"""The database: whether it answers, is sound, and has the form this program needs."""

from __future__ import annotations

import os
from datetime import UTC, datetime
from pathlib import Path

from leafgill.errors import InputError
from leafgill.web.doctor.finding import BAD, FINE, LOOK, Finding
from leafgill.web.keeping.words import size


def database() -> Finding:
    """Read all of a SQLite database; ask a server whether it is there."""
    from django.db import DatabaseError, connection

    what = "database"
    if connection.vendor == "sqlite":
        return _file(what, Path(connection.settings_dict["NAME"]))
    try:
        with connection.cursor() as cursor:
            cursor.execute("SELECT pg_database_size(current_database())")
            (bytes_,) = cursor.fetchone()
    except DatabaseError as wrong:
        from leafgill.web.set_up import first_line

        return Finding(what, BAD, f"It does not answer: {first_line(wrong)}")
    return Finding(what, FINE, f"PostgreSQL answers, {size(bytes_)}")


def _file(what: str, file: Path) -> Finding:
    from leafgill.web.keeping.sqlite_copy import check_database

    if not file.exists():
        return Finding(what, BAD, f"{file} is not there. The first start of the app makes it.")
    try:
        check_database(file, file.name)
    except InputError as wrong:
        return Finding(what, BAD, f"{wrong}. Stop the app and bring a backup back.")
    if not os.access(file, os.W_OK):
        return Finding(what, BAD, f"{file} cannot be written by this user.")
    return Finding(what, FINE, f"SQLite, {size(file.stat().st_size)}, every page read and sound")


def form() -> Finding:
    """Hold the database's form against the program's."""
    from django.db import DatabaseError

    from leafgill.web.set_up import first_line, pending, refuse_newer

    what = "database's form"
    try:
        refuse_newer()
        names, has_one = pending()
    except InputError as wrong:
        return Finding(what, BAD, f"{wrong}")
    except DatabaseError as wrong:
        return Finding(what, BAD, f"It cannot be read: {first_line(wrong)}")
    if not has_one:
        return Finding(what, LOOK, "The database is empty. The first start of the app fills it.")
    if names:
        return Finding(
            what, LOOK, f"{len(names)} changes are due; the next start makes them, after a backup."
        )
    return Finding(what, FINE, "as this program needs it")


def last_written() -> datetime | None:
    """Return when the newest entry, step or answer was written, None where there is nothing.

    Raises DatabaseError where the database cannot be asked.
    """
    from django.db.models import Max

    from leafgill.web.models import AnswerRow, EntryRow, StepRow

    times = [
        model.objects.aggregate(at=Max("made_at"))["at"] for model in (EntryRow, StepRow, AnswerRow)
    ]
    found = [at.astimezone(UTC) for at in times if at is not None]
    return max(found, default=None)
