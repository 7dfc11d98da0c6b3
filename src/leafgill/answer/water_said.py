"""Mixed water, minerals and water changes in words: lines or rows that a screen lays out."""

from __future__ import annotations

from collections.abc import Mapping

from leafgill.advise.figure import Figure
from leafgill.advise.water.animals import Strain
from leafgill.advise.water.blend import Blend
from leafgill.advise.water.change import Change
from leafgill.advise.water.habit import Habit
from leafgill.advise.water.remineral import Recipe
from leafgill.advise.words import minutes_text, per_cent
from leafgill.answer.explain import amount, bare, ends_of, shown, within
from leafgill.answer.said import sentence
from leafgill.answer.stock_said import grams_text
from leafgill.estimate.belief import Band
from leafgill.science.salts import SALTS

COURSE = ("after", "CO2, mg/L", "without it", "highest CO2", "pH", "without it")
WEIGH = ("weigh", "grams", "what it is")
HOLDS = ("the water holds", "mg/L")
# Jumps as a table has room for.
SHORT_NAMES = {"warmth": "warmth", "kh": "KH", "gh": "GH", "ammonia": "free ammonia"}
# Said with every change, whatever it is.
ALWAYS = (
    "Bind the chlorine of tap water before it goes in; where it is chloramine, for that.",
    "Make the new water as warm as the tank's, by a thermometer in both.",
    "Pour it slowly, over a plate or against the glass, and watch the fish for a quarter of an "
    "hour.",
    "A jump of pH by CO2 alone is not the harm; jumps of warmth, of hardness and of free ammonia "
    "are.",
)


def blend_headline(blend: Blend) -> str:
    """Return what to measure, in one line."""
    return (
        f"{amount(blend.tap_l.value)} L of tap water and {amount(blend.pure_l.value)} L of pure "
        f"water ({per_cent(blend.part.value)} pure)"
    )


def blend_rows(blend: Blend) -> list[tuple[str, str]]:
    """Return (what, figure) of the mixed water."""
    rows = [("KH", shown(blend.kh)), ("GH", shown(blend.gh)), ("CO2 as poured", shown(blend.co2)),
            ("pH as poured", ph(blend.ph))]  # fmt: skip
    return rows + [(_level_name(one), shown(one)) for one in blend.levels]


def blend_notes(blend: Blend) -> list[str]:
    """Say what mixing cannot do, and what was taken for granted."""
    notes = [
        "Mixing lowers everything alike; where the other hardness comes out too low, minerals "
        "raise it.",
        "The pH settles once the water has stood in the air.",
    ]
    return notes + assumed(blend.tap.origins)


def assumed(origins: Mapping[str, str]) -> list[str]:
    """Say which figures of the new water are a guess."""
    names = {"kh_dkh": "KH", "gh_dgh": "GH", "co2_mg_l": "CO2"}
    guessed = [
        names.get(key, key)
        for key, origin in origins.items()
        if key != "temperature_c" and str(origin).startswith("assumed")
    ]
    if not guessed:
        return []
    return [
        f"{_listed(guessed)} of the tap water "
        f"{'is' if len(guessed) == 1 else 'are'} guessed; write what is known below [tap] in the "
        "tank file."
    ]


def _listed(names: list[str]) -> str:
    first = ", ".join(names[:-1])
    return f"{first} and {names[-1]}" if first else names[-1]


def ph(figure: Figure) -> str:
    """Return a pH as it is read."""
    text = f"{figure.value:.2f}"
    if figure.low is None or figure.high is None:
        return text
    return f"{text}, {figure.low:.2f} to {figure.high:.2f}"


def _level_name(figure: Figure) -> str:
    return figure.label.split(" of the mix")[0]


def recipe_headline(recipe: Recipe) -> str:
    """Return what the minerals make, in one line."""
    return (
        f"For {amount(recipe.litres)} L: KH {shown(recipe.kh)}; GH {shown(recipe.gh)}"
        if recipe.grams
        else "This water has it already; nothing is to be added"
    )


def recipe_rows(recipe: Recipe) -> list[tuple[str, str, str]]:
    """Return (salt, grams, its name) to weigh."""
    return [
        (one.label, f"{grams_text(one.value)} g", SALTS[one.label].name) for one in recipe.grams
    ]


def recipe_holds(recipe: Recipe) -> list[tuple[str, str]]:
    """Return (ion, mg/L) of the ready water."""
    return [(one.label, bare(one)) for one in recipe.holds]


def recipe_state(recipe: Recipe) -> list[str]:
    """Say its conductivity and how near it is to scaling."""
    return [f"{one.label}: {ph(one) if one.unit == 'pH' else shown(one)}." for one in recipe.state]


def recipe_notes(recipe: Recipe) -> list[str]:
    """Say what is hard to weigh or to dissolve."""
    return [sentence(f"{note}.") for note in recipe.notes]


def change_title(change: Change) -> str:
    """Return the line over everything: tank, when, the new water."""
    new = change.new
    return (
        f"{change.belief.tank.name}, {change.at.day} {change.at:%B %Y, %H:%M}; {new.name} of KH "
        f"{amount(float(new.kh_dkh.value), 2)}, GH {amount(float(new.gh_dgh.value), 2)}, CO2 "
        f"{amount(float(new.co2_mg_l.value), 2)} mg/L"
    )


def change_headline(change: Change) -> str:
    """Return what the change does to CO2, in one line."""
    return (
        f"{per_cent(change.part)} changed: CO2 {within(change.co2_before)} becomes "
        f"{within(change.co2_after)}"
    )


def change_rows(change: Change) -> list[tuple[str, str, str]]:
    """Return (what, before, after)."""
    rows = [
        ("CO2", shown(change.co2_before), shown(change.co2_after)),
        ("pH", ph(change.ph_before), ph(change.ph_after)),
        ("KH", shown(change.kh_before), shown(change.kh_after)),
        ("GH", shown(change.gh_before), shown(change.gh_after)),
        ("Warmth", f"{amount(change.belief.tank.temperature_c)} °C", shown(change.warmth, 3)),
    ]
    rows += [(one.label.removesuffix(" before"), shown(one), shown(other))
             for one, other in change.levels]  # fmt: skip
    return rows


def course_rows(change: Change) -> list[tuple[str, ...]]:
    """Return rows of COURSE: minute by minute at first, while CO2 runs."""
    course = change.course
    return [
        (
            "before" if minutes == 0 else minutes_text(float(minutes)),
            _band(course.co2, k),
            _band(course.co2_left, k),
            _band(course.co2_max, k),
            f"{course.ph.mean[k]:.2f}",
            f"{course.ph_left.mean[k]:.2f}",
        )
        for k, minutes in enumerate(course.minutes)
    ]


def _band(band: Band, k: int) -> str:
    return f"{amount(band.mean[k], 2)}, {amount(band.low[k], 2)} to {amount(band.high[k], 2)}"


def ahead(change: Change) -> list[str]:
    """Say the highest CO2, the lowest oxygen, and when CO2 is back."""
    back = change.back
    held = back.high is not None and back.high >= change.course.minutes[-1] / 60.0 - 0.01
    lines = [
        f"Highest CO2 anywhere in the hours after: {shown(change.peak)}; chance of over "
        f"{change.limits.co2_mg_l:.3g} mg/L {per_cent(change.over.value)}.",
        f"Lowest oxygen then: {shown(change.o2_min)}.",
        f"CO2 is back to what it would have been after {shown(back)}"
        + (" or later." if held else "."),
    ]
    if change.over.value > 0.1:
        lines.append("Shut the gas before this change, and open it no further than before after.")
    return lines


def animals(change: Change) -> list[tuple[str, str, bool]]:
    """Return (name, words, whether it is within what animals take)."""
    return [(strain.name, _strain(strain), strain.passed) for strain in change.strains]


def _strain(strain: Strain) -> str:
    text = f"{strain.jump.label}: {shown(strain.jump)}; held to {strain.limit:g} {strain.unit}"
    if strain.passed:
        return f"{text} ({strain.basis})."
    more = ""
    if strain.most_part is not None and strain.most_part < 1.0:
        more = f" At most {per_cent(strain.most_part)} of the water would keep to it."
    return f"{text} ({strain.basis}).{more} {sentence(strain.words)}."


def taken_in(change: Change) -> list[str]:
    """Say how the belief takes the change in, and which reading narrows it again."""
    before, after = _width(change.kh_before), _width(change.kh_after)
    kh = f"{amount(float(change.new.kh_dkh.value), 2)}"
    entry = f'{100.0 * change.part:.3g} % with the note "kh {kh}"'
    lines = [
        f"Write it down as a water change of {entry}: alkalinity and carbon are then mixed by "
        "their parts, the tank's organic acid is thinned, and everything after starts from there."
    ]
    if after > 1.1 * before:
        lines.append(
            f"KH is then known to {ends_of(change.kh_after)} dKH, wider than "
            f"{ends_of(change.kh_before)} before: test KH an hour after it, or the new water's KH "
            "before it goes in."
        )
    return lines


def _width(figure: Figure) -> float:
    return 0.0 if figure.low is None or figure.high is None else figure.high - figure.low


def habit_titles(habit: Habit) -> tuple[str, ...]:
    """Return the titles of `habit_rows`."""
    counts = [count for count, _ in habit.trends[0].later] if habit.trends else []
    return ("", "now", *(f"after {count}" for count in counts), "in the end", "changes")


def habit_rows(habit: Habit) -> list[tuple[str, ...]]:
    """Return rows of a series: level now, after some changes, and where it ends."""
    return [
        (
            f"{trend.name if trend.name.isupper() else trend.name.capitalize()}, {trend.now.unit}",
            bare(trend.now),
            *(bare(figure) for _, figure in trend.later),
            bare(trend.end),
            str(trend.changes),
        )
        for trend in habit.trends
    ]


def habit_headline(habit: Habit) -> str:
    """Return what the series is, in one line."""
    return (
        f"The same change, {per_cent(habit.part)} every {amount(habit.every_days)} days; levels "
        "just after a change"
    )


HABIT_NOTE = (
    "The last column is how many changes bring nine tenths of the way; what food, doses and plants "
    "do in between is Balance's matter."
)
