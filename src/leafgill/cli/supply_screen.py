"""A supply on a terminal: the days first, then what they rest on, the end, and people's safety."""

from __future__ import annotations

from rich.text import Text

from leafgill.answer import supply_said as said
from leafgill.cli.console import screen
from leafgill.cli.explain import print_figures
from leafgill.cli.lists import columns, heading, listed


def show(told: said.Told, explain: bool) -> None:
    """Print the supply; with `explain` also how each figure was worked out."""
    console = screen()
    supply = told.supply
    now = supply.now
    title = f"{supply.tank.name}, {now:%A} {now.day} {now:%B %Y %H:%M}"
    console.print(Text(title, style="dim"))
    first, order, *rest = said.headline(told)
    console.print(Text(first, style="bold"))
    console.print(Text(order, style="bold green"))
    for line in rest:
        console.print(Text(line))
    heading(console, "What is left")
    columns(console, ("", "gas left", "gas for"), said.by_source(told))
    listed(console, "Does not fit", said.disagreements(told))
    listed(console, "Is there a leak", said.leak(told))
    listed(console, "The end of the cylinder", said.end(told))
    rows = said.end_table(told)
    if rows:
        console.print()
        titles = ("a day", "gas, times", "highest CO2", said.limit_title(supply))
        columns(console, titles, rows)
    listed(console, "A reading that would help", said.what_would_help(told))
    listed(console, "Taken for granted", said.assumed(told))
    listed(console, "Take care", list(supply.cautions))
    if explain:
        print_figures(console, told.figures)
