"""Mixed water, minerals and water changes on a terminal."""

from __future__ import annotations

from collections.abc import Iterable

from rich.console import Console
from rich.text import Text

from leafgill.advise.figure import Figure
from leafgill.advise.water.blend import Blend
from leafgill.advise.water.change import Change
from leafgill.advise.water.habit import Habit
from leafgill.advise.water.remineral import Recipe
from leafgill.answer import water_said as said
from leafgill.cli.console import screen
from leafgill.cli.explain import print_figures
from leafgill.cli.lists import columns, heading, listed, pairs


def show_blend(blend: Blend, explain: bool) -> None:
    """Print what to measure, and what the mix is."""
    console = screen()
    console.print(Text(said.blend_headline(blend), style="bold"))
    console.print()
    pairs(console, said.blend_rows(blend))
    _end(console, [], said.blend_notes(blend), blend.figures, explain)


def show_recipe(recipe: Recipe, explain: bool) -> None:
    """Print what to weigh, and what the water holds then."""
    console = screen()
    console.print(Text(said.recipe_headline(recipe), style="bold"))
    if recipe.grams:
        console.print()
        columns(console, said.WEIGH, said.recipe_rows(recipe))
        console.print()
        columns(console, said.HOLDS, said.recipe_holds(recipe))
        for line in said.recipe_state(recipe):
            console.print(Text(line))
    _end(console, list(recipe.cautions), said.recipe_notes(recipe), recipe.figures, explain)


def show_change(change: Change, habit: Habit, explain: bool) -> None:
    """Print what a change does at once, in the hours after, to the animals, and repeated."""
    console = screen()
    console.print(Text(said.change_title(change), style="dim"))
    console.print(Text(said.change_headline(change), style="bold"))
    console.print()
    columns(console, ("", "before", "after"), said.change_rows(change))
    heading(console, "The hours after, as things are set")
    columns(console, said.COURSE, said.course_rows(change))
    for line in said.ahead(change):
        console.print(Text(line))
    rows = said.animals(change)
    marks = [Text("ok" if passed else "no", style="" if passed else "bold") for *_, passed in rows]
    listed(console, "What the animals feel", [words for _, words, _ in rows], marks)
    if habit.trends:
        heading(console, said.habit_headline(habit))
        columns(console, said.habit_titles(habit), said.habit_rows(habit))
        console.print(Text(said.HABIT_NOTE, style="dim"))
    listed(console, "How it is taken in", said.taken_in(change))
    figures = (*change.figures, *habit.figures)
    _end(console, list(said.ALWAYS), said.assumed(change.new.origins), figures, explain)


def _end(
    console: Console,
    cautions: list[str],
    notes: list[str],
    figures: Iterable[Figure],
    explain: bool,
) -> None:
    listed(console, "Noticed", notes)
    listed(console, "Take care", cautions)
    if explain:
        print_figures(console, figures)
