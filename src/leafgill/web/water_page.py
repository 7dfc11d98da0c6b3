"""The water page's content as plain data: what the worker works out, and what a form asks."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from leafgill.advise.water.blend import Blend
from leafgill.advise.water.change import Change, change_of
from leafgill.advise.water.habit import habit_of
from leafgill.advise.water.levels_seen import levels_seen
from leafgill.advise.water.remineral import Recipe
from leafgill.advise.water.sources import tap_of
from leafgill.advise.water.usual import new_water, usual_change
from leafgill.advise.words import per_cent
from leafgill.answer import water_said as said
from leafgill.answer.explain import bare
from leafgill.diary import Diary
from leafgill.estimate.belief import Belief
from leafgill.tank.spec import Tank
from leafgill.web.page_words import page_words
from leafgill.web.sections import figures_told, full, lines, pairs, table

# The parts told of beside the usual one.
PARTS = (0.1, 0.25, 0.5, 0.75)
_PARTS_TITLES = ("changed", "CO2, mg/L", "KH, dKH", "pH", "highest CO2, mg/L", "for the animals")


def water_part(tank: Tank, diary: Diary, belief: Belief, now: datetime) -> dict[str, Any]:
    """Return what the tank's usual water change does now, other parts beside it, and repeated."""
    usual = usual_change(tank)
    seen = levels_seen(diary.localised(tank.timezone), now)
    new = new_water(tank, tap_of(tank), seen.levels)

    def changed(part: float) -> Change:
        return change_of(belief, now, part, new, seen.levels, origins=seen.origins)

    change = changed(usual.part)
    by_part = {usual.part: change} | {part: changed(part) for part in PARTS if part != usual.part}
    habit = habit_of(usual.part, usual.every_days, new, change.start_of_series())
    series = [table(said.habit_headline(habit), said.habit_titles(habit), said.habit_rows(habit),
                    [said.HABIT_NOTE])] if habit.trends else []  # fmt: skip
    sections = [
        table("At once", ("", "before", "after"), said.change_rows(change)),
        table("More or less of it", _PARTS_TITLES,
              [_row(by_part[part], part == usual.part) for part in sorted(by_part)]),
        table("The hours after, as things are set", said.COURSE, said.course_rows(change),
              said.ahead(change)),
        lines("What the animals feel", [words for _, words, _ in said.animals(change)]),
        *series,
        lines("How it is taken in", said.taken_in(change)),
        lines("Noticed", said.assumed(new.origins)),
    ]  # fmt: skip
    return {
        "title": page_words(said.change_title(change)),
        "headline": page_words(said.change_headline(change)),
        "strained": [strain.name for strain in change.strains if not strain.passed],
        "sections": full(sections),
        "figures": figures_told((*change.figures, *habit.figures)),
    }


def _row(change: Change, usual: bool) -> tuple[str, ...]:
    strained = [strain.name for strain in change.strains if not strain.passed]
    if change.over.value > 0.1:
        strained.append("CO2")
    return (
        per_cent(change.part) + (", as usual" if usual else ""),
        bare(change.co2_after),
        bare(change.kh_after),
        said.ph(change.ph_after),
        bare(change.peak),
        f"too much: {', '.join(said.SHORT_NAMES.get(name, name) for name in strained)}"
        if strained else "within what they take",
    )  # fmt: skip


def blend_part(blend: Blend) -> dict[str, Any]:
    """Return what to measure for a mix, and what it is."""
    return {
        "headline": page_words(said.blend_headline(blend)),
        "sections": full([
            pairs("What the mix is", said.blend_rows(blend)),
            lines("Noticed", said.blend_notes(blend)),
        ]),
        "figures": figures_told(blend.figures),
    }  # fmt: skip


def recipe_part(recipe: Recipe) -> dict[str, Any]:
    """Return what to weigh for minerals, and what the water then holds."""
    return {
        "headline": page_words(said.recipe_headline(recipe)),
        "sections": full([
            table("What to weigh", said.WEIGH, said.recipe_rows(recipe)),
            table("What the water holds", said.HOLDS, said.recipe_holds(recipe),
                  said.recipe_state(recipe)),
            lines("Noticed", said.recipe_notes(recipe)),
            lines("Take care", recipe.cautions),
        ]),
        "figures": figures_told(recipe.figures),
    }  # fmt: skip
