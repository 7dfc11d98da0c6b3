"""Trouble as JSON: a ranking for programs, and clues as they are kept with a tank and read back."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from leafgill.advise.figure import Figure, Input
from leafgill.advise.trouble.clue import Clue
from leafgill.advise.trouble.rank import Suspect, Trouble
from leafgill.answer import trouble_said as said
from leafgill.answer.explain import figure_json, figures_json


def as_json(trouble: Trouble) -> dict[str, Any]:
    """Return a ranking as plain data."""
    symptom = trouble.symptom
    return {
        "symptom": symptom.key,
        "name": symptom.name,
        "looks": symptom.looks,
        "urgent": symptom.urgent,
        "verdict": trouble.verdict,
        "said": said.headline(trouble),
        "causes": [_suspect(one) for one in trouble.suspects],
        "would_tell": list(trouble.ask),
        "how_ranked": said.HOW_RANKED,
        "figures": figures_json(trouble.figures),
    }


def _suspect(one: Suspect) -> dict[str, Any]:
    return {
        "key": one.cause.key,
        "name": one.cause.name,
        "why": one.cause.why,
        "check": one.cause.check,
        "do": one.cause.do,
        "share": one.share,
        "share_low": one.low,
        "share_high": one.high,
        "share_usual": one.usual,
        "factor": one.factor,
        "source": one.cause.source,
        "grounds": [
            {
                "clue": ground.clue.key,
                "says": ground.clue.says,
                "chance": ground.clue.chance,
                "factor": ground.factor,
                "figures": [figure.key for figure in ground.clue.figures],
            }
            for ground in one.grounds
        ],
        "not_known": [{"clue": clue.key, "says": clue.says, "ask": clue.ask}
                      for clue in one.unknown],
    }  # fmt: skip


def clues_json(clues: Iterable[Clue]) -> list[dict[str, Any]]:
    """Return clues as they are kept."""
    return [
        {
            "key": clue.key,
            "says": clue.says,
            "chance": clue.chance,
            "ask": clue.ask,
            "figures": [{"key": figure.key, **figure_json(figure)} for figure in clue.figures],
        }
        for clue in clues
    ]


def clues_from(kept: Iterable[Mapping[str, Any]]) -> dict[str, Clue]:
    """Return kept clues by their keys. Raises KeyError for what is none."""
    return {
        one["key"]: Clue(
            one["key"],
            one["says"],
            one["chance"],
            one["ask"],
            tuple(_figure(figure) for figure in one["figures"]),
        )
        for one in kept
    }


def _figure(kept: Mapping[str, Any]) -> Figure:
    inputs = tuple(
        Input(given["name"], given["value"], given["unit"], given["from"])
        for given in kept["inputs"]
    )
    return Figure(kept["key"], kept["label"], kept["value"], kept["unit"], kept["formula"], inputs,
                  kept["source"], kept["low"], kept["high"])  # fmt: skip
