"""Trouble on a terminal: what to do first, then the causes with what speaks for and against."""

from __future__ import annotations

from datetime import datetime

from rich.console import Console
from rich.padding import Padding
from rich.text import Text

from leafgill.advise.emergency import NOT_TO_DO, Rescue
from leafgill.advise.trouble import Suspect, Trouble
from leafgill.answer import emergency_said, trouble_said
from leafgill.answer.card import IN_DANGER
from leafgill.cli.console import screen
from leafgill.cli.explain import print_figures
from leafgill.cli.lists import columns, heading, listed

_INDENT = (0, 0, 0, 2)
# Causes less likely than this are named in one line.
_SHORT = 0.05


def show(name: str, now: datetime, found: Trouble, rescue: Rescue | None, explain: bool) -> None:
    """Print a ranking; with `explain` also how each figure was worked out."""
    console = screen()
    console.print(Text(f"{name}, {now:%A} {now.day} {now:%B %Y %H:%M}", style="dim"))
    console.print(Text(f"{found.symptom.name}: {found.symptom.looks}", style="dim"))
    if rescue is not None:
        _act(console, rescue)
    console.print(Text(trouble_said.headline(found), style="bold"))
    heading(console, "Causes")
    for suspect in found.suspects:
        if suspect.share >= _SHORT:
            _suspect(console, suspect)
    rest = [one.cause.name for one in found.suspects if one.share < _SHORT]
    if rest:
        console.print(Text(f"Hardly: {'; '.join(rest)}.", style="dim"))
    listed(console, "What would tell most", trouble_said.would_tell(found))
    console.print()
    console.print(Text(trouble_said.HOW_RANKED, style="dim"))
    if explain:
        print_figures(console, found.figures)


def _act(console: Console, rescue: Rescue) -> None:
    console.print(Text(trouble_said.ACT_FIRST, style="bold"))
    listed(console, "Do this now, in this order", list(IN_DANGER))
    listed(console, "What not to do", list(NOT_TO_DO))
    for what, title in (("co2_mg_l", "CO2, mg/L"), ("o2_mg_l", "Oxygen in the worst place, mg/L")):
        heading(console, f"Minute by minute: {title}")
        columns(console, emergency_said.titles(), emergency_said.table(rescue, what))
    console.print()
    for words, said in emergency_said.outcomes(rescue):
        console.print(Text(f"{words}: {said}."))
    for line in (emergency_said.ph_rise(rescue), emergency_said.CLOCK):
        if line:
            console.print(Text(line, style="dim"))
    heading(console, "Then the cause")
    console.print(Text(trouble_said.ANIMALS_ARE_RIGHT))


def _suspect(console: Console, one: Suspect) -> None:
    console.print(
        Text.assemble((one.cause.name, "bold"), f": {trouble_said.share(one)} ",
                      (f"({trouble_said.against_usual(one)})", "dim"))
    )  # fmt: skip
    lines = [trouble_said.stopped(one.cause.why)]
    lines += trouble_said.grounds(one)
    lines += trouble_said.not_told(one)
    lines += [trouble_said.stopped(f"Check: {one.cause.check}"), f"Then: {one.cause.do}."]
    for line in lines:
        console.print(Padding(Text(line), _INDENT))
