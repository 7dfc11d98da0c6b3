"""`leafgill serve`: the app at the tank."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer


def serve(
    host: Annotated[
        str,
        typer.Option(
            metavar="ADDRESS",
            help="Listen at this address of the machine; 0.0.0.0 for the home network.",
        ),
    ] = "127.0.0.1",
    port: Annotated[
        int,
        typer.Option(metavar="N", min=0, max=65_535, help="Listen at this port; 0 for any free."),
    ] = 8480,
    data: Annotated[
        Path | None,
        typer.Option(metavar="FOLDER", help="Keep everything here; without it in LEAFGILL_HOME."),
    ] = None,
    demo: Annotated[
        bool, typer.Option("--demo", help="Show two invented tanks; all is gone when it ends.")
    ] = False,
    browser: Annotated[
        bool, typer.Option("--browser/--no-browser", help="Open it in a browser, if there is one.")
    ] = True,
) -> None:
    """The app at the tank, for phone and desk.

    It answers this machine alone and asks for no login. With --host it can be reached from other
    machines, and a keeper needs a password first: leafgill keeper add NAME.
    """
    from leafgill.web.serve import Wanted
    from leafgill.web.serve import serve as run

    run(Wanted(host, port, data, demo, browser))
