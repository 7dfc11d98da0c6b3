"""The rig page's content as plain data: what the worker works out, and a page lays out."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import Any

from leafgill.advise.commission import Commission
from leafgill.advise.figure import Figure
from leafgill.advise.rig.plan import plan_rig
from leafgill.advise.supply import supply
from leafgill.advise.supply.supply import WEIGHED
from leafgill.answer import commission_said, rig_notes, rig_said, rig_tables, supply_said
from leafgill.answer.explain import amount, shown
from leafgill.diary import Diary
from leafgill.estimate.belief import Belief
from leafgill.tank.spec import Tank
from leafgill.web.page_words import page_words

Section = dict[str, Any]
Rows = Iterable[Sequence[str]]


def rig_part(tank: Tank, belief: Belief) -> dict[str, Any]:
    """Return the rig for a tank, from what is believed of it."""
    plan = plan_rig(tank, belief)
    vessel = tank.rig.source in ("cylinder", "cartridge")
    end = f"When the {tank.rig.source} runs out and nobody looks"
    sections = [
        _pairs("What to get", rig_said.to_buy(plan)),
        _table("Cylinders", rig_tables.CYLINDERS, rig_tables.cylinders(plan),
               rig_notes.about_cylinders(plan)),
        _table("Bringing the gas into the water", rig_tables.WAYS, rig_tables.ways(plan),
               rig_notes.about_ways(plan)),
        *([_table(end, rig_tables.ENDS, rig_tables.ends(plan), rig_notes.about_ends(plan))]
          if vessel else []),
        _lines("From the gas to the water", rig_said.in_order(plan), ordered=True),
        _pairs("Setting it", rig_said.setting(plan)),
        _table("Parts and what they cost", rig_tables.PARTS, rig_tables.parts(plan),
               rig_notes.about_prices(plan)),
        _table("Other sources of gas: what they take", rig_tables.SOURCES,
               rig_tables.sources(plan), rig_notes.about_sources(plan)),
        _table("Other sources of gas: what they do to the day, mg/L", rig_tables.DAYS,
               rig_tables.days(plan), rig_notes.about_days(plan)),
        _lines("Noticed", rig_said.noticed(plan)),
    ]  # fmt: skip
    return {
        "headline": page_words(rig_said.headline(plan)),
        "lines": [page_words(line) for line in rig_said.about_gas(plan)],
        "sections": _full(sections),
        "cautions": [page_words(line) for line in plan.cautions],
        "figures": figures_told(plan.figures),
    }


def supply_part(tank: Tank, diary: Diary, now: datetime) -> dict[str, Any] | None:
    """Return what is left of the gas, None for a source that is not weighed."""
    if tank.rig.source not in WEIGHED:
        return None
    told = supply_said.Told(supply(tank, diary, now))
    first, order, *rest = supply_said.headline(told)
    sections = [
        _table("What is left", ("", "gas left", "gas for"), supply_said.by_source(told)),
        _lines("Does not fit", supply_said.disagreements(told)),
        _lines("Is there a leak", supply_said.leak(told)),
        _lines("The end of the cylinder", supply_said.end(told)),
        _table(
            "The day, as it is set and at the end",
            ("a day", "gas, times", "highest CO2", supply_said.limit_title(told.supply)),
            supply_said.end_table(told),
        ),
        _lines("A reading that would help", supply_said.what_would_help(told)),
        _lines("Taken for granted", supply_said.assumed(told)),
    ]
    return {
        "headline": page_words(first),
        "order": page_words(order),
        "lines": [page_words(line) for line in rest],
        "sections": _full(sections),
        "cautions": [page_words(line) for line in told.supply.cautions],
        "figures": figures_told(told.figures),
    }


def commission_part(commission: Commission) -> dict[str, Any]:
    """Return the checklist of a rig, and what a pressure hold says where there was one."""
    test = commission.hold
    return {
        "headline": page_words(commission_said.title(commission)),
        "items": [
            {"title": page_words(item.title), "text": page_words(item.text)}
            for item in commission.items
        ],
        "assumed": [page_words(line) for line in commission_said.assumed(commission)],
        "cautions": [page_words(line) for line in commission.cautions],
        "figures": figures_told(commission.figures),
        "hold": None
        if test is None
        else {
            "verdict": page_words(commission_said.verdict(test)),
            "found": test.verdict,
            "lines": [page_words(line) for line in commission_said.hold_lines(test)],
        },
    }


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


def _pairs(title: str, rows: Rows) -> Section:
    return {"kind": "pairs", "title": title, "rows": _cells(rows)}


def _table(title: str, titles: Sequence[str], rows: Rows, notes: Iterable[str] = ()) -> Section:
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


def _lines(title: str, lines: Iterable[str], *, ordered: bool = False) -> Section:
    told = [page_words(line) for line in lines]
    return {"kind": "steps" if ordered else "lines", "title": title, "rows": told}


def _cells(rows: Rows) -> list[list[str]]:
    return [[page_words(cell) for cell in row] for row in rows]


def _full(sections: Iterable[Section]) -> list[Section]:
    return [section for section in sections if section["rows"]]
