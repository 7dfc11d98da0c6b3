"""An entry as a form: the fields its kind asks for, and the entry that was typed."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Any

from leafgill.diary import KINDS, Entry, Kind, written
from leafgill.diary.kinds import HOURS, NUMBER, TEXT, WORD, KindInfo
from leafgill.diary.values import is_bare
from leafgill.errors import InputError
from leafgill.web.forms.entry_kinds import (
    CARE_WORK,
    EXTRAS,
    NOTE_HELP,
    UNITS,
    US_UNITS,
    Extra,
)
from leafgill.web.forms.field import Choice, FormField, choices
from leafgill.web.forms.habits import US, Habits
from leafgill.web.forms.tank_words import capital

Typed = dict[str, str]

_ALL_DAY = "00:00-24:00"
_COUNT_SECONDS = "10"
_LONGEST = 2000
# Which input a message of the diary's reader is about, by the word it starts with.
_ABOUT = {"time": "time", "value": "value", "unit": "unit", "note": "note", "kind": "value"}


@dataclass
class Read:
    """What a form's words came to: the entry, or what is wrong beside each input."""

    entry: Entry | None = None
    errors: dict[str, str] = field(default_factory=dict)


def names(kind: Kind) -> tuple[str, ...]:
    """Return the names of a kind's inputs, in the order they are shown."""
    form = KINDS[kind].form
    if form == HOURS:
        value: tuple[str, ...] = ("on", "off", "never", "always")
    elif kind is Kind.BUBBLE_COUNT:
        value = ("value", "seconds")
    elif kind is Kind.NOTE:
        value = ()
    else:
        value = ("value", "unit") if len(UNITS.get(kind, ())) > 1 else ("value",)
    return ("time", *value, *(extra.name for extra in EXTRAS.get(kind, ())), "note")


def read_typed(kind: Kind, post: Any) -> Typed:
    """Return what was sent for a kind's inputs; `post` is a QueryDict."""
    return {name: post.get(name, "").strip()[:_LONGEST] for name in names(kind)}


def fresh(kind: Kind, now: datetime, habits: Habits) -> Typed:
    """Return what an empty form shows: the present time by the tank's clock, usual units."""
    typed = {"time": f"{now:%Y-%m-%dT%H:%M}"}
    if kind is Kind.BUBBLE_COUNT:
        typed["seconds"] = _COUNT_SECONDS
    if kind in UNITS:
        usual = US_UNITS.get(kind) if habits.units == US else None
        typed["unit"] = usual or UNITS[kind][0]
    return typed


def of_entry(entry: Entry, habits: Habits) -> Typed:
    """Return what the form shows for an entry that is there; its time is the tank's wall time."""
    kind, info = entry.kind, KINDS[entry.kind]
    typed = {"time": f"{entry.time:%Y-%m-%dT%H:%M}"}
    if info.form == HOURS:
        typed |= _hours_shown(entry)
    elif kind is Kind.BUBBLE_COUNT and entry.seconds:
        typed["value"] = habits.number(entry.number * entry.seconds)
        typed["seconds"] = habits.number(entry.seconds)
    else:
        typed["value"] = habits.text(written(entry)) if info.form == NUMBER else written(entry)
        typed["unit"] = entry.unit
    free = []
    for part in filter(None, entry.note.split("; ")):
        for extra in EXTRAS.get(kind, ()):
            said = None if extra.name in typed else extra.unsaid(part)
            if said is not None:
                typed[extra.name] = said
                break
        else:
            free.append(part)
    typed["note"] = "; ".join(free)
    return typed


def _hours_shown(entry: Entry) -> Typed:
    text = written(entry)
    if text == "off":
        return {"never": "on"}
    if text == _ALL_DAY:
        return {"always": "on"}
    on, off = text.split("-")
    return {"on": on, "off": off}


def form_fields(
    kind: Kind, typed: Typed, habits: Habits, errors: dict[str, str]
) -> list[FormField]:
    """Return the fields of a kind's form as they are shown, in order."""
    info = KINDS[kind]
    shown = [FormField("time", "When", "moment", required=True), *_value_fields(kind, info, habits)]
    shown += [_extra_field(extra) for extra in EXTRAS.get(kind, ())]
    shown.append(_note_field(kind))
    return [
        replace(at, value=typed.get(at.name, ""), error=errors.get(at.name, "")) for at in shown
    ]


def _value_fields(kind: Kind, info: KindInfo, habits: Habits) -> list[FormField]:
    if info.form == HOURS:
        what = {Kind.LIGHT_DAY: "Light", Kind.AIR_DAY: "Aeration"}.get(kind, "Gas")
        return [
            FormField("on", f"{what} goes on", "time"),
            FormField("off", f"{what} goes off", "time"),
            FormField("always", f"{what} around the clock", "tick"),
            FormField("never", f"No {what.lower()} from then on", "tick"),
        ]
    if info.form == WORD:
        widget = "colours" if kind is Kind.DROP_CHECKER else "radio"
        words = choices(word for word in info.words)
        return [FormField("value", capital(info.name), widget, choices=words, required=True)]
    if info.form == TEXT:
        return _text_fields(kind)
    name = "Bubbles counted" if kind is Kind.BUBBLE_COUNT else capital(info.name)
    units = UNITS.get(kind, ())
    value = FormField(
        "value",
        name,
        "number",
        unit=units[0] if len(units) == 1 else "",
        help=_accepted(kind, info, habits),
        required=True,
    )
    if kind is Kind.BUBBLE_COUNT:
        return [value, FormField("seconds", "Over", "number", unit="s", required=True)]
    if len(units) > 1:
        offered = tuple(Choice(unit, unit) for unit in units)
        return [value, FormField("unit", "Unit", "choice", choices=offered)]
    return [value]


def _text_fields(kind: Kind) -> list[FormField]:
    if kind is Kind.CALIBRATION:
        return [FormField("value", "Buffers", help="As 4.01/7.00.")]
    if kind is Kind.CARE:
        return [FormField("value", "What was done", suggestions=CARE_WORK, required=True)]
    return []


def _accepted(kind: Kind, info: KindInfo, habits: Habits) -> str:
    if kind in (Kind.BUBBLE_COUNT, Kind.DOSE) or info.usual is None:
        return ""
    low, high = (habits.words(end) for end in info.usual)
    return f"Usually {low} to {high} {info.unit}".rstrip() + "."


def _extra_field(extra: Extra) -> FormField:
    return FormField(
        extra.name,
        extra.label,
        extra.widget,
        unit=extra.unit,
        help=extra.help,
        choices=extra.choices,
    )


def _note_field(kind: Kind) -> FormField:
    label = "What is worth keeping" if kind is Kind.NOTE else "Note"
    return FormField(
        "note", label, "area", help=NOTE_HELP.get(kind, ""), required=kind is Kind.NOTE
    )


def read_entry(kind: Kind, typed: Typed, habits: Habits, before: Entry | None = None) -> Read:
    """Return the entry that was typed, or what is wrong with it.

    Its time is naive, the tank's wall time, unless it was typed with an offset. Of an entry that
    is changed (`before`, at the tank's time) what reads as the form showed it stays as it was, to
    the second and the last digit.
    """
    was = of_entry(before, habits) if before is not None and before.kind is kind else {}
    when: datetime | str = typed.get("time", "")
    if was and before is not None and when == was["time"]:
        when = before.time
    wrong = _refused(kind, typed)
    if wrong:
        return Read(errors=wrong)
    value, unit = _typed_value(kind, typed, habits)
    same = ("value", "unit", "seconds", "on", "off", "never", "always")
    if was and before is not None and all(typed.get(n, "") == was.get(n, "") for n in same):
        value, unit = written(before), before.unit
    try:
        return Read(Entry(when, kind, value, unit, _note(kind, typed)))
    except InputError as fault:
        name = _about(kind, fault.message, typed)
        return Read(errors={name: habits.text(_without_column(fault.message))})


def _refused(kind: Kind, typed: Typed) -> dict[str, str]:
    """Return what can be told to be missing without asking the diary."""
    found = {}
    if not typed.get("time"):
        found["time"] = "Give the day and the time."
    if KINDS[kind].form == WORD and not typed.get("value"):
        found["value"] = "Choose one."
    if kind is Kind.NOTE and not typed.get("note"):
        found["note"] = "Write something."
    if KINDS[kind].form == HOURS and not (typed.get("never") or typed.get("always")):
        for name in ("on", "off"):
            if not typed.get(name):
                found[name] = "Give both hours, or tick one of the two below."
    if typed.get("never") and typed.get("always"):
        found["never"] = "Only one of the two can be."
    return found


def _typed_value(kind: Kind, typed: Typed, habits: Habits) -> tuple[str, str]:
    """Return the value and the unit as the diary's columns would hold them."""
    form = KINDS[kind].form
    if form == HOURS:
        if typed.get("never"):
            return "off", ""
        return (_ALL_DAY if typed.get("always") else f"{typed['on']}-{typed['off']}"), ""
    value = typed.get("value", "")
    if form != NUMBER:
        return value, ""
    value = habits.pointed(value)
    if kind is Kind.BUBBLE_COUNT:
        return value, f"{habits.pointed(typed.get('seconds', '')) or _COUNT_SECONDS} s"
    # a unit typed after the number wins over the one beside it
    units = UNITS.get(kind, ("",))
    return value, typed.get("unit", units[0]) if is_bare(value) else ""


def _note(kind: Kind, typed: Typed) -> str:
    said = [extra.say(typed[extra.name]) for extra in EXTRAS.get(kind, ()) if typed.get(extra.name)]
    free = typed.get("note", "")
    return "; ".join([*said, free] if free else said)


def _about(kind: Kind, message: str, typed: Typed) -> str:
    """Return the input a message is about."""
    first = message.split(" ", 1)[0]
    if "new water" in message:
        return "new_kh" if typed.get("new_kh") else "note"
    if "drop size" in message:
        return "drop"
    if first == "unit" and kind is Kind.BUBBLE_COUNT:
        return "seconds"
    if first in ("value", "hours") and KINDS[kind].form == HOURS:
        return "on"
    name = _ABOUT.get(first, "value")
    return name if name in names(kind) else "value" if "value" in names(kind) else "note"


def _without_column(message: str) -> str:
    """Return a message without the name of the column it starts with."""
    first, _, rest = message.partition(" ")
    return capital(rest if first in ("value", "time") else message)


def said(entry: Entry, habits: Habits) -> str:
    """Return an entry's value as it is read: with its unit, in the keeper's own measures."""
    info = KINDS[entry.kind]
    if entry.kind is Kind.BUBBLE_COUNT and entry.seconds:
        rate = habits.words(entry.number)
        return f"{rate} per s, counted over {habits.words(entry.seconds)} s"
    if info.form == NUMBER:
        unit = {"°C": "degC"}.get(entry.unit, entry.unit)
        if habits.units == US and entry.kind in US_UNITS:
            heavy = "kg" if unit == "g" and entry.number >= 1000.0 else unit
            number = entry.number / 1000.0 if heavy == "kg" else entry.number
            return f"{habits.words(number, heavy)} {habits.shown_unit(heavy)}"
        digits, two = written(entry), f"{entry.number:.2f}"
        if info.name == "pH" and float(two) == entry.number:
            digits = two
        return f"{habits.text(digits)} {entry.unit}".strip()
    return str(written(entry))
