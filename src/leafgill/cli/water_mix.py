"""`leafgill water mix`: tap and pure water together, for a KH, a GH or in a stated part."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from leafgill.cli.options import AsJson, Explain, TankFile
from leafgill.cli.water_given import TapGh, TapKh

if TYPE_CHECKING:
    from leafgill.tank.spec import Tank

_MOST_L = 100_000.0


def mix(
    tank: TankFile,
    kh: Annotated[
        str | None, typer.Option(metavar="KH", help="The KH to meet, in dKH or with its unit.")
    ] = None,
    gh: Annotated[
        str | None, typer.Option(metavar="GH", help="The GH to meet, in place of a KH.")
    ] = None,
    pure: Annotated[
        str | None,
        typer.Option(metavar="PERCENT", help="A stated part of pure water, in place of both."),
    ] = None,
    litres: Annotated[
        str | None,
        typer.Option(
            metavar="L",
            help="Litres to make, or with another unit; without it a usual water change's.",
        ),
    ] = None,
    tap_kh: TapKh = None,
    tap_gh: TapGh = None,
    explain: Explain = False,
    json_: AsJson = False,
) -> None:
    """Tap and pure water together, for a KH or a GH.

    Give one of --kh, --gh and --pure. pH and CO2 of the mix follow from what both waters hold; they
    are no means.
    """
    from leafgill.advise.water.blend import blend
    from leafgill.advise.water.sources import pure_water
    from leafgill.cli.amounts import parse_amount, parse_part
    from leafgill.cli.console import print_json
    from leafgill.cli.water_given import HARDEST, Given, tap_water
    from leafgill.errors import InputError
    from leafgill.tank.spec import Tank

    if sum(value is not None for value in (kh, gh, pure)) != 1:
        raise InputError("exactly one of --kh, --gh and --pure is needed, to mix for it")
    described = Tank.load(tank)
    tap = tap_water(described, Given(tap_kh, tap_gh))
    answer = blend(
        tap,
        pure_water(tap),
        parse_amount("--litres", litres, "L", 0.01, _MOST_L) or usual_litres(described),
        kh_dkh=parse_amount("--kh", kh, "dKH", 0.0, HARDEST["dKH"]),
        gh_dgh=parse_amount("--gh", gh, "dGH", 0.0, HARDEST["dGH"]),
        part=parse_part("--pure", pure),
    )
    if json_:
        from leafgill.answer.water_json import blend_json

        print_json(blend_json(answer))
        return
    from leafgill.cli.water_screen import show_blend

    show_blend(answer, explain)


def usual_litres(tank: Tank) -> float:
    """Return the litres of a tank's usual water change."""
    from leafgill.advise.water.usual import usual_change

    return tank.volume_l * usual_change(tank).part
