"""A bottle as a page shows it: what to weigh, what a dose brings, and what was checked."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from leafgill.advise.stock.settling import between
from leafgill.advise.stock.stock import Stock
from leafgill.answer import stock_said as said
from leafgill.answer.explain import amount
from leafgill.tank.bottle import Bottle
from leafgill.web.page_words import page_words
from leafgill.web.sections import figures_told, full, lines, table


def bottle_part(stock: Stock) -> dict[str, Any]:
    """Return a bottle's headline, sections and figures."""
    sections = [
        table("What to weigh", said.WEIGH, said.to_weigh(stock), said.how_often(stock)),
        table("What a dose brings", said.BRINGS, said.a_dose(stock)),
        table("Does it dissolve", said.DISSOLVING, said.dissolving(stock),
              said.about_dissolving(stock)),
        lines("What falls out", said.settling(stock)),
        lines("For the animals", said.animals(stock)),
    ]  # fmt: skip
    return {
        "name": stock.bottle.name,
        "title": page_words(said.title(stock)),
        "headline": page_words(said.headline(stock)),
        "fine": stock.keeps and stock.harmless,
        "sections": full(sections),
        "figures": figures_told(stock.figures),
    }


def apart_lines(bottles: Sequence[Bottle]) -> list[str]:
    """Say which bottles must not be poured together."""
    return [page_words(line) for line in said.apart(between(bottles))]


def weighable(bottle: Bottle) -> Bottle:
    """Return a bottle with grams as a scale shows them: to a hundredth, or to three digits."""
    grams = tuple(
        (salt, float(f"{g:.2f}") if g >= 1.0 else float(amount(g))) for salt, g in bottle.salts_g
    )
    return Bottle(bottle.name, bottle.volume_ml, grams, bottle.holds_g_l)
