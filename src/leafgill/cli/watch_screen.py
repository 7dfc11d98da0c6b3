"""Alerts on a terminal: each with what was seen and what to look at first."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from rich.console import Console
from rich.table import Table
from rich.text import Text

from leafgill.answer import alerts as said
from leafgill.cli.console import screen
from leafgill.cli.lists import heading
from leafgill.estimate.watch import Alert

_STYLES = {said.NOW: "bold red", said.TODAY: "bold yellow", said.LOOK: "bold"}


def show(name: str, alerts: Sequence[Alert], now: datetime) -> None:
    """Print alerts as they stand at `now`, the most urgent first."""
    console = screen()
    console.print(Text(f"{name}, {now:%A} {now.day} {now:%B %Y %H:%M}", style="dim"))
    console.print(Text(said.summary(alerts), style="bold"))
    for alert in said.in_order(alerts):
        _alert(console, alert, now)


def _alert(console: Console, alert: Alert, now: datetime) -> None:
    heading(console, said.WHEN[alert.urgency])
    console.print(Text(said.headline(alert), style=_STYLES[alert.urgency]))
    table = Table.grid(padding=(0, 2))
    table.add_column(style="dim", no_wrap=True)
    table.add_column()
    for label, words in said.rows(alert, now):
        table.add_row(label, Text(words))
    console.print(table)
