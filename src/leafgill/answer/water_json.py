"""Mixed water, minerals and water changes as JSON, for programs."""

from __future__ import annotations

from typing import Any

from leafgill.advise.water.blend import Blend
from leafgill.advise.water.change import Change
from leafgill.advise.water.habit import Habit
from leafgill.advise.water.remineral import Recipe
from leafgill.answer import water_said as said
from leafgill.answer.explain import figure_ref, figures_json
from leafgill.estimate.belief import Band


def blend_json(blend: Blend) -> dict[str, Any]:
    """Return a blend; every figure's key stands in `figures` with its working."""
    return {
        "pure_part": blend.part.value,
        "tap_l": blend.tap_l.value,
        "pure_l": blend.pure_l.value,
        "kh_dkh": figure_ref(blend.kh),
        "gh_dgh": figure_ref(blend.gh),
        "ph": figure_ref(blend.ph),
        "co2_mg_l": figure_ref(blend.co2),
        "levels": dict(zip(blend.tap.levels, map(figure_ref, blend.levels), strict=True)),
        "notes": said.blend_notes(blend),
        "figures": figures_json(blend.figures),
    }


def recipe_json(recipe: Recipe) -> dict[str, Any]:
    """Return a recipe; every figure's key stands in `figures` with its working."""
    return {
        "litres": recipe.litres,
        "wish": {"kh_dkh": recipe.wish.kh_dkh, "gh_dgh": recipe.wish.gh_dgh,
                 "ca_to_mg": recipe.wish.ca_to_mg},
        "grams": {one.label: one.value for one in recipe.grams},
        "kh_dkh": figure_ref(recipe.kh),
        "gh_dgh": figure_ref(recipe.gh),
        "holds": {one.key: figure_ref(one) for one in recipe.holds},
        "state": {one.key: figure_ref(one) for one in recipe.state},
        "notes": list(recipe.notes),
        "cautions": list(recipe.cautions),
        "figures": figures_json(recipe.figures),
    }  # fmt: skip


def change_json(change: Change, habit: Habit | None = None) -> dict[str, Any]:
    """Return a change, and the series of such changes where there is one."""
    course = change.course
    figures = (*change.figures, *(habit.figures if habit else ()))
    return {
        "tank": change.belief.tank.name,
        "at": change.at,
        "part": change.part,
        "limit_mg_l": change.limits.co2_mg_l,
        "before": {
            "co2_mg_l": figure_ref(change.co2_before),
            "ph": figure_ref(change.ph_before),
            "kh_dkh": figure_ref(change.kh_before),
            "gh_dgh": figure_ref(change.gh_before),
            "levels": {one.key: figure_ref(one) for one, _ in change.levels},
        },
        "after": {
            "co2_mg_l": figure_ref(change.co2_after),
            "ph": figure_ref(change.ph_after),
            "kh_dkh": figure_ref(change.kh_after),
            "gh_dgh": figure_ref(change.gh_after),
            "temperature_c": figure_ref(change.warmth),
            "levels": {one.key: figure_ref(one) for _, one in change.levels},
        },
        "peak_co2_mg_l": figure_ref(change.peak),
        "p_over_limit": change.over.value,
        "o2_min_mg_l": figure_ref(change.o2_min),
        "back_h": figure_ref(change.back),
        "course": [
            {
                "minutes": float(minutes),
                "co2_mg_l": _at(course.co2, k),
                "co2_max_mg_l": _at(course.co2_max, k),
                "ph": _at(course.ph, k),
                "o2_mg_l": _at(course.o2, k),
                "without": {"co2_mg_l": _at(course.co2_left, k), "ph": _at(course.ph_left, k)},
            }
            for k, minutes in enumerate(course.minutes)
        ],
        "animals": [
            {"name": one.name, "jump": figure_ref(one.jump), "limit": one.limit, "unit": one.unit,
             "passed": one.passed, "most_part": one.most_part, "basis": one.basis,
             "words": one.words}
            for one in change.strains
        ],
        "series": None if habit is None else _habit(habit),
        "taken_in": said.taken_in(change),
        "cautions": list(said.ALWAYS),
        "figures": figures_json(figures),
    }  # fmt: skip


def _habit(habit: Habit) -> dict[str, Any]:
    return {
        "part": habit.part,
        "every_days": habit.every_days,
        "levels": {
            trend.name: {
                "now": figure_ref(trend.now),
                "after": {str(count): figure_ref(figure) for count, figure in trend.later},
                "end": figure_ref(trend.end),
                "changes": trend.changes,
            }
            for trend in habit.trends
        },
    }


def _at(band: Band, k: int) -> dict[str, float]:
    return {"mean": float(band.mean[k]), "low": float(band.low[k]), "high": float(band.high[k])}
