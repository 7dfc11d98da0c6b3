"""`leafgill keeper`: who may log in to the app."""

from __future__ import annotations

import getpass
import sys
from pathlib import Path
from typing import Annotated

import typer

keeper = typer.Typer(add_completion=False, rich_markup_mode=None, pretty_exceptions_enable=False)
_Data = Annotated[
    Path | None,
    typer.Option(metavar="FOLDER", help="The app's data folder; without it LEAFGILL_HOME's."),
]
_Name = Annotated[str, typer.Argument(metavar="NAME", help="The name to log in with.")]


@keeper.callback()
def main() -> None:
    """Who may log in to the app.

    A password is asked for twice; where there is no terminal, the first line
    of standard input is taken.
    """


@keeper.command("add")
def add(name: _Name, data: _Data = None) -> None:
    """Make a keeper with a password."""
    _open(data)
    from leafgill.web.store import logins
    from leafgill.web.store.keepers import without_password

    logins.check_new_name(name)
    logins.make(name, _password(name))
    typer.echo(f"{name} can log in.")
    for other in without_password()[:1]:
        typer.echo(f"{other.username} has no password; the tanks kept so far may be there.")


@keeper.command("password")
def password(name: _Name, data: _Data = None) -> None:
    """Give a keeper another password."""
    _open(data)
    from leafgill.web.store import logins

    found = logins.named(name)
    logins.set_password(found, _password(found.username))
    typer.echo(f"The password of {found.username} is changed; whoever was logged in is not now.")


@keeper.command("rename")
def rename(
    name: _Name,
    new: Annotated[str, typer.Argument(metavar="NEW", help="The name from now on.")],
    data: _Data = None,
) -> None:
    """Give a keeper another name."""
    _open(data)
    from leafgill.web.store import logins

    found = logins.named(name)
    was = found.username
    logins.rename(found, new)
    typer.echo(f"{was} is {new} from now on.")


@keeper.command("list")
def list_(data: _Data = None) -> None:
    """Name the keepers, with how many tanks each has."""
    _open(data)
    from leafgill.web.store import logins

    for line in logins.lines():
        typer.echo(line)


def _open(data: Path | None) -> None:
    from leafgill.web.set_up import set_up

    set_up(data)


def _password(name: str) -> str:
    """Return a password as it was typed. Raises InputError when it was typed in two ways."""
    from leafgill.errors import InputError

    if not sys.stdin.isatty():
        return sys.stdin.readline().rstrip("\r\n")
    typed = getpass.getpass(f"Password for {name}: ")
    if getpass.getpass("The same again: ") != typed:
        raise InputError("the two passwords are not the same; nothing was changed")
    return typed
