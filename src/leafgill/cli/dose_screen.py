"""Stock bottles on a terminal: what to weigh, what a dose brings, and what was checked."""

from __future__ import annotations

from collections.abc import Sequence

from rich.console import Console
from rich.text import Text

from leafgill.advise.stock.settling import Between
from leafgill.advise.stock.stock import Stock
from leafgill.answer import stock_said as said
from leafgill.cli.console import screen
from leafgill.cli.explain import print_figures
from leafgill.cli.lists import columns, heading, listed


def show(stocks: Sequence[Stock], pairs: Sequence[Between], explain: bool) -> None:
    """Print each bottle, then what to keep apart; with `explain` how each figure was worked out."""
    console = screen()
    for k, stock in enumerate(stocks):
        if k:
            console.print()
        _show(console, stock)
    listed(console, "Keep apart", said.apart(pairs))
    listed(console, "Take care", list(stocks[0].cautions))
    if explain:
        for stock in stocks:
            if len(stocks) > 1:
                heading(console, stock.bottle.name)
            print_figures(console, stock.figures)


def _show(console: Console, stock: Stock) -> None:
    console.print(Text(said.title(stock), style="dim"))
    console.print(Text(said.headline(stock), style="bold"))
    if stock.bottle.salts_g:
        console.print()
        columns(console, said.WEIGH, said.to_weigh(stock))
        for line in said.how_often(stock):
            console.print(Text(line))
    console.print()
    columns(console, said.BRINGS, said.a_dose(stock))
    if stock.dissolves:
        heading(console, "Does it dissolve")
        columns(console, said.DISSOLVING, said.dissolving(stock))
        for line in said.about_dissolving(stock):
            console.print(Text(line, style="dim"))
    listed(console, "What falls out", said.settling(stock))
    listed(console, "For the animals", said.animals(stock))
