"""`leafgill dose`: what to weigh into a bottle, whether it keeps, what a dose of it brings."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from leafgill.cli.options import AsJson, Explain, TankFile

if TYPE_CHECKING:
    from leafgill.advise.stock.stock import Stock
    from leafgill.tank.spec import Tank


def dose(
    tank: TankFile,
    raise_: Annotated[
        list[str] | None,
        typer.Option(
            "--raise",
            metavar="WISH",
            help='What a dose is to raise, in mg/L, by which salt: "nitrate 5 KNO3". Several may '
            "be given; they go into one bottle.",
        ),
    ] = None,
    mix: Annotated[
        list[str] | None,
        typer.Option(
            metavar="BOTTLE",
            help='A bottle as it was mixed or is labelled: "macro: 500 mL, KNO3 30 g" or "iron: '
            'iron 5 g/L". Several may be given.',
        ),
    ] = None,
    bottle: Annotated[
        str | None, typer.Option(metavar="ML", help="Size of the bottle; without it 500 mL.")
    ] = None,
    dose_ml: Annotated[
        str | None, typer.Option("--dose", metavar="ML", help="One dose; without it 10 mL.")
    ] = None,
    per_week: Annotated[
        float | None, typer.Option(metavar="N", help="Doses a week; without it 7.")
    ] = None,
    coldest: Annotated[
        str | None,
        typer.Option(
            metavar="T", help="Coldest the bottle gets, in °C or with its unit; without it 15."
        ),
    ] = None,
    ph: Annotated[
        float | None,
        typer.Option(
            metavar="PH", help="Highest pH of the tank; without it that of its KH with gas off."
        ),
    ] = None,
    explain: Explain = False,
    json_: AsJson = False,
) -> None:
    """What to weigh into a bottle, whether it keeps, what a dose brings.

    Without --raise and --mix: the bottles of the tank file. Checks what dissolves, what falls out,
    which bottles to keep apart, and copper and ammonia for the animals.
    """
    from leafgill.advise.stock.settling import between
    from leafgill.cli.console import print_json, waiting
    from leafgill.tank.spec import Tank

    with waiting() as bar:
        bar("working it out", 0.0)
        described = Tank.load(tank)
        stocks = _stocks(described, raise_ or [], mix or [], bottle, dose_ml, per_week, coldest, ph)
        pairs = between([stock.bottle for stock in stocks])
    if json_:
        from leafgill.answer.stock_json import as_json

        print_json(as_json(stocks, pairs))
        return
    from leafgill.cli.dose_screen import show

    show(stocks, pairs, explain)


def _stocks(
    tank: Tank,
    wishes: list[str],
    mixes: list[str],
    bottle: str | None,
    dose_ml: str | None,
    per_week: float | None,
    coldest: str | None,
    ph: float | None,
) -> list[Stock]:
    """Return the bottle wished for, those mixed, or those of the tank file.

    Raises InputError naming the option that cannot be meant.
    """
    from leafgill.advise.stock import stock as ask
    from leafgill.advise.stock.wants import want_of
    from leafgill.cli.amounts import parse_amount
    from leafgill.errors import InputError
    from leafgill.tank.bottle import bottle_of

    size = parse_amount("--bottle", bottle, "mL", *ask.BOTTLE_ML) or ask.USUAL_BOTTLE_ML
    one = parse_amount("--dose", dose_ml, "mL", *ask.DOSE_ML) or ask.USUAL_DOSE_ML
    cold = parse_amount("--coldest", coldest, "degC", *ask.COLDEST_C)
    often = ask.USUAL_PER_WEEK if per_week is None else per_week
    low, high = ask.PER_WEEK
    if not low <= often <= high:
        raise InputError(f"--per-week = {often:g} cannot be; accepted: {low:g} to {high:g}")
    if ph is not None and not ask.PH[0] <= ph <= ask.PH[1]:
        raise InputError(f"--ph = {ph:g} cannot be; accepted: {ask.PH[0]:g} to {ask.PH[1]:g}")
    coldest_c = ask.USUAL_COLDEST_C if cold is None else cold
    if bottle is not None and not wishes:
        raise InputError("--bottle is the size for --raise; a --mix says its own")
    bottles = [bottle_of(line) for line in mixes]
    if not wishes and not bottles:
        bottles = list(tank.salts.bottles)
    found = []
    if wishes:
        wants = [want_of(line, tank.salts.kept) for line in wishes]
        found.append(
            ask.stock_for(tank, wants, bottle_ml=size, dose_ml=one, per_week=often,
                          coldest_c=coldest_c, ph=ph)
        )  # fmt: skip
    found += [
        ask.stock_of(tank, each, dose_ml=one, per_week=often, coldest_c=coldest_c, ph=ph)
        for each in bottles
    ]
    if not found:
        raise InputError(
            'no bottle: give --raise "nitrate 5 KNO3" or --mix "macro: 500 mL, KNO3 30 g", or '
            "write bottles under [salts] in the tank file"
        )
    return found
