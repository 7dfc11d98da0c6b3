"""A stock bottle as JSON: what the screen shows, for programs."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from leafgill.advise.stock.settling import Between
from leafgill.advise.stock.stock import Stock
from leafgill.answer import stock_said as said
from leafgill.answer.explain import figure_ref, figures_json


def as_json(stocks: Sequence[Stock], pairs: Sequence[Between] = ()) -> dict[str, Any]:
    """Return bottles of one tank as plain data, and which to keep apart."""
    return {
        "tank": stocks[0].tank.name,
        "volume_l": stocks[0].tank.volume_l,
        "bottles": [_bottle(stock) for stock in stocks],
        "keep_apart": [
            {"bottles": [one.first, one.second], "what": one.what, "words": one.words}
            for one in pairs
        ],
        "cautions": list(stocks[0].cautions),
    }


def _bottle(stock: Stock) -> dict[str, Any]:
    """Return a bottle; every figure's key stands in its `figures` with its working."""
    bottle = stock.bottle
    return {
        "bottle": bottle.name,
        "bottle_ml": bottle.volume_ml,
        "dose_ml": stock.dose_ml,
        "per_week": stock.per_week,
        "headline": said.headline(stock),
        "keeps": stock.keeps,
        "harmless": stock.harmless,
        "wants": [
            {"nutrient": want.nutrient, "raise_mg_l": want.raise_mg_l, "salt": want.salt}
            for want in stock.wants
        ],
        "grams": dict(bottle.salts_g),
        "label_g_per_l": dict(bottle.holds_g_l),
        "dose_brings": {one.key: figure_ref(one) for one in (*stock.brings, *stock.hardness)},
        "doses": None if stock.doses is None else stock.doses.value,
        "lasts_weeks": None if stock.lasts is None else stock.lasts.value,
        "coldest_c": stock.coldest_c,
        "dissolving": [
            {"salt": one.salt, "weighed": one.weighed, "share": figure_ref(one.share),
             "verdict": one.verdict}
            for one in stock.dissolves
        ],
        "least_dose_ml": None if stock.least_dose is None else stock.least_dose.value,
        "settling": [
            {"what": one.what, "index": figure_ref(one.index) if one.index else None,
             "falls": one.falls, "words": one.words}
            for one in stock.settles
        ],
        "animals": [
            {"name": one.name, "at_most": figure_ref(one.at_most), "limit": one.limit,
             "unit": one.at_most.unit, "passed": one.passed, "basis": one.basis,
             "words": one.words}
            for one in stock.dangers
        ],
        "figures": figures_json(stock.figures),
    }  # fmt: skip
