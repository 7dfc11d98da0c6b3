"""`leafgill rig`: what gas equipment a tank wants, what it costs, and what it does to the day."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from leafgill.cli.options import AsJson, Explain, Now, ProbeFile, TankFile

if TYPE_CHECKING:
    from leafgill.cli.console import Waiting
    from leafgill.estimate.belief import Belief
    from leafgill.tank.spec import Tank


def rig(
    tank: TankFile,
    diary: Annotated[
        Path | None,
        typer.Argument(metavar="DIARY", help="What was seen and done (CSV), where there is one."),
    ] = None,
    probe: ProbeFile = None,
    now: Now = None,
    target: Annotated[
        str | None,
        typer.Option(
            metavar="CO2", help="Aim at this, in mg/L, in place of what the tank file says."
        ),
    ] = None,
    explain: Explain = False,
    json_: AsJson = False,
    chart: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE",
            help="Write how long cylinders last and each source's day: .png, .svg or .pdf.",
        ),
    ] = None,
) -> None:
    """What gas equipment a tank wants: sizes, parts, costs, settings.

    Gas a day, which cylinder and how long it lasts, whether it fits the cabinet, how to bring the
    gas in, which regulator, what other sources would do. Sharper with a diary.
    """
    from leafgill.cli.chart_file import check_chart_path
    from leafgill.cli.console import print_json, waiting
    from leafgill.cli.moment import parse_now
    from leafgill.tank.spec import Tank

    if chart is not None:
        check_chart_path(chart)
    if probe is not None and diary is None:
        from leafgill.errors import InputError

        raise InputError("--probe needs a diary: leafgill rig TANK DIARY --probe FILE")
    described = Tank.load(tank)
    moment = parse_now(now, described.timezone)
    aim = _target(target)
    with waiting() as bar:
        belief = _belief(described, diary, probe, moment, bar)
        from leafgill.advise.rig.plan import plan_rig

        bar("sizing the rig", 0.9)
        plan = plan_rig(described, belief, aim)
        if chart is not None:
            from leafgill.answer.rig_picture import picture_of
            from leafgill.charts.rig import rig_chart
            from leafgill.cli.chart_file import write_chart

            bar("drawing the chart", 0.98)
            write_chart(rig_chart(picture_of(plan)), chart)
    if json_:
        from leafgill.answer.rig_json import as_json

        print_json(as_json(plan))
        return
    from leafgill.cli.rig_screen import show

    show(plan, explain)


def _target(text: str | None) -> float | None:
    """Return the aim [mg/L]. Raises InputError for what cannot be one."""
    if text is None:
        return None
    from leafgill.errors import InputError
    from leafgill.tank.fields import FIELDS
    from leafgill.units import quantity

    aim = quantity(text, "mg/L", what="--target")
    low, high = FIELDS["target"]["co2_mg_l"].accepted or (0.0, 0.0)
    if not low <= aim <= high:
        raise InputError(f"--target = {aim:g} mg/L cannot be; accepted: {low:g} to {high:g} mg/L")
    return aim


def _belief(
    tank: Tank, diary: Path | None, probe: Path | None, now: datetime, bar: Waiting
) -> Belief:
    """Return what the diary teaches, or what is believed of such tanks without one."""
    from leafgill.cli.believing import believed

    return believed(tank, diary, probe, now, bar)[1]
