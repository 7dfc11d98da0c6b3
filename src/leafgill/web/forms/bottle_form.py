"""A bottle to work out, as a form: what a dose is to raise, by which salt, and how it is dosed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from leafgill.advise.stock import stock as ask
from leafgill.advise.stock.wants import MOST_MG_L, Want, usual_salt
from leafgill.science.salts import SALTS
from leafgill.tank.bottle import LABELLED
from leafgill.web.forms.amount import read_amount
from leafgill.web.forms.field import Choice, FormField
from leafgill.web.forms.habits import Habits

ROWS = (1, 2, 3, 4)
_ASKED = ("bottle", "dose", "week", "coldest")
NAMES = (*(f"{what}{k}" for k in ROWS for what in ("what", "raise", "salt")), *_ASKED)
# Name: label, unit, accepted, what holds when it is left empty, help.
_LABELS: dict[str, tuple[str, str, tuple[float, float], float, str]] = {
    "bottle": ("Bottle", "mL", ask.BOTTLE_ML, ask.USUAL_BOTTLE_ML, ""),
    "dose": ("One dose", "mL", ask.DOSE_ML, ask.USUAL_DOSE_ML, ""),
    "week": ("Doses a week", "", ask.PER_WEEK, ask.USUAL_PER_WEEK, ""),
    "coldest": ("Coldest the bottle gets", "degC", ask.COLDEST_C, ask.USUAL_COLDEST_C,
                "What dissolves on a warm day may grow crystals on a cold one."),
}  # fmt: skip


class Wish(NamedTuple):
    """The three fields of one wish: nutrient, how much of it, by which salt."""

    what: FormField
    raised: FormField
    salt: FormField


@dataclass
class ReadBottle:
    """What was typed: wishes and how it is dosed, or what is wrong by field."""

    wants: list[Want] = field(default_factory=list)
    bottle_ml: float = ask.USUAL_BOTTLE_ML
    dose_ml: float = ask.USUAL_DOSE_ML
    per_week: float = ask.USUAL_PER_WEEK
    coldest_c: float = ask.USUAL_COLDEST_C
    errors: dict[str, str] = field(default_factory=dict)


def typed_of(get: Any) -> dict[str, str]:
    """Return what was typed; `get` is a QueryDict."""
    return {name: get.get(name, "").strip()[:60] for name in NAMES}


def wish_fields(typed: dict[str, str], errors: dict[str, str], kept: Sequence[str]) -> list[Wish]:
    """Return the rows of wishes; the salts `kept` at home come first."""
    nutrients = (Choice("", "nothing"), *(Choice(name, name) for name in LABELLED))
    salts = _salt_choices(kept)
    found = []
    for k in ROWS:

        def at(name: str, label: str, widget: str, **more: Any) -> FormField:
            return FormField(name, label, widget, typed.get(name, ""),
                             error=errors.get(name, ""), **more)  # fmt: skip

        found.append(
            Wish(
                at(f"what{k}", "Raise", "choice", choices=nutrients),
                at(f"raise{k}", "by", "number", unit="mg/L"),
                at(f"salt{k}", "with", "choice", choices=salts),
            )
        )
    return found


def _salt_choices(kept: Sequence[str]) -> tuple[Choice, ...]:
    useful = [key for key, salt in SALTS.items() if any(name in salt.gives for name in LABELLED)]
    ours = [key for key in kept if key in useful]
    rest = [key for key in useful if key not in ours]
    return (
        Choice("", "the usual salt"),
        *(Choice(key, f"{key}, {SALTS[key].name} (at home)") for key in ours),
        *(Choice(key, f"{key}, {SALTS[key].name}") for key in rest),
    )


def dosing_fields(typed: dict[str, str], errors: dict[str, str], habits: Habits) -> list[FormField]:
    """Return the fields of how the bottle is dosed."""
    return [
        FormField(
            name,
            label,
            "number",
            typed.get(name, ""),
            unit=habits.shown_unit(unit),
            help=" ".join((f"Left empty: {habits.words(usual, unit)}.", help_text)).strip(),
            error=errors.get(name, ""),
        )
        for name, (label, unit, _, usual, help_text) in _LABELS.items()
    ]


def read_bottle(typed: dict[str, str], habits: Habits, kept: Sequence[str]) -> ReadBottle:
    """Return what was typed, or what is wrong beside each field."""
    read = ReadBottle()
    for k in ROWS:
        _read_wish(k, typed, habits, kept, read)
    numbers = {name: _read_number(name, typed, habits, read) for name in _ASKED}
    read.bottle_ml, read.dose_ml = numbers["bottle"], numbers["dose"]
    read.per_week, read.coldest_c = numbers["week"], numbers["coldest"]
    if not read.wants and not read.errors:
        read.errors["what1"] = "Choose what a dose is to raise."
    return read


def _read_wish(
    k: int, typed: dict[str, str], habits: Habits, kept: Sequence[str], read: ReadBottle
) -> None:
    what, raised, salt = (typed[f"{name}{k}"] for name in ("what", "raise", "salt"))
    if not what:
        if raised:
            read.errors[f"what{k}"] = "Choose what is to be raised by that."
        return
    if what not in LABELLED:
        read.errors[f"what{k}"] = "Choose one of these."
        return
    if any(want.nutrient == what for want in read.wants):
        read.errors[f"what{k}"] = "This was wished for above already."
    if salt and (salt not in SALTS or what not in SALTS[salt].gives):
        read.errors[f"salt{k}"] = f"This gives no {what}."
    amount = read_amount(f"raise{k}", raised, "mg/L", (0.0, MOST_MG_L), habits, read.errors)
    if amount is not None and amount <= 0.0:
        read.errors[f"raise{k}"] = "Give more than nothing."
    if amount is not None and not read.errors:
        read.wants.append(Want(what, amount, salt or usual_salt(what, kept)))


def _read_number(name: str, typed: dict[str, str], habits: Habits, read: ReadBottle) -> float:
    _, unit, ends, usual, _ = _LABELS[name]
    if not typed[name]:
        return usual
    found = read_amount(name, typed[name], unit, ends, habits, read.errors)
    return usual if found is None else found
