"""`leafgill listen` and `leafgill broker`: readings from a broker and from the watched folder."""

from __future__ import annotations

import getpass
import signal
import sys
import threading
from pathlib import Path
from typing import Annotated

import typer

_Data = Annotated[
    Path | None,
    typer.Option(metavar="FOLDER", help="The app's data folder; without it LEAFGILL_HOME's."),
]


def listen(data: _Data = None) -> None:
    """Take in what sensors send to the broker, and what lies in the watched folder.

    The command serve does it too; this is for listening without the pages. Ctrl-C ends it.
    """
    from leafgill.web.set_up import set_up

    folder = set_up(data)
    from leafgill.web.ingest import broker as brokers
    from leafgill.web.ingest.folder import FOLDER
    from leafgill.web.ingest.runners import ingest_runners
    from leafgill.web.running import Supervisor

    found = brokers.load()
    if found is None:
        typer.echo("No broker is named (leafgill broker ADDRESS).")
    else:
        typer.echo(f"Listening to {found.address}")
    typer.echo(f"Watching {folder / FOLDER}")
    typer.echo("Ctrl-C ends it.")
    sys.stdout.flush()
    ended = threading.Event()
    for number in (signal.SIGINT, signal.SIGTERM):
        signal.signal(number, lambda *_: ended.set())
    beside = Supervisor(ingest_runners())
    beside.start()
    # a wait without an end would hear no signal on Windows
    while not ended.wait(0.5):
        pass
    beside.stop()


def broker(
    address: Annotated[
        str | None,
        typer.Argument(metavar="ADDRESS", help="mqtt://HOST, or mqtts://HOST for TLS."),
    ] = None,
    user: Annotated[
        str, typer.Option(metavar="NAME", help="The name to log in with; a password is asked for.")
    ] = "",
    ca: Annotated[
        str, typer.Option(metavar="FILE", help="The certificate to know the broker by.")
    ] = "",
    none: Annotated[bool, typer.Option("--none", help="Listen to no broker any more.")] = False,
    data: _Data = None,
) -> None:
    """Name the broker that sensors send to; without ADDRESS, say which it is and how it goes.

    The password lies in the data folder, in a file that only its owner may read.
    """
    from leafgill.web.set_up import set_up

    set_up(data)
    from leafgill.web.ingest import broker as brokers

    if none:
        typer.echo("No broker is named now." if brokers.forget() else "No broker was named.")
    elif address is None:
        for line in _told():
            typer.echo(line)
    else:
        password = _password(user) if user else ""
        found = brokers.broker_at(address, user, password, ca)
        path = brokers.save(found)
        typer.echo(f"The broker is {found.address}; written to {path}.")


def _told() -> list[str]:
    """Return what is known of the broker, in lines."""
    from leafgill.web.ingest import broker as brokers
    from leafgill.web.ingest import status

    found, how = brokers.load(), status.read()
    if found is None:
        return ["No broker is named; name one: leafgill broker mqtt://HOST"]
    lines = [f"The broker is {found.address}{f', as {found.user}' if found.user else ''}."]
    if how is not None and how.address == found.address:
        since = f" since {how.since[:16].replace('T', ' ')} UTC" if how.since else ""
        lines.append(f"The listener is {how.state}{since}{f': {how.words}' if how.words else ''}.")
    return lines


def _password(user: str) -> str:
    if not sys.stdin.isatty():
        return sys.stdin.readline().rstrip("\r\n")
    return getpass.getpass(f"Password of {user} at the broker: ")
