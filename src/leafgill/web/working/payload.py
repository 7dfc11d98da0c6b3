"""A counsel as the plain data that is kept with a tank: every figure and sentence of its pages."""

from __future__ import annotations

from typing import Any

from leafgill.advise.emergency import Relief, halves_of, rescue_of, ways_out
from leafgill.advise.step import Reason
from leafgill.answer import emergency_said, said
from leafgill.answer.counsel import Counsel
from leafgill.answer.counsel_json import as_json
from leafgill.answer.day import picture_of
from leafgill.answer.figures import interval_json, plain
from leafgill.answer.night import night_of
from leafgill.web.page_words import page_words
from leafgill.web.working.bands import bands_of, hours_of, risk_of, stepped_bands_of
from leafgill.web.working.night import night_json
from leafgill.web.working.pictures import picture_from, picture_json

__all__ = ["payload_of", "picture_from"]


def payload_of(counsel: Counsel) -> dict[str, Any]:
    """Return a counsel as JSON takes it: no NaN, times as ISO 8601.

    Beside the keys of `counsel_json.as_json`: "said" (its sentences, in a page's words), "bands"
    and "stepped_bands" (see `bands_of`), "risk" (see `risk_of`), "hours" (see `hours_of`),
    "picture" (see `picture_from`), "night" (see `night_from`) and "emergency".
    """
    found = {
        **as_json(counsel),
        "said": _said(counsel),
        "bands": bands_of(counsel),
        "stepped_bands": stepped_bands_of(counsel),
        "risk": risk_of(counsel),
        "hours": hours_of(counsel),
        "picture": picture_json(picture_of(counsel)),
        "night": night_json(night_of(counsel)),
        "emergency": _emergency(counsel),
    }
    told: dict[str, Any] = plain(found)
    return told


def _said(counsel: Counsel) -> dict[str, Any]:
    first, *more = said.where_it_stands(counsel)
    return {
        "sentence": page_words(first),
        "where_it_stands": _lines(more),
        "what_to_do": page_words(said.what_to_do(counsel)),
        "what_follows": _rows(said.what_follows(counsel)),
        "day_ahead": _rows(said.day_ahead(counsel)),
        "why": [
            {"title": page_words(title), "reasons": [_reason(reason) for reason in reasons]}
            for title, reasons in said.why(counsel)
        ],
        "what_would_help": _lines(said.what_would_help(counsel)),
        "what_does_not_fit": _lines(said.what_does_not_fit(counsel)),
        "urgent": said.urgent(counsel),
        "step_cautions": _lines(said.step_cautions(counsel)),
        "cautions": _lines(said.cautions(counsel)),
        "findings": _lines(said.findings(counsel)),
    }


def _lines(lines: list[str]) -> list[str]:
    return [page_words(line) for line in lines]


def _rows(rows: list[Any]) -> list[list[str]]:
    return [[page_words(cell.strip()) for cell in row] for row in rows]


def _reason(reason: Reason) -> dict[str, Any]:
    return {
        "text": page_words(said.sentence(reason.text)),
        "figure": reason.figure,
        "comparison": reason.comparison,
        "limit": reason.limit,
        "passed": bool(reason.passed),
    }


def _emergency(counsel: Counsel) -> dict[str, Any]:
    """Return how fast CO2 falls below the limit from now on, each way out with the gas shut.

    "halves" has in how many minutes CO2 halves, "minutes" CO2 and oxygen minute by
    minute (see `emergency_said.as_json`).
    """
    out = ways_out(counsel.belief, counsel.now, counsel.limits.co2_mg_l)
    return {
        "co2_mg_l": interval_json(out.co2_mg_l),
        "limit_mg_l": out.limit_mg_l,
        "gas_shut": _relief(out.gas_shut),
        "with_air": _relief(out.with_air),
        "with_change": _relief(out.with_change),
        "halves": emergency_said.halves_json(halves_of(counsel.belief)),
        "minutes": emergency_said.as_json(rescue_of(counsel.belief, counsel.now, counsel.limits)),
    }


def _relief(relief: Relief) -> dict[str, Any]:
    return {"minutes": interval_json(relief.minutes), "co2_mg_l": interval_json(relief.co2_mg_l)}
