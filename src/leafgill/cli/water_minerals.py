"""`leafgill water minerals`: grams of the keeper's salts that bring soft water to a KH and a GH."""

from __future__ import annotations

from typing import Annotated

import typer

from leafgill.cli.options import AsJson, Explain, TankFile
from leafgill.cli.water_given import TapGh, TapKh


def minerals(
    tank: TankFile,
    kh: Annotated[
        str | None,
        typer.Option(metavar="KH", help="The KH to meet; without it the tank file's."),
    ] = None,
    gh: Annotated[
        str | None,
        typer.Option(metavar="GH", help="The GH to meet; without it the tank file's."),
    ] = None,
    litres: Annotated[
        str | None,
        typer.Option(
            metavar="L",
            help="Litres to make, or with another unit; without it a usual water change's.",
        ),
    ] = None,
    salt: Annotated[
        list[str] | None,
        typer.Option(
            metavar="SALT",
            help="A salt to take, by formula or name, as often as there are salts; without it "
            "CaCl2.2H2O, MgSO4.7H2O and KHCO3.",
        ),
    ] = None,
    ca_to_mg: Annotated[
        str | None,
        typer.Option(
            metavar="RATIO", help='Calcium to magnesium by weight, or "any"; without it 3.'
        ),
    ] = None,
    tap: Annotated[
        str | None,
        typer.Option(
            metavar="PERCENT", help="Tap water in the water to begin with; without it none."
        ),
    ] = None,
    tap_kh: TapKh = None,
    tap_gh: TapGh = None,
    scale: Annotated[
        str | None,
        typer.Option(metavar="G", help="Step of your scale; without it 0.01 g."),
    ] = None,
    explain: Explain = False,
    json_: AsJson = False,
) -> None:
    """Minerals for pure or soft water, to a KH and a GH.

    Grams of each salt for so many litres, and what the water then holds.
    """
    from leafgill.advise.water import remineral
    from leafgill.advise.water.blend import blend
    from leafgill.advise.water.minerals import USUAL, Wish
    from leafgill.advise.water.sources import pure_water
    from leafgill.cli.amounts import parse_amount, parse_part
    from leafgill.cli.console import print_json
    from leafgill.cli.water_given import HARDEST, Given, tap_water
    from leafgill.cli.water_mix import usual_litres
    from leafgill.errors import InputError
    from leafgill.tank.spec import Tank

    described = Tank.load(tank)
    hard = tap_water(described, Given(tap_kh, tap_gh))
    amount = parse_amount("--litres", litres, "L", 0.01, 100_000.0) or usual_litres(described)
    part = parse_part("--tap", tap) or 0.0
    base = pure_water(hard)
    if part:
        base = blend(hard, base, amount, part=1.0 - part).as_make_up("water to begin with")
    wanted_kh = parse_amount("--kh", kh, "dKH", 0.0, HARDEST["dKH"])
    wanted_gh = parse_amount("--gh", gh, "dGH", 0.0, HARDEST["dGH"])
    wanted_kh = described.water.kh_dkh if wanted_kh is None else wanted_kh
    wanted_gh = described.water.gh_dgh if wanted_gh is None else wanted_gh
    if wanted_kh is None or wanted_gh is None:
        raise InputError("the KH and GH to meet are not known: give --kh and --gh")
    step = parse_amount("--scale", scale, "g", 0.0001, 10.0)
    try:
        answer = remineral.remineralise(
            base,
            Wish(wanted_kh, wanted_gh, _ratio(ca_to_mg)),
            amount,
            salt or USUAL,
            scale_g=remineral.USUAL_SCALE_G if step is None else step,
        )
    except InputError:
        raise
    except ValueError as wrong:
        raise InputError(f"--salt: {wrong}") from None
    if json_:
        from leafgill.answer.water_json import recipe_json

        print_json(recipe_json(answer))
        return
    from leafgill.cli.water_screen import show_recipe

    show_recipe(answer, explain)


def _ratio(text: str | None) -> float | None:
    from leafgill.advise.water.minerals import USUAL_CA_TO_MG
    from leafgill.cli.amounts import parse_amount

    if text is not None and text.strip().lower() == "any":
        return None
    given = parse_amount("--ca-to-mg", text, "", 0.1, 50.0)
    return USUAL_CA_TO_MG if given is None else given
