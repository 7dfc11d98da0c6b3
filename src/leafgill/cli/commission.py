"""`leafgill commission`: a checklist for putting the gas together, and the pressure hold."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from leafgill.cli.options import AsJson, Explain, TankFile


def commission(
    tank: TankFile,
    outlet: Annotated[
        str | None,
        typer.Option(
            metavar="WORD",
            help="The cylinder's outlet, where the tank file does not name it: cga-320, "
            "din-477-6, bs-341-8, jis-b-8246, nf-e29-650-c, as-2473-30 or tr21-4.",
        ),
    ] = None,
    room_temperature: Annotated[
        str | None,
        typer.Option(metavar="T", help='Warmth of the room, in °C or with its unit: "70 °F".'),
    ] = None,
    hold: Annotated[
        str | None,
        typer.Option(
            metavar="SIDE",
            help="Reckon a pressure hold: high (cylinder valve shut), low (regulator off, needle "
            "valve shut) or hose (needle valve open, the hose's end shut).",
        ),
    ] = None,
    first: Annotated[
        tuple[str, str] | None,
        typer.Option(
            metavar="P T",
            help='First reading of the hold, gauge and temperature: "45 bar" "21 °C".',
        ),
    ] = None,
    second: Annotated[
        tuple[str, str] | None,
        typer.Option(metavar="P T", help="Second reading, in the same way."),
    ] = None,
    hours: Annotated[
        float | None, typer.Option(metavar="H", help="Hours between the two readings.")
    ] = None,
    volume: Annotated[
        str | None,
        typer.Option(
            metavar="ML",
            help="Gas shut in, in mL or with its unit; without it what such parts hold.",
        ),
    ] = None,
    gauge_step: Annotated[
        str | None,
        typer.Option(metavar="P", help="Step the gauge is read to, in bar or with its unit."),
    ] = None,
    explain: Explain = False,
    json_: AsJson = False,
    chart: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="Write the hold as a chart: .png, .svg or .pdf."),
    ] = None,
) -> None:
    """What to do when the gas is put together, and what a pressure hold says.

    The checklist follows the tank file's rig. A hold takes --first, --second and --hours: two
    readings of a gauge give the grams lost a day.
    """
    from leafgill.cli.chart_file import check_chart_path, write_chart
    from leafgill.cli.console import print_json, waiting
    from leafgill.cli.hold import HoldOptions, parse_hold, parse_outlet
    from leafgill.cli.room import parse_room
    from leafgill.errors import InputError
    from leafgill.tank.spec import Tank

    options = HoldOptions(hold, first, second, hours, volume, gauge_step)
    if chart is not None:
        if hold is None:
            raise InputError(
                "--chart draws a pressure hold: give --hold, --first, --second, --hours"
            )
        check_chart_path(chart)
    described = Tank.load(tank)
    held = parse_hold(options, described.rig)
    word, room_c = parse_outlet(outlet), parse_room(room_temperature)
    with waiting() as bar:
        bar("working it out", 0.0)
        from leafgill.advise.commission import commission as ask

        answer = ask(described, outlet=word, room_c=room_c, hold=held)
        if chart is not None and answer.hold is not None:
            from leafgill.answer.hold_picture import picture_of
            from leafgill.charts.hold import hold_chart

            bar("drawing the chart", 0.9)
            write_chart(hold_chart(picture_of(answer.hold, described.name)), chart)
    if json_:
        from leafgill.answer.commission_json import as_json

        print_json(as_json(answer))
        return
    from leafgill.cli.commission_screen import show

    show(answer, explain)
