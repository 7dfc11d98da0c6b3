"""A rig on a terminal: the gas a day first, then what to buy, and the figures behind it."""

from __future__ import annotations

from rich.console import Console
from rich.text import Text

from leafgill.advise.rig.plan import RigPlan
from leafgill.answer import rig_notes as notes
from leafgill.answer import rig_said as said
from leafgill.answer import rig_tables as tables
from leafgill.cli.console import screen
from leafgill.cli.explain import print_figures
from leafgill.cli.lists import columns, heading, listed, pairs


def show(plan: RigPlan, explain: bool) -> None:
    """Print the plan; with `explain` also how each figure was worked out."""
    console = screen()
    console.print(Text(said.title(plan), style="dim"))
    console.print(Text(said.headline(plan), style="bold"))
    for line in said.about_gas(plan):
        console.print(Text(line))
    heading(console, "What to get")
    pairs(console, said.to_buy(plan))
    heading(console, "Cylinders")
    columns(console, tables.CYLINDERS, tables.cylinders(plan))
    _notes(console, notes.about_cylinders(plan))
    heading(console, "Bringing the gas into the water")
    columns(console, tables.WAYS, tables.ways(plan))
    _notes(console, notes.about_ways(plan))
    if plan.tank.rig.source in ("cylinder", "cartridge"):
        heading(console, f"When the {plan.tank.rig.source} runs out and nobody looks")
        columns(console, tables.ENDS, tables.ends(plan))
        _notes(console, notes.about_ends(plan))
    listed(console, "From the gas to the water", said.in_order(plan))
    heading(console, "Setting it")
    pairs(console, said.setting(plan))
    heading(console, "Parts and what they cost")
    columns(console, tables.PARTS, tables.parts(plan))
    _notes(console, notes.about_prices(plan))
    heading(console, "Other sources of gas: what they take")
    columns(console, tables.SOURCES, tables.sources(plan))
    _notes(console, notes.about_sources(plan))
    heading(console, "Other sources of gas: what they do to the day, mg/L")
    columns(console, tables.DAYS, tables.days(plan))
    _notes(console, notes.about_days(plan))
    listed(console, "Noticed", said.noticed(plan))
    listed(console, "Take care", list(plan.cautions))
    if explain:
        print_figures(console, plan.figures)


def _notes(console: Console, lines: list[str]) -> None:
    for line in lines:
        console.print(Text(line, style="dim"))
