"""Reading an entry's value, unit and note according to its kind."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from leafgill.diary import notes, values
from leafgill.diary.finding import Finding, warning
from leafgill.diary.kinds import HOURS, KINDS, NUMBER, TEXT, WORD, Kind, KindInfo
from leafgill.diary.words import plain, shown
from leafgill.errors import InputError
from leafgill.tank.schedule import Window, parse_window

Value = float | str | Window

SHORT_STANDING = timedelta(hours=8)
_O2_MOST_MG_L = 30.0
_DOSE_UNITS = {
    "ml": ("mL", 1.0),
    "l": ("mL", 1000.0),
    "g": ("g", 1.0),
    "mg": ("mg", 1.0),
    "drop": ("drops", 1.0),
    "drops": ("drops", 1.0),
    "pump": ("pumps", 1.0),
    "pumps": ("pumps", 1.0),
    "tablet": ("tablets", 1.0),
    "tablets": ("tablets", 1.0),
}
_MASS_UNITS = ("mg/l", "ppm", "µg/l", "ug/l", "mg")
_SECONDS = re.compile(
    r"\b(?:over|in|for)\s+\d+(?:[.,]\d+)?\s*(?:s|secs?|seconds?|mins?|minutes?)\b", re.IGNORECASE
)


@dataclass
class Draft:
    """An entry in the making: what was typed, then what it was read as."""

    time: datetime
    kind: Kind
    value: Value | None
    unit: str
    note: str
    seconds: float | None = None
    resolution: float | None = None
    rounding: str = ""
    instrument: str = ""
    air: str = ""
    drawn: datetime | None = None
    water_c: float | None = None
    new_kh_dkh: float | None = None
    substance: str = ""
    between: tuple[float, float] | None = None
    buffers: tuple[float, ...] = ()
    cautions: list[Finding] = field(default_factory=list)


def make(draft: Draft) -> None:
    """Read the draft's value, unit and note in place.

    Raises InputError, in one line that starts with the column's name, when they cannot be meant.
    """
    info = KINDS[draft.kind]
    _FORMS[info.form](draft, info)


def _typed(value: object) -> str:
    return "" if value is None else str(value).strip()


def _number(draft: Draft, info: KindInfo) -> None:
    value = draft.value
    if value is None or isinstance(value, Window):
        value = _typed(value)
    if draft.kind is Kind.DOSE:
        _dose(draft, value, info)
        return
    unit = draft.unit
    if draft.kind in (Kind.KH, Kind.GH):
        draft.resolution = notes.drop_size(draft.note, info.unit)
        draft.rounding = notes.rounding(draft.note)
        value, unit = _drops(draft, value, unit)
    elif draft.kind is Kind.TEST:
        unit = _test_unit(draft)
        value = _below(draft, value)
    elif draft.kind is Kind.BUBBLE_COUNT and not unit and values.is_bare(value):
        found = _SECONDS.search(draft.note)
        unit = found[0] if found else ""
    reading = values.number(value, unit, info)
    draft.cautions += reading.cautions
    draft.value, draft.unit, draft.seconds = reading.value, reading.unit, reading.seconds
    after = _AFTER.get(draft.kind)
    if after:
        after(draft, reading.value)


def _ph(draft: Draft, ph: float) -> None:
    draft.resolution = notes.read_to(draft.note)


def _water_change(draft: Draft, percent: float) -> None:
    draft.new_kh_dkh = notes.new_water_kh_dkh(draft.note)


def _test(draft: Draft, value_mg_l: float) -> None:
    draft.between = notes.between(draft.note)
    if draft.substance == "oxygen" and value_mg_l > _O2_MOST_MG_L:
        raise InputError(
            f"value {value_mg_l:g} is not accepted for an oxygen test; "
            f"accepted: 0 to {_O2_MOST_MG_L:g} mg/L"
        )


def _below(draft: Draft, value: float | str) -> float | str:
    """Return a test that showed "<0.05" as 0; how little it could show goes to the note."""
    text = value.strip() if isinstance(value, str) else ""
    if not text.startswith("<"):
        return value
    least = text.removeprefix("<").lstrip("= ").strip()
    limit = values.number(least, "", KINDS[Kind.TEST])
    draft.note = "; ".join(part for part in (draft.note, f"below {limit.value:g}") if part)
    return "0"


def _degassed(draft: Draft, ph: float) -> None:
    draft.instrument, draft.air = notes.instrument(draft.note), notes.air(draft.note)
    draft.water_c = notes.water_c(draft.note)
    if not draft.instrument:
        message = (
            'the note does not say what the degassed sample was read with ("same probe" or '
            '"hand test")'
        )
        draft.cautions.append(warning("instrument-missing", message))
    drawn = notes.drawn(draft.note, draft.time)
    if drawn is None:
        if "drawn" in draft.note.lower():
            message = (
                f'when the glass was drawn cannot be read from "{shown(draft.note)}"; write it as '
                '"glass drawn 2025-03-03 08:00"'
            )
            draft.cautions.append(warning("drawn-not-read", message))
    elif drawn > draft.time:
        message = f"the glass is said to be drawn at {drawn:%Y-%m-%dT%H:%M}, after it was read"
        draft.cautions.append(warning("drawn-after-reading", message))
    else:
        draft.drawn = drawn
        stood = draft.time - drawn
        if stood < SHORT_STANDING:
            message = (
                f"the glass stood {stood / timedelta(hours=1):.1f} h; its gas needs about a day "
                "to leave"
            )
            draft.cautions.append(warning("short-standing", message))


_AFTER: dict[Kind, Callable[[Draft, float], None]] = {
    Kind.PH: _ph,
    Kind.WATER_CHANGE: _water_change,
    Kind.TEST: _test,
    Kind.DEGASSED_PH: _degassed,
}


def _drops(draft: Draft, value: float | str, unit: str) -> tuple[float | str, str]:
    """Return a hardness given as a number of drops in degrees, any other as it is."""
    info = KINDS[draft.kind]
    typed, given = values.split_number(value, unit, info)
    if plain(given) not in ("drop", "drops"):
        return value, unit
    count = values.parse_number(typed, info, draft.cautions)
    if draft.resolution is None:
        message = 'drops without their size; taken as 1 degree each (write "drop 1.0" in the note)'
        draft.cautions.append(warning("drop-size", message))
    draft.rounding = draft.rounding or "up"
    return count * (draft.resolution or 1.0), ""


def _dose(draft: Draft, value: float | str, info: KindInfo) -> None:
    typed, given = values.split_number(value, draft.unit, info)
    given = _said_in_unit(draft, given)
    amount = values.parse_number(typed, info, draft.cautions)
    if not given:
        message = f"dose {amount:g} without a unit; taken as mL"
        draft.cautions.append(warning("unit-missing", message))
    name, factor = _DOSE_UNITS.get(plain(given or "mL"), ("", 1.0))
    if not name:
        raise InputError(
            f'unit "{shown(given)}" is not a unit of a dose; '
            "accepted: mL, L, g, mg, drops, pumps, tablets"
        )
    low, high = info.accepted
    if not low <= amount * factor <= high:
        raise InputError(
            f"value {amount:g} {name} is not accepted for a dose; accepted: {low:g} to {high:.15g}"
        )
    draft.value, draft.unit = amount * factor, name


def _said_in_unit(draft: Draft, unit: str) -> str:
    """Return the unit of "2 g KNO3"; what was given goes to the front of the note."""
    first, _, rest = unit.strip().partition(" ")
    if not rest or plain(first) not in _DOSE_UNITS:
        return unit
    named = rest.strip().removeprefix("of ").strip()
    if plain(named) not in plain(draft.note):
        draft.note = "; ".join(part for part in (named, draft.note) if part)
    return first


def _test_unit(draft: Draft) -> str:
    """Fill in what the test was of; return the unit without the substance's name in it."""
    draft.substance = notes.substance(draft.note)
    words = draft.unit.split()
    named = [word for word in words if plain(word) not in _MASS_UNITS]
    inside = notes.substance(" ".join(named))
    unit = draft.unit
    if inside:
        unit = " ".join(word for word in words if word not in named)
        if not draft.substance:
            draft.substance = inside
            draft.note = "; ".join(part for part in (inside, draft.note) if part)
    if not draft.substance:
        message = 'a test of what? write it in the note ("nitrate")'
        draft.cautions.append(warning("test-without-name", message))
    return unit


def _word(draft: Draft, info: KindInfo) -> None:
    draft.value, draft.unit = values.word(_typed(draft.value), info), ""


def _hours(draft: Draft, info: KindInfo) -> None:
    draft.unit = ""
    if isinstance(draft.value, Window):
        return
    text = _typed(draft.value)
    try:
        draft.value = parse_window(text)
    except InputError:
        raise InputError(
            f'value "{shown(text)}" is not known for {info.name}; '
            "accepted: hours as 08:30-17:30, or off"
        ) from None


def _text(draft: Draft, info: KindInfo) -> None:
    text = _typed(draft.value)
    draft.value, draft.unit = text, ""
    if draft.kind is Kind.NOTE:
        # a note's words may stand in either column; they are kept in the note
        draft.value, draft.note = "", "; ".join(part for part in (text, draft.note) if part)
    elif draft.kind is Kind.CARE:
        if not text:
            text, draft.note = draft.note, ""
        draft.value = notes.deed(text)
        if plain(draft.value) != plain(text):
            draft.note = "; ".join(part for part in (draft.note, text) if part)
    elif draft.kind is Kind.CALIBRATION:
        draft.buffers = notes.buffers(f"{text} {draft.note}")
        return
    if not draft.value and not draft.note:
        raise InputError(f"value is empty; {info.name}: accepted: any words")


_FORMS: dict[str, Callable[[Draft, KindInfo], None]] = {
    NUMBER: _number,
    WORD: _word,
    HOURS: _hours,
    TEXT: _text,
}
