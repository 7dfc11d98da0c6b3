"""The figures of an answer opened on a terminal: formula, what went in, and the source of each."""

from __future__ import annotations

from collections.abc import Iterable

from rich.console import Console
from rich.padding import Padding
from rich.text import Text

from leafgill.advise.figure import Figure
from leafgill.answer.explain import figures_json, put_in, shown

__all__ = ["figures_json", "print_figures"]

_INDENT = (0, 0, 0, 4)


def print_figures(console: Console, figures: Iterable[Figure]) -> None:
    """Print how each figure was worked out; one told twice is printed once."""
    console.print()
    console.print(Text("How each figure was worked out", style="bold underline"))
    told: set[str] = set()
    for figure in figures:
        if figure.key in told:
            continue
        told.add(figure.key)
        console.print()
        console.print(Text.assemble((f"{figure.label}: ", ""), (shown(figure, 3), "bold")))
        _under(console, "worked out as", figure.formula)
        if figure.inputs:
            _under(console, "from", "; ".join(put_in(given) for given in figure.inputs))
        _under(console, "source", figure.source)
    if told:
        console.print()
        console.print(
            Text("A range holds the truth nine times in ten; ranges marked as a choice of ours or "
                 "common practice are as good as that.", style="dim")
        )  # fmt: skip


def _under(console: Console, label: str, words: str) -> None:
    console.print(Padding(Text.assemble((f"{label}: ", "dim"), words), _INDENT))
