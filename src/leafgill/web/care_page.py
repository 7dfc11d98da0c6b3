"""Care and trouble as plain data: what the worker works out, and pages lay out."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import Any

from leafgill.advise.balance.result import Balance
from leafgill.advise.care import care_of
from leafgill.advise.care.job import USUAL
from leafgill.advise.trouble import CAUSES, Clue, Suspect, Trouble, clues_of
from leafgill.advise.trouble.cause import PRACTICE
from leafgill.answer import care_json, trouble_json
from leafgill.answer import trouble_said as said
from leafgill.diary import Diary
from leafgill.estimate.belief import Belief
from leafgill.tank.spec import Tank
from leafgill.web.page_words import page_words
from leafgill.web.sections import figures_told

# What of a job is words for a page.
_WORDS = ("why", "how", "every", "grounds", "called_for")
# Causes less likely than this are named in one line.
SHORT = 0.05


def care_part(
    tank: Tank, diary: Diary, belief: Belief, now: datetime, balance: Balance | None = None
) -> dict[str, Any]:
    """Return {"care": jobs by what they are called, "clues": what the record tells of trouble}."""
    plan = care_of(tank, diary, belief, now)
    told = care_json.as_json(plan)
    jobs = {job["what"]: _job(job) for job in told["jobs"]}
    for job in plan.jobs:
        jobs[job.what]["figures"] = figures_told(job.figures)
    clues = clues_of(tank, diary, belief, now, balance, plan)
    return {"care": jobs, "clues": trouble_json.clues_json(clues.values())}


def _job(told: Mapping[str, Any]) -> dict[str, Any]:
    words = {name: page_words(str(told[name])) for name in _WORDS}
    return {
        "days": told["days"],
        "last_done": told["last_done"],
        "usual": told["basis"] == USUAL,
        "told": [page_words(line) for line in told["told_words"]],
        **words,
    }


def clues_of_page(payload: Mapping[str, Any]) -> dict[str, Clue]:
    """Return the clues of an answer; without one every clue there is, each not known."""
    kept = payload.get("clues")
    found = {link.clue: Clue(link.clue, "", None, "") for c in CAUSES.values() for link in c.links}
    return found | (trouble_json.clues_from(kept) if kept else {})


def trouble_part(found: Trouble) -> dict[str, Any]:
    """Return a ranking as the page shows it."""
    return {
        "symptom": found.symptom,
        "headline": page_words(said.headline(found)),
        "suspects": [_suspect(one) for one in found.suspects if one.share >= SHORT],
        "hardly": [one.cause.name for one in found.suspects if one.share < SHORT],
        "would_tell": [page_words(line) for line in said.would_tell(found)],
        "figures": figures_told(found.figures),
        "how_ranked": said.HOW_RANKED,
        "animals_are_right": said.ANIMALS_ARE_RIGHT if found.symptom.urgent else "",
    }


def _suspect(one: Suspect) -> dict[str, Any]:
    return {
        "name": one.cause.name,
        "share": said.share(one),
        "percent": round(100.0 * one.share),
        "usual": said.against_usual(one),
        "why": page_words(said.stopped(one.cause.why)),
        "grounds": _pages(said.grounds(one)),
        "not_told": _pages(said.not_told(one)),
        "check": page_words(said.stopped(one.cause.check)),
        "do": page_words(said.stopped(one.cause.do)),
        "cited": "" if one.cause.source == PRACTICE else said.stopped(one.cause.source),
    }


def _pages(lines: Iterable[str]) -> list[str]:
    return [page_words(line) for line in lines]
