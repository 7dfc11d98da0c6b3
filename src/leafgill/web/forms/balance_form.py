"""A water test and a dose, written down from the balance page with as few inputs as can be."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from leafgill.diary import Kind
from leafgill.diary.notes import SUBSTANCES
from leafgill.tank.spec_balance import Salts
from leafgill.web.forms import entry_form
from leafgill.web.forms.field import FormField, choices
from leafgill.web.forms.habits import Habits

KINDS = (Kind.TEST, Kind.DOSE)
# What each form asks; the time is that of writing.
_ASKED = {Kind.TEST: ("substance", "value"), Kind.DOSE: ("note", "value", "unit")}
# The input that tells what was tested or given, and what is said where it is empty.
_WHAT = {
    Kind.TEST: ("substance", "Choose what was tested."),
    Kind.DOSE: ("note", "Say what was given: a salt, or a bottle by its name."),
}


def fields_of(
    kind: Kind,
    typed: entry_form.Typed,
    errors: dict[str, str],
    habits: Habits,
    now: datetime,
    salts: Salts,
) -> list[FormField]:
    """Return the fields of one of the two forms, as they are shown."""
    values = entry_form.fresh(kind, now, habits) | typed
    found = {at.name: at for at in entry_form.form_fields(kind, values, habits, errors)}
    if kind is Kind.TEST:
        found["substance"] = replace(found["substance"], choices=choices(SUBSTANCES, "choose"))
    else:
        at_home = (*(bottle.name for bottle in salts.bottles), *salts.kept)
        found["note"] = replace(
            found["note"], label="What was given", widget="text", suggestions=at_home,
            help="A salt, or a bottle by its name.", required=True,
        )  # fmt: skip
    return [replace(found[name], apart=kind.value) for name in _ASKED[kind]]


def missing(kind: Kind, typed: entry_form.Typed) -> dict[str, str]:
    """Return what is wrong where a form does not say what was tested or given."""
    name, words = _WHAT[kind]
    return {} if typed.get(name) else {name: words}
