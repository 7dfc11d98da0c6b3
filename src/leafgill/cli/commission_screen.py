"""A commissioning on a terminal: a hold's verdict first, then the checklist, then the cautions."""

from __future__ import annotations

from rich.padding import Padding
from rich.text import Text

from leafgill.advise.commission import Commission
from leafgill.answer import commission_said as said
from leafgill.cli.console import draws_boxes, screen
from leafgill.cli.explain import print_figures
from leafgill.cli.lists import heading, listed

_STYLE = {"tight": "bold green", "leaks": "bold red"}


def show(commission: Commission, explain: bool) -> None:
    """Print the commissioning; with `explain` also how each figure was worked out."""
    console = screen()
    console.print(Text(f"{commission.tank.name}: {said.title(commission)}", style="dim"))
    test = commission.hold
    if test is not None:
        heading(console, "The pressure hold")
        console.print(Text(said.verdict(test), style=_STYLE.get(test.verdict, "bold")))
        for line in said.hold_lines(test):
            console.print(Text(line))
    listed(console, "Take care first", list(commission.cautions))
    heading(console, "Putting it together")
    box = "☐" if draws_boxes(console) else "[ ]"
    for number, item in enumerate(commission.items, 1):
        console.print(Text.assemble((f"{box} {number}. ", ""), (item.title, "bold")))
        console.print(Padding(Text(item.text), (0, 0, 0, len(box) + 1)))
    listed(console, "Taken for granted", said.assumed(commission))
    if explain:
        print_figures(console, commission.figures)
