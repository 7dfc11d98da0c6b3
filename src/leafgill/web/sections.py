"""A page's sections and figures as plain data: what the worker keeps and a template lays out."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from leafgill.advise.figure import Figure
from leafgill.answer.explain import amount, shown
from leafgill.web.page_words import page_words

Section = dict[str, Any]
Rows = Iterable[Sequence[str]]


def figures_told(figures: Iterable[Figure]) -> list[dict[str, Any]]:
    """Return figures as a page opens them, each key once: words, formula, inputs, source."""
    found: dict[str, dict[str, Any]] = {}
    for figure in figures:
        found.setdefault(
            figure.key,
            {
                "key": figure.key,
                "label": page_words(figure.label[:1].upper() + figure.label[1:]),
                "shown": shown(figure, 3),
                "formula": page_words(figure.formula),
                "inputs": [
                    {
                        "name": page_words(given.name),
                        "value": f"{_input_value(given.value)} {given.unit}".rstrip(),
                        "origin": page_words(given.origin),
                    }
                    for given in figure.inputs
                ],
                "source": page_words(figure.source),
            },
        )
    return list(found.values())


def _input_value(value: float | str) -> str:
    return value if isinstance(value, str) else amount(value, 4)


def pairs(title: str, rows: Rows) -> Section:
    """Return rows of (label, words)."""
    return {"kind": "pairs", "title": title, "rows": _cells(rows)}


def table(title: str, titles: Sequence[str], rows: Rows, notes: Iterable[str] = ()) -> Section:
    """Return a table; a row whose first cell starts with ">" is the advised one."""
    cells = _cells(rows)
    return {
        "kind": "table",
        "title": title,
        "titles": [page_words(cell) for cell in titles],
        "rows": [
            {"chosen": row[0].startswith(">"), "head": row[0].lstrip("> "), "cells": row[1:]}
            for row in cells
        ],
        "notes": [page_words(line) for line in notes],
    }


def lines(title: str, said: Iterable[str], *, ordered: bool = False) -> Section:
    """Return a list of sentences; `ordered` where one follows on another."""
    told = [page_words(line) for line in said]
    return {"kind": "steps" if ordered else "lines", "title": title, "rows": told}


def _cells(rows: Rows) -> list[list[str]]:
    return [[page_words(cell) for cell in row] for row in rows]


def full(sections: Iterable[Section]) -> list[Section]:
    """Return the sections that hold something."""
    return [section for section in sections if section["rows"]]
