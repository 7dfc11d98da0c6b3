"""Everything the doctor looks at, in order; looking writes nothing."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from leafgill.errors import InputError
from leafgill.web.doctor import living, machine
from leafgill.web.doctor.finding import BAD, Finding
from leafgill.web.home import home


def examine(now: datetime, data: Path | None = None) -> list[Finding]:
    """Return what was found at an aware moment, of the data folder that is named or set."""
    from leafgill.web.set_up import name_home, start_django

    name_home(data)
    found = [machine.folder(), machine.disk()]
    if not home().is_dir():
        return found
    try:
        start_django()
    except InputError as wrong:
        return [*found, Finding("settings", BAD, f"{wrong}")]
    from django.db import DatabaseError, connection

    from leafgill.web.doctor import store
    from leafgill.web.doctor.broker import broker

    asked: list[Finding] = [store.database()]
    if asked[0].state != BAD:
        asked.append(store.form())
    written: datetime | None = None
    try:
        if asked[-1].state != BAD:
            written = store.last_written()
            asked += [*broker(), *living.probes(now)]
    except DatabaseError:
        # a database whose form is older lacks what is asked for; its form has been told
        pass
    finally:
        connection.close()
    return [
        *found,
        machine.clock(now, written),
        *asked,
        living.backups(now),
        living.app(now),
    ]
