"""A balance on a terminal: the limit first, then doses, nutrients, light, and what to mind."""

from __future__ import annotations

from collections.abc import Sequence

from rich.console import Console
from rich.text import Text

from leafgill.advise.balance.result import Balance
from leafgill.answer import balance_light_said as light
from leafgill.answer import balance_said as said
from leafgill.answer.balance_figures import figures_of
from leafgill.cli.console import screen
from leafgill.cli.explain import print_figures
from leafgill.cli.lists import columns, heading, listed


def show(balance: Balance, explain: bool) -> None:
    """Print the balance; with `explain` also how each figure was worked out."""
    console = screen()
    console.print(Text(said.title(balance), style="dim"))
    first, *rest = said.headline(balance)
    console.print(Text(first, style="bold"))
    console.print(Text(said.doses_line(balance), style="bold green"))
    for line in rest:
        console.print(Text(line))
    listed(console, "What to do first", [step.words for step in light.first_steps(balance)])
    _table(console, "What holds growth back", said.LIMITS, said.limit_rows(balance),
           said.limit_notes(balance))  # fmt: skip
    _table(console, "A week's doses", said.DOSES, said.dose_rows(balance),
           said.dose_notes(balance))  # fmt: skip
    titles = said.outlook_titles(balance)
    _table(console, "The nutrients", titles, said.outlook_rows(balance),
           said.outlook_lines(balance))  # fmt: skip
    _table(console, "What comes and goes in a week", said.FLOWS, said.flow_rows(balance))
    _table(console, "Tests", said.TESTS, said.test_rows(balance))
    heading(console, "Light")
    columns(console, ("", "what is known"), light.light_rows(balance))
    _table(console, "More light", light.step_titles(balance), light.step_rows(balance),
           light.step_notes(balance))  # fmt: skip
    _table(console, "Other hours", light.day_titles(balance), light.day_rows(balance),
           light.day_notes(balance))  # fmt: skip
    listed(console, "Where the nutrients are kept, and why", said.target_lines(balance))
    listed(console, "Taken for granted", said.assumed(balance))
    listed(console, "Take care", [*said.cautions(balance), *light.DOSING, *light.MORE_LIGHT])
    if explain:
        print_figures(console, figures_of(balance))


def _table(
    console: Console,
    title: str,
    titles: Sequence[str],
    rows: Sequence[Sequence[str]],
    notes: Sequence[str] = (),
) -> None:
    """Print a table under its heading, its notes beneath; nothing where there is neither."""
    if not rows and not notes:
        return
    heading(console, title)
    if rows:
        columns(console, titles, rows)
    for note in notes:
        console.print(Text(note, style="dim"))
