"""A counsel on a terminal: what to do first, then the figures behind it."""

from __future__ import annotations

from rich.console import Console
from rich.table import Table
from rich.text import Text

from leafgill.answer import said
from leafgill.answer.counsel import Counsel
from leafgill.answer.figures import moment
from leafgill.charts.picture import DayPicture
from leafgill.cli.console import draws_boxes, screen
from leafgill.cli.lists import heading, listed
from leafgill.cli.plot import ASCII, BOXES, plot


def show(counsel: Counsel, picture: DayPicture) -> None:
    """Print the counsel with the day's picture."""
    console = screen()
    boxes = draws_boxes(console)
    title = f"{counsel.tank.name}, {counsel.now:%A} {counsel.now.day} {counsel.now:%B %Y %H:%M}"
    console.print(Text(title, style="dim"))
    first, *rest = said.where_it_stands(counsel)
    console.print(Text(first, style="bold"))
    for line in rest:
        console.print(Text(line))
    _step(console, counsel)
    console.print()
    for text in plot(picture, console.width, BOXES if boxes else ASCII):
        console.print(text)
    _ahead(console, counsel)
    _why(console, counsel, boxes)
    listed(console, "A reading that would help", said.what_would_help(counsel))
    listed(console, "Does not fit", said.what_does_not_fit(counsel))
    listed(console, "Noticed", said.findings(counsel))
    urgent = said.urgent(counsel)
    listed(console, "Take care", list(said.ALWAYS) if urgent else said.cautions(counsel))


def _step(console: Console, counsel: Counsel) -> None:
    heading(console, "Next step")
    urgent = counsel.step.action == "lower" or said.urgent(counsel)
    console.print(Text(said.what_to_do(counsel), style="bold red" if urgent else "bold green"))
    table = Table.grid(padding=(0, 2))
    table.add_column(style="dim", no_wrap=True)
    table.add_column()
    if said.urgent(counsel):
        for number, words in enumerate(said.step_cautions(counsel), 1):
            table.add_row(f"{number}.", Text(words))
    for label, words in said.what_follows(counsel):
        table.add_row(label, Text(words))
    console.print(table)


def _ahead(console: Console, counsel: Counsel) -> None:
    heading(console, f"The day ahead, until {moment(counsel.until, counsel.now)}")
    changes = counsel.stepped is not None
    table = Table(box=None, padding=(0, 2, 0, 0), header_style="dim", show_header=changes)
    titles = ["", "as it is set", "with the step"] if changes else ["", "as it is set"]
    for title in titles:
        table.add_column(title)
    for row in said.day_ahead(counsel):
        table.add_row(*(Text(cell) for cell in row[: len(titles)]))
    console.print(table)


def _why(console: Console, counsel: Counsel, boxes: bool) -> None:
    for title, reasons in said.why(counsel):
        marks = [_mark(reason.passed, boxes) for reason in reasons]
        listed(console, title, [said.sentence(reason.text) for reason in reasons], marks)


def _mark(passed: bool, boxes: bool) -> Text:
    if passed:
        return Text("✓" if boxes else "yes", style="green")
    return Text("✗" if boxes else "no", style="red")
