"""The balance page's content as plain data: what the worker works out, and a page lays out."""

from __future__ import annotations

from typing import Any

from leafgill.advise.balance.result import Balance, Dose
from leafgill.answer import balance_figures as figures
from leafgill.answer import balance_light_said as light
from leafgill.answer import balance_said as said
from leafgill.answer.balance_picture import picture_of
from leafgill.answer.explain import amount
from leafgill.diary import Diary
from leafgill.web.page_words import page_words
from leafgill.web.sections import figures_told, full, lines, pairs, table
from leafgill.web.working.weeks import weeks_json

WEEKS = 4


def balance_part(balance: Balance, diary: Diary) -> dict[str, Any]:
    """Return what holds growth back, doses, nutrients with their picture, light, and cautions."""
    first, *rest = said.headline(balance)
    return {
        "headline": page_words(first),
        "lines": [page_words(line) for line in rest],
        "doses_line": page_words(said.doses_line(balance)),
        "first": [
            {"about": step.about, "words": page_words(step.words)}
            for step in light.first_steps(balance)
        ],
        "limit": _limit(balance),
        "doses": [_dose(dose) for dose in balance.plan.doses],
        "dosing": {
            "notes": [page_words(line) for line in said.dose_notes(balance)],
            "figures": figures_told(figures.dose_figures(balance)),
        },
        "nutrients": _nutrients(balance),
        "light": _light(balance),
        "noticed": full([lines("Noticed", [*said.cautions(balance), *said.assumed(balance)])]),
        "picture": weeks_json(picture_of(balance, diary)),
        "picture_words": " ".join(said.outlook_lines(balance)),
    }


def cautions() -> list[str]:
    """Return what stands on the page whatever was worked out."""
    return [page_words(line) for line in (*light.DOSING, *light.MORE_LIGHT)]


def _limit(balance: Balance) -> dict[str, Any]:
    rows = said.limit_rows(balance)
    return {
        "sections": full(
            [table("How far each lets it go", said.LIMITS, rows, said.limit_notes(balance))]
        ),
        "figures": figures_told(figures.limit_figures(balance)),
    }


def _dose(dose: Dose) -> dict[str, Any]:
    """Return a dose as the page tells it, and what its button writes into the diary."""
    each = amount(dose.each.value, 2)
    return {
        "what": dose.what,
        "each": f"{each} {dose.unit}",
        "often": said.often(dose.a_week),
        "brings": said.brings(dose),
        "value": each,
        "unit": dose.unit,
    }


def _nutrients(balance: Balance) -> dict[str, Any]:
    titles = said.outlook_titles(balance)
    traces = said.outlook_rows(balance, traces=True)
    sections = [
        table("Now and ahead", titles, said.outlook_rows(balance)),
        table("What comes and goes in a week", said.FLOWS, said.flow_rows(balance)),
        table("Tests", said.TESTS, said.test_rows(balance)),
        table("Traces that nothing tells of", titles, traces,
              said.outlook_lines(balance, traces=True)),
        lines("Where they are kept, and why", said.target_lines(balance)),
    ]  # fmt: skip
    return {
        "lines": [page_words(line) for line in said.outlook_lines(balance)],
        "sections": full(sections),
        "figures": figures_told(figures.nutrient_figures(balance)),
    }


def _light(balance: Balance) -> dict[str, Any]:
    sections = [
        pairs("What there is", light.light_rows(balance)),
        table("More light: what it would give and ask", light.step_titles(balance),
              light.step_rows(balance), light.step_notes(balance)),
        table("Other hours", light.day_titles(balance), light.day_rows(balance),
              light.day_notes(balance)),
    ]  # fmt: skip
    return {
        "sections": full(sections),
        "figures": figures_told(figures.light_figures(balance)),
    }
