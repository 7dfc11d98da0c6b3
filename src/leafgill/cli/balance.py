"""`leafgill balance`: what holds growth back, a week's doses, the weeks ahead, and more light."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from leafgill.cli.options import AsJson, DiaryFile, Explain, Now, ProbeFile, TankFile


def balance(
    tank: TankFile,
    diary: DiaryFile,
    probe: ProbeFile = None,
    now: Now = None,
    weeks: Annotated[
        int, typer.Option(metavar="N", min=1, max=26, help="Weeks ahead to look; 1 to 26.")
    ] = 4,
    explain: Explain = False,
    json_: AsJson = False,
    chart: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="Write the nutrients as a chart: .png, .svg or .pdf."),
    ] = None,
) -> None:
    """What holds growth back, what to dose, what more light would ask.

    Light, CO2 and nutrients in step: from the lamp, the tap water, food, water changes, tests and
    doses of tank file and diary. Each nutrient is forecast over the weeks between floor and
    ceiling.
    """
    from leafgill.cli.believing import believed
    from leafgill.cli.chart_file import check_chart_path
    from leafgill.cli.console import print_json, waiting
    from leafgill.cli.moment import parse_now
    from leafgill.tank.spec import Tank

    if chart is not None:
        check_chart_path(chart)
    described = Tank.load(tank)
    moment = parse_now(now, described.timezone)
    with waiting() as bar:
        kept, belief = believed(described, diary, probe, moment, bar)
        from leafgill.advise.balance import balance_of

        bar("looking weeks ahead", 0.8)
        found = balance_of(described, kept, belief, moment, weeks)
        if chart is not None:
            from leafgill.answer.balance_picture import picture_of
            from leafgill.charts.balance import balance_chart
            from leafgill.cli.chart_file import write_chart

            bar("drawing the chart", 0.98)
            write_chart(balance_chart(picture_of(found, kept)), chart)
    if json_:
        from leafgill.answer.balance_json import as_json

        print_json(as_json(found))
        return
    from leafgill.cli.balance_screen import show

    show(found, explain)
