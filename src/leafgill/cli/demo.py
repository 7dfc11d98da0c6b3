"""`leafgill demo`: the whole answer for a tank that is invented."""

from __future__ import annotations

import shlex
from pathlib import Path
from typing import Annotated

import typer

from leafgill.cli.options import AsJson


def demo(
    no_probe: Annotated[
        bool, typer.Option("--no-probe", help="Show the tank that is kept without a probe.")
    ] = False,
    json_: AsJson = False,
    chart: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="Write the day's chart: .png, .svg or .pdf."),
    ] = None,
) -> None:
    """The same as next, on a tank that is invented.

    The moment asked for is the one its diary ends at.
    """
    from leafgill.cli.chart_file import check_chart_path
    from leafgill.cli.next import answer
    from leafgill.examples import HALLWAY, READING_ROOM, Example
    from leafgill.tank.clock import zone
    from leafgill.tank.spec import Tank

    if chart is not None:
        check_chart_path(chart)
    example: Example = READING_ROOM if no_probe else HALLWAY
    tank = Tank.load(example.tank)
    now = example.now.replace(tzinfo=zone(tank.timezone))
    if not json_:
        _say_that_it_is_invented(
            example.tank, example.diary, example.probe, f"{now:%Y-%m-%dT%H:%M}"
        )
    answer(tank, example.diary, example.probe, now, json_, chart)


def _say_that_it_is_invented(tank: Path, diary: Path, probe: Path | None, now: str) -> None:
    from rich.text import Text

    from leafgill.cli.console import screen

    console = screen()
    said = "This tank is invented: a simulation made it, its keeper and every reading."
    console.print(Text(said, style="italic"))
    words = ["leafgill", "next", str(tank), str(diary)]
    words += ["--probe", str(probe)] if probe is not None else []
    words += ["--now", now]
    console.print(Text("The same by hand:", style="dim"))
    # one line however long, so that it can be copied
    console.print(Text(f"  {shlex.join(words)}\n", style="dim"), soft_wrap=True)
