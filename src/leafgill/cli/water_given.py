"""New water given as options: what the tap and pure water hold, and how they go together."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated

import typer

from leafgill.cli.amounts import parse_amount

if TYPE_CHECKING:
    from leafgill.advise.water.make_up import MakeUp
    from leafgill.science.cited import Range
    from leafgill.tank.spec import Tank

TapKh = Annotated[
    str | None,
    typer.Option(
        "--tap-kh", metavar="KH", help="KH of the tap water, in place of the tank file's."
    ),
]
TapGh = Annotated[
    str | None,
    typer.Option(
        "--tap-gh", metavar="GH", help="GH of the tap water, in place of the tank file's."
    ),
]
Levels = Annotated[
    list[str] | None,
    typer.Option(
        "--level",
        metavar="TEST",
        help='What the tank holds, in mg/L: "nitrate 20"; without it the diary\'s newest tests.',
    ),
]
HARDEST = {"dKH": 30.0, "dGH": 60.0}


@dataclass(frozen=True)
class Given:
    """Tap water as options say it, over what the tank file says."""

    kh: str | None = None
    gh: str | None = None
    temperature: str | None = None


def tap_water(tank: Tank, told: Given) -> MakeUp:
    """Return the tap water. Raises InputError naming the option that cannot be meant."""
    from leafgill.advise.water.sources import stated, tap_of

    warm = parse_amount("--temperature", told.temperature, "degC", 0.0, 40.0)
    return stated(
        tap_of(tank, warm),
        kh_dkh=parse_amount("--tap-kh", told.kh, "dKH", 0.0, HARDEST["dKH"]),
        gh_dgh=parse_amount("--tap-gh", told.gh, "dGH", 0.0, HARDEST["dGH"]),
    )


def parse_levels(lines: list[str]) -> dict[str, Range]:
    """Return tests given as options, with a kit's error. Raises InputError for what is none."""
    from leafgill.advise.water.sources import kit_range, least_off
    from leafgill.diary.notes import SUBSTANCES, substance
    from leafgill.errors import InputError, quoted
    from leafgill.units import quantity

    found = {}
    for line in lines:
        what, _, amount = line.strip().partition(" ")
        name = substance(what)
        if not name or not amount.strip():
            raise InputError(
                f'--level = {quoted(line)} is no test; write "nitrate 20"; accepted: '
                f"{', '.join(SUBSTANCES)}"
            )
        value = quantity(amount, "mg/L", what=f"--level {what}")
        if not 0.0 <= value <= 1000.0:
            raise InputError(f"--level {what} = {value:g} cannot be; accepted: 0 to 1000 mg/L")
        found[name] = kit_range(value, least_off(name))
    return found
