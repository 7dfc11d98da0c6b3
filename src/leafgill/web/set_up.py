"""Making ready what the app stands on: the data folder, Django, the database, the pages' files."""

from __future__ import annotations

import hashlib
import os
from pathlib import Path

from leafgill.errors import InputError, quoted
from leafgill.web import clock
from leafgill.web.home import HOME, prepare

_MARK = ".of"


def set_up(data: Path | None = None) -> Path:
    """Make Django ready in this process, and the database what this program needs.

    Return the data folder. Raises InputError, in one line, for a folder, a setting or a database
    that cannot be used.
    """
    if data is not None:
        os.environ[HOME] = str(data.expanduser().absolute())
    # the data is this user's alone, also in a folder that others may enter
    os.umask(0o077)
    folder = prepare()
    clock.now()
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "leafgill.web.settings")
    import django
    from django.core.management import call_command
    from django.db import DatabaseError

    django.setup()
    try:
        _refuse_newer()
        call_command("migrate", interactive=False, verbosity=0)
    except DatabaseError as wrong:
        told = str(wrong).strip().splitlines()
        why = told[0] if told else type(wrong).__name__
        raise InputError(f"the database cannot be used: {why}") from None
    return folder


def _refuse_newer() -> None:
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
