"""A stock bottle in words: each function gives lines or rows that a screen lays out."""

from __future__ import annotations

from collections.abc import Sequence

from leafgill.advise.figure import Figure
from leafgill.advise.stock.dissolving import DISSOLVES, MAYBE, NOT, Dissolving
from leafgill.advise.stock.settling import Between
from leafgill.advise.stock.stock import KEEPS_MONTHS, Stock, keeps_too_long
from leafgill.answer.explain import amount, bare, ends_of, shown, within
from leafgill.answer.said import sentence
from leafgill.science.salts import SALTS

WEIGH = ("weigh", "grams", "what it is")
BRINGS = ("a dose brings", "mg/L")
DISSOLVING = ("in the bottle", "of what dissolves", "")
_VERDICT = {DISSOLVES: "dissolves", MAYBE: "may not dissolve", NOT: "will not dissolve"}
_UNTOLD_MG_L = 1e-5


def title(stock: Stock) -> str:
    """Return the line over everything: bottle, dose, tank."""
    bottle = stock.bottle
    size = "" if bottle.volume_ml is None else f" of {amount(bottle.volume_ml)} mL"
    return (
        f"{bottle.name}{size}, {amount(stock.dose_ml)} mL a dose; {stock.tank.name}, "
        f"{amount(stock.tank.volume_l)} L"
    )


def headline(stock: Stock) -> str:
    """Return whether the bottle can be made and given, in one line."""
    if not stock.harmless:
        names = " and ".join(danger.name for danger in stock.dangers if not danger.passed)
        return f"Do not dose this: {names} would pass what the animals stand"
    if any(one.verdict == NOT for one in stock.dissolves):
        return "This does not all dissolve: take larger doses of a thinner bottle"
    if any(one.falls for one in stock.settles):
        return "Something falls out in this bottle: make two of it"
    if any(one.verdict == MAYBE for one in stock.dissolves):
        return "This may not all dissolve on a cold day"
    if not stock.bottle.salts_g:
        return "Known by its label; whether it keeps is for its maker to say"
    return "This bottle keeps, and does no harm in such doses"


def to_weigh(stock: Stock) -> list[tuple[str, str, str]]:
    """Return (salt, grams, its name) to weigh into the bottle."""
    return [(key, f"{grams_text(grams)} g", SALTS[key].name) for key, grams in stock.bottle.salts_g]


def grams_text(grams: float) -> str:
    """Return grams as a scale to a hundredth shows them; small ones to three digits."""
    return f"{grams:.2f}" if grams >= 1.0 else amount(grams)


def a_dose(stock: Stock) -> list[tuple[str, str]]:
    """Return (species, what one dose raises it by with its ends)."""
    rows = [
        (_species(one), bare(one)) for one in stock.brings if one.value >= _UNTOLD_MG_L
    ]  # fmt: skip
    return rows + [(f"{one.label.split()[0]}, {one.unit}", bare(one)) for one in stock.hardness]


def _species(figure: Figure) -> str:
    return figure.label.removesuffix(" a dose").lower()


def how_often(stock: Stock) -> list[str]:
    """Say how many doses there are and how long they last."""
    if stock.doses is None or stock.lasts is None:
        return []
    lines = [
        f"{amount(stock.doses.value)} doses; at {amount(stock.per_week)} a week the bottle lasts "
        f"{_weeks(stock.lasts.value)}."
    ]
    if keeps_too_long(stock):
        lines.append(
            f"That is longer than a bottle should stand (about {KEEPS_MONTHS} months; common "
            "practice, no source): make less of it, with the same grams a millilitre."
        )
    return lines


def _weeks(weeks: float) -> str:
    if weeks < 2.0:
        return f"{amount(7.0 * weeks, 2)} days"
    return f"{amount(weeks, 2)} weeks"


def dissolving(stock: Stock) -> list[tuple[str, str, str]]:
    """Return (salt, share of saturation, verdict) of what the bottle's ions could form."""
    return [(_which(one), _percent(one.share), _VERDICT[one.verdict]) for one in stock.dissolves]


def _which(one: Dissolving) -> str:
    return one.salt if one.weighed else f"{one.salt}, formed of the others"


def _percent(figure: Figure) -> str:
    text, ends = f"{amount(100.0 * figure.value, 2)} %", ends_of(figure, scale=100.0)
    return f"{text}, {ends}" if ends else text


def about_dissolving(stock: Stock) -> list[str]:
    """Say at which warmth that is, and how large a dose makes a bottle that surely keeps."""
    if not stock.dissolves:
        return []
    lines = [f"At {amount(stock.coldest_c)} °C, the coldest the bottle gets; over 100 % crystals "
             "grow."]  # fmt: skip
    if stock.least_dose is not None and stock.bottle.volume_ml is not None:
        larger = stock.bottle.volume_ml * stock.least_dose.value / stock.dose_ml
        lines.append(
            f"The same grams in {amount(larger, 2)} mL, and {amount(stock.least_dose.value, 2)} mL "
            "a dose, would surely stay dissolved and bring the same."
        )
    return lines


def settling(stock: Stock) -> list[str]:
    """Say what falls out inside the bottle, and what keeps it in."""
    return [
        sentence(f"{one.what}: {one.words}" + (_index(one.index) if one.index else "") + ".")
        for one in stock.settles
    ]


def _index(index: Figure) -> str:
    return f" (saturation index {shown(index)}; 0 is saturated)"


def animals(stock: Stock) -> list[str]:
    """Say how far from harm a dose stays."""
    return [
        sentence(
            f"{danger.name}: at most {within(danger.at_most)}, held to {danger.limit:.3g} "
            f"{danger.at_most.unit}: {danger.words} ({danger.basis})."
        )
        for danger in stock.dangers
    ]


def apart(pairs: Sequence[Between]) -> list[str]:
    """Say which bottles must not be poured together."""
    return [f'"{one.first}" and "{one.second}": {one.words}.' for one in pairs]
