"""`leafgill next`: from a tank, its diary and a probe's readings to the next safe step."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from leafgill.cli.options import AsJson, DiaryFile, Now, ProbeFile, TankFile

if TYPE_CHECKING:
    from leafgill.tank.spec import Tank


def next_(
    tank: TankFile,
    diary: DiaryFile,
    probe: ProbeFile = None,
    now: Now = None,
    json_: AsJson = False,
    chart: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="Write the day's chart: .png, .svg or .pdf."),
    ] = None,
) -> None:
    """Where a tank stands, what the day brings, the next safe step.

    Reads the tank's description, its diary and, where there is one, a probe's readings. Advice
    only: your hand stays on the valve.
    """
    from leafgill.cli.chart_file import check_chart_path
    from leafgill.cli.moment import parse_now
    from leafgill.tank.spec import Tank

    if chart is not None:
        check_chart_path(chart)
    described = Tank.load(tank)
    answer(described, diary, probe, parse_now(now, described.timezone), json_, chart)


def answer(
    tank: Tank,
    diary: Path,
    probe: Path | None,
    now: datetime,
    as_json: bool = False,
    chart: Path | None = None,
) -> None:
    """Work the counsel out and show it. Raises InputError for files that cannot be meant.

    A belief too poor to advise on ends with 1 and one line.
    """
    from leafgill.cli.console import print_json, waiting
    from leafgill.diary import Diary

    with waiting() as bar:
        bar("reading the diary", 0.0)
        kept = Diary.load(diary, probe)
        # only now what takes longest to load, so that a wrong file is told at once
        from leafgill.answer.counsel import ask
        from leafgill.answer.day import picture_of

        with refusing():
            counsel = ask(tank, kept, now, bar)
        picture = picture_of(counsel)
        if chart is not None:
            from leafgill.charts.day import day_chart
            from leafgill.cli.chart_file import write_chart

            bar("drawing the chart", 0.98)
            write_chart(day_chart(picture), chart)
    if as_json:
        from leafgill.answer.counsel_json import as_json as told

        print_json(told(counsel))
    else:
        from leafgill.cli.next_screen import show

        show(counsel, picture)


@contextmanager
def refusing() -> Iterator[None]:
    """End with 1 and one line when the belief is too poor to advise on."""
    from leafgill.cli.fail import complain
    from leafgill.estimate import TooFewDrawsError

    try:
        yield
    except TooFewDrawsError as error:
        complain(f"{error}; take pH, KH and a degassed sample, write them down and ask again")
        raise typer.Exit(1) from None
