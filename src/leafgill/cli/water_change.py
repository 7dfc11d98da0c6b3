"""`leafgill water change`: what a water change does to CO2, KH, nutrients and the animals."""

from __future__ import annotations

from typing import Annotated

import typer

from leafgill.cli.options import AsJson, DiaryFile, Explain, Now, ProbeFile, TankFile
from leafgill.cli.water_given import Levels, TapGh, TapKh

_EVERY = (0.05, 365.0)


def change(
    tank: TankFile,
    diary: DiaryFile,
    probe: ProbeFile = None,
    now: Now = None,
    percent: Annotated[
        str | None,
        typer.Option(
            metavar="PERCENT",
            help="Part of the water that is changed; without it the tank file's, or 30 %.",
        ),
    ] = None,
    pure: Annotated[
        str | None,
        typer.Option(
            metavar="PERCENT",
            help="Pure water in the new water; without it what the tank file says.",
        ),
    ] = None,
    tap_kh: TapKh = None,
    tap_gh: TapGh = None,
    temperature: Annotated[
        str | None,
        typer.Option(metavar="T", help="Warmth of the new water; without it about the tank's."),
    ] = None,
    level: Levels = None,
    every: Annotated[
        float | None,
        typer.Option(
            metavar="DAYS",
            help="Days from one such change to the next; without it the tank file's, or 7.",
        ),
    ] = None,
    explain: Explain = False,
    json_: AsJson = False,
) -> None:
    """What a water change does to CO2, KH, nutrients and animals.

    At once and in the hours after, minute by minute while CO2 runs, in this tank as its diary has
    it; and where the same change leads when it is repeated.
    """
    from leafgill.advise.water.usual import new_water, usual_change
    from leafgill.cli.amounts import parse_part
    from leafgill.cli.believing import believed
    from leafgill.cli.console import print_json, waiting
    from leafgill.cli.moment import parse_now
    from leafgill.cli.water_given import Given, parse_levels, tap_water
    from leafgill.errors import InputError
    from leafgill.tank.spec import Tank

    described = Tank.load(tank)
    moment = parse_now(now, described.timezone)
    usual = usual_change(described)
    part = parse_part("--percent", percent)
    part = usual.part if part is None else part
    if part == 0.0:
        raise InputError("--percent = 0 changes nothing; accepted: above 0 to 100 %")
    days = usual.every_days if every is None else every
    if not _EVERY[0] <= days <= _EVERY[1]:
        raise InputError(
            f"--every = {days:g} cannot be; accepted: {_EVERY[0]:g} to {_EVERY[1]:g} days"
        )
    tap = tap_water(described, Given(tap_kh, tap_gh, temperature))
    pure_part = parse_part("--pure", pure)
    named = parse_levels(level or [])
    with waiting() as bar:
        kept, belief = believed(described, diary, probe, moment, bar)
        from leafgill.advise.water.change import change_of
        from leafgill.advise.water.habit import habit_of
        from leafgill.advise.water.levels_seen import levels_seen

        seen = levels_seen(kept.localised(described.timezone), moment)
        new = new_water(described, tap, [*seen.levels, *named], pure_part)
        levels = {**seen.levels, **named}
        origins = {**seen.origins, **dict.fromkeys(named, "given")}
        answer = change_of(belief, moment, part, new, levels, origins=origins)
        series = habit_of(part, days, new, answer.start_of_series())
    if json_:
        from leafgill.answer.water_json import change_json

        print_json(change_json(answer, series))
        return
    from leafgill.cli.water_screen import show_change

    show_change(answer, series, explain)
