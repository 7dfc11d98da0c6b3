"""Making ready what the app stands on: the data folder, Django, the database, the pages' files."""

from __future__ import annotations

import hashlib
import os
from datetime import UTC, datetime
from pathlib import Path

from leafgill.errors import InputError, quoted
from leafgill.web import clock
from leafgill.web.home import HOME, prepare

_MARK = ".of"


def set_up(data: Path | None = None) -> Path:
    """Make Django ready in this process, and the database what this program needs.

    A database that gets another form is backed up before. Return the data folder. Raises
    InputError, in one line, for a folder, a setting or a database that cannot be used.
    """
    name_home(data)
    folder = prepare()
    clock.now()
    start_django()
    from django.core.management import call_command
    from django.db import DatabaseError

    try:
        refuse_newer()
        _back_up_before_upgrade()
        call_command("migrate", interactive=False, verbosity=0)
    except DatabaseError as wrong:
        raise InputError(f"the database cannot be used: {first_line(wrong)}") from None
    return folder


def name_home(data: Path | None) -> None:
    """Let the data folder be the one that was named, and what is written there this user's."""
    if data is not None:
        os.environ[HOME] = str(data.expanduser().absolute())
    # the data is this user's alone, also in a folder that others may enter
    os.umask(0o077)


def start_django() -> None:
    """Make Django ready in this process; the database is not asked anything."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "leafgill.web.settings")
    import django

    django.setup()


def first_line(wrong: Exception) -> str:
    """Return what a database says of a failure, in one line."""
    told = str(wrong).strip().splitlines()
    return told[0] if told else type(wrong).__name__


def pending() -> tuple[list[str], bool]:
    """Return the forms the database has yet to get, and whether it has one of ours already.

    Raises DatabaseError.
    """
    from django.db import connection
    from django.db.migrations.executor import MigrationExecutor

    executor = MigrationExecutor(connection)
    plan = executor.migration_plan(executor.loader.graph.leaf_nodes())
    has_one = any(app == "web" for app, _ in executor.loader.applied_migrations)
    return [migration.name for migration, _ in plan], has_one


def _back_up_before_upgrade() -> None:
    """Raises InputError where there is something to lose and no backup can be made."""
    from leafgill.web.keeping.backing_up import back_up
    from leafgill.web.keeping.backup_format import BEFORE_UPGRADE

    names, has_one = pending()
    if names and has_one:
        try:
            back_up(datetime.now(UTC), BEFORE_UPGRADE)
        except InputError as wrong:
            why = f"the database is to get a new form, and before that {wrong}"
            raise InputError(why) from None


def refuse_newer() -> None:
    """Raise InputError for a database in a form that only a later version knows."""
    from django.db import connection
    from django.db.migrations.loader import MigrationLoader

    loader = MigrationLoader(connection)
    unknown = [
        name
        for app, name in loader.applied_migrations
        if app == "web" and (app, name) not in loader.disk_migrations
    ]
    if unknown:
        raise InputError(
            "the database is of a newer Leaf & Gill than this one "
            f"({quoted(max(unknown))} is not known here); bring the program up to date"
        )


def gather(folder: Path) -> None:
    """Put the pages' files together under names that tell their content, once for each program.

    Raises InputError where they cannot be written.
    """
    from django.core.management import call_command

    static, made_of = folder / "static", _fingerprint()
    mark = static / _MARK
    try:
        if mark.is_file() and mark.read_text(encoding="ascii") == made_of:
            return
        call_command("collectstatic", interactive=False, verbosity=0, clear=True)
        mark.write_text(made_of, encoding="ascii")
    except OSError as wrong:
        raise InputError(f"{static} cannot be written: {wrong.strerror}") from None


def _fingerprint() -> str:
    """Return what tells one program's files from another's: names, sizes, times."""
    from django.contrib.staticfiles.finders import get_finders

    found = hashlib.sha256()
    for finder in get_finders():
        for name, storage in sorted(finder.list([]), key=lambda item: item[0]):
            at = Path(storage.path(name)).stat()
            found.update(f"{name} {at.st_size} {at.st_mtime_ns}\n".encode())
    return found.hexdigest()
