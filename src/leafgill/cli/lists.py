"""Headings and lists, laid out alike in every answer."""

from __future__ import annotations

from collections.abc import Sequence

from rich.console import Console
from rich.table import Table
from rich.text import Text


def heading(console: Console, text: str) -> None:
    """Print a heading with an empty line before it."""
    console.print()
    console.print(Text(text, style="bold underline"))


def pairs(console: Console, rows: Sequence[tuple[str, str]]) -> None:
    """Print labels with what belongs to each."""
    table = Table.grid(padding=(0, 2))
    table.add_column(style="dim", no_wrap=True)
    table.add_column()
    for label, words in rows:
        table.add_row(label, Text(words))
    console.print(table)


def listed(
    console: Console, title: str, lines: Sequence[str], marks: Sequence[Text] | None = None
) -> None:
    """Print lines under a heading, each with its mark; nothing where there are none."""
    if not lines:
        return
    heading(console, title)
    table = Table.grid(padding=(0, 1))
    table.add_column(no_wrap=True)
    table.add_column()
    for line, mark in zip(lines, marks or [Text("-")] * len(lines), strict=True):
        table.add_row(mark, Text(line))
    console.print(table)


def columns(console: Console, titles: Sequence[str], rows: Sequence[Sequence[str]]) -> None:
    """Print rows under dim titles, without lines between."""
    table = Table(box=None, padding=(0, 2, 0, 0), header_style="dim")
    for title in titles:
        table.add_column(title)
    for row in rows:
        table.add_row(*(Text(cell) for cell in row))
    console.print(table)
