"""`leafgill backup`, `restore` and `export`: nothing lost."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from typing import Annotated

import typer

DataFolder = Annotated[
    Path | None,
    typer.Option(
        "--data", metavar="FOLDER", help="The app's data folder; without it LEAFGILL_HOME's."
    ),
]


def backup(
    place: Annotated[
        Path | None,
        typer.Argument(
            metavar="PLACE", help="A folder, or a new file; without it the backups' folder."
        ),
    ] = None,
    data: DataFolder = None,
    check: Annotated[
        Path | None,
        typer.Option("--check", metavar="FILE", help="Read a backup back, and make none."),
    ] = None,
) -> None:
    """Back up everything the app keeps, also while it runs.

    The backup is read back before it counts. It holds the keepers' password hashes and the key
    that logins are signed with: keep it where nobody else reads. `leafgill serve` makes one a day
    by itself.
    """
    from leafgill.errors import InputError

    if check is not None:
        if place is not None:
            raise InputError("--check reads a backup and makes none; leave out PLACE")
        _check(check)
        return
    from leafgill.web.set_up import set_up

    set_up(data)
    from leafgill.web.keeping.backing_up import back_up
    from leafgill.web.keeping.backup_format import BY_HAND
    from leafgill.web.keeping.words import contents, size

    made = back_up(datetime.now(UTC), BY_HAND, place)
    typer.echo(f"{made.path}")
    typer.echo(f"{contents(made.manifest)}; {size(made.bytes)}, read back, all is there.")


def _check(path: Path) -> None:
    from leafgill.errors import InputError
    from leafgill.web.keeping.reading_back import read_back
    from leafgill.web.keeping.words import contents

    try:
        manifest = read_back(path)
    except OSError as wrong:
        raise InputError(f"could not be read back: {wrong.strerror}", str(path)) from None
    typer.echo(f"Made {manifest.made_at[:16].replace('T', ' ')} UTC by version {manifest.program}.")
    typer.echo(f"{contents(manifest)}; read back, all is there.")


def restore(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="A backup, or an archive of tanks.")],
    keeper: Annotated[
        str | None,
        typer.Option(metavar="NAME", help="Of an archive: whose the tanks are to be."),
    ] = None,
    data: DataFolder = None,
) -> None:
    """Bring a backup back in place of what is there, or add the tanks of an archive.

    A backup is read in full first, and the app must not run meanwhile. What was there before is
    not deleted; where it lies is told.
    """
    from leafgill.web.set_up import name_home, set_up, start_django

    name_home(data)
    now = datetime.now(UTC)
    start_django()
    from leafgill.web.keeping.archives import bring_tanks_back, is_archive

    if is_archive(file):
        set_up(data)
        for row in bring_tanks_back(file, keeper, now):
            typer.echo(f"{row.name} is back.")
        return
    from leafgill.errors import InputError
    from leafgill.web.keeping.bringing_back import bring_back
    from leafgill.web.keeping.words import contents

    if keeper is not None:
        raise InputError("is no archive of tanks; a backup knows its keepers", file.name)
    back = bring_back(file, now)
    # brings it to the form this program needs
    set_up(data)
    typer.echo(f"Back as of {back.manifest.made_at[:16].replace('T', ' ')} UTC: "
               f"{contents(back.manifest)}.")  # fmt: skip
    if back.aside is not None:
        typer.echo(f"What was there before lies in {back.aside}.")


def export(
    place: Annotated[
        Path, typer.Argument(metavar="PLACE", help="A folder, or a new file, as tanks.zip.")
    ],
    tank: Annotated[
        str | None,
        typer.Option(metavar="NAME", help="The tank of this name alone; without it every tank."),
    ] = None,
    data: DataFolder = None,
) -> None:
    """Take every tank out as files that need no program: description, diary, readings, care.

    The archive holds tanks and no logins. `leafgill restore`, or the app's settings page, adds
    its tanks, also on another machine and another kind of database.
    """
    from leafgill.web.set_up import set_up

    set_up(data)
    from leafgill.web.keeping.archives import export as write

    rows = write(place, tank, datetime.now(UTC))
    typer.echo(f"{len(rows)} {'tank' if len(rows) == 1 else 'tanks'} taken out and read back.")
