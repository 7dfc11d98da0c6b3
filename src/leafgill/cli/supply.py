"""`leafgill supply`: how long the gas lasts, when to order, whether some leaks, how it ends."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from leafgill.cli.options import AsJson, DiaryFile, Explain, Now, ProbeFile, TankFile


def supply(
    tank: TankFile,
    diary: DiaryFile,
    probe: ProbeFile = None,
    now: Now = None,
    room_temperature: Annotated[
        str | None,
        typer.Option(
            metavar="T",
            help='Warmth of the room the cylinder stands in, in °C or with its unit: "70 °F".',
        ),
    ] = None,
    explain: Explain = False,
    json_: AsJson = False,
    chart: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="Write the gas left as a chart: .png, .svg or .pdf."),
    ] = None,
) -> None:
    """How long the gas lasts, when to order, whether some leaks.

    From weights, the cylinder's gauge and bubbles counted, or from any of them; also what the end
    of the cylinder does to this tank's animals.
    """
    from leafgill.cli.chart_file import check_chart_path
    from leafgill.cli.console import print_json, waiting
    from leafgill.cli.moment import parse_now
    from leafgill.cli.room import parse_room
    from leafgill.diary import Diary
    from leafgill.tank.spec import Tank

    if chart is not None:
        check_chart_path(chart)
    described = Tank.load(tank)
    moment = parse_now(now, described.timezone)
    room_c = parse_room(room_temperature)
    with waiting() as bar:
        bar("reading the diary", 0.0)
        kept = Diary.load(diary, probe)
        from leafgill.advise.supply import supply as ask
        from leafgill.answer.supply_said import Told
        from leafgill.cli.next import refusing

        with refusing():
            told = Told(ask(described, kept, moment, room_c=room_c, progress=bar))
        if chart is not None:
            from leafgill.answer.supply_picture import picture_of
            from leafgill.charts.supply import supply_chart
            from leafgill.cli.chart_file import write_chart

            bar("drawing the chart", 0.98)
            write_chart(supply_chart(picture_of(told)), chart)
    if json_:
        from leafgill.answer.supply_json import as_json

        print_json(as_json(told))
        return
    from leafgill.cli.supply_screen import show

    show(told, explain)
