"""Turning a typed value into the number, word or hours an entry keeps."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, field

from leafgill.diary.counts import RATE_PER_S, bubble_count
from leafgill.diary.finding import Finding, warning
from leafgill.diary.kinds import Kind, KindInfo
from leafgill.diary.words import nearest, plain, shown
from leafgill.errors import InputError
from leafgill.units import quantity

_NUMBER = re.compile(r"([-+]?(?:\d+(?:[.,]\d+)*|[.,]\d+)(?:[eE][-+]?\d+)?)\s*(.*)", re.DOTALL)
_GROUPED = re.compile(r"[-+]?\d{1,3}(?:,\d{3})+")
_DECIMAL_COMMA = re.compile(r"[-+]?\d*,\d+")

# What `units.quantity` calls the unit an entry of the kind is kept in.
UNIT_NAME = {"°C": "degC", "g": "g", "bar": "bar", "dKH": "dKH", "dGH": "dGH", "mg/L": "mg/L"}

# Spellings of the unit itself, which need no conversion.
_SAME = {
    "°C": {"c", "°c", "ºc", "degc", "deg c", "celsius"},
    "g": {"g", "gr", "gram", "grams"},
    "bar": {"bar", "bars", "barg"},
    "dKH": {"dkh", "kh", "°dkh", "°kh", "dh", "°dh", "°d"},
    "dGH": {"dgh", "gh", "°dgh", "°gh", "dh", "°dh", "°d"},
    "%": {"%", "percent", "per cent", "pct"},
    "mg/L": {"mg/l", "ppm", "mg l-1"},
    "": {"ph", "ph units"},
}


@dataclass
class Reading:
    """A typed value made plain: the number, its unit, and what was forgiven on the way."""

    value: float
    unit: str = ""
    seconds: float | None = None
    cautions: list[Finding] = field(default_factory=list)


def _accepted(info: KindInfo, unit: str) -> str:
    low, high = info.accepted
    top = f"{low:g} to {high:.15g}" if math.isfinite(high) else f"{low:g} or more"
    return f"accepted: {top}" + (f" {unit}" if unit else "")


def split_number(value: float | str, unit: str, info: KindInfo) -> tuple[str, str]:
    """Return the number's text and its unit, whether they stand in one cell or in two.

    Raises InputError when there is no number, or when the two cells name different units.
    """
    if not isinstance(value, str):
        return _as_text(value), unit.strip()
    text = value.strip().replace("−", "-")
    found = _NUMBER.fullmatch(text)
    if not found:
        what = "is empty" if not text else f'"{shown(text)}" is not a number'
        raise InputError(f"value {what}; {info.name}: {_accepted(info, info.unit)}")
    inside, beside = found[2].strip(), unit.strip()
    if inside and beside and plain(inside) != plain(beside):
        raise InputError(f'value "{shown(text)}" and unit "{shown(beside)}" name different units')
    return found[1], inside or beside


def _as_text(value: object) -> str:
    """Return a number of any type as text; what is no number comes back as it prints."""
    if isinstance(value, bool):
        return str(value)
    try:
        return repr(float(value))  # type: ignore[arg-type]
    except (TypeError, ValueError, OverflowError):
        return str(value)


def is_bare(value: float | str) -> bool:
    """Return whether a typed value is a number with nothing after it."""
    if not isinstance(value, str):
        return True
    found = _NUMBER.fullmatch(value.strip())
    return found is not None and not found[2].strip()


def parse_number(text: str, info: KindInfo, cautions: list[Finding]) -> float:
    """Return the number `text` spells, with a decimal point or comma.

    "5,931" is thousands or a decimal comma: whichever alone is an accepted value. Raises
    InputError when both or neither are.
    """
    low, high = info.accepted
    if _GROUPED.fullmatch(text):
        as_thousands = float(text.replace(",", ""))
        as_decimal = float(text.replace(",", ".")) if text.count(",") == 1 else math.nan
        fits = [x for x in (as_thousands, as_decimal) if low <= x <= high]
        if len(fits) != 1:
            raise InputError(
                f'value "{shown(text)}" may be {as_thousands:.15g} or {as_decimal:g}; '
                "write it without a comma"
            )
        cautions.append(_comma(text, fits[0]))
        return fits[0]
    if _DECIMAL_COMMA.fullmatch(text):
        number = float(text.replace(",", "."))
        cautions.append(_comma(text, number))
        return number
    try:
        number = float(text)
    except ValueError:
        raise InputError(
            f'value "{shown(text)}" is not a number; {info.name}: {_accepted(info, info.unit)}'
        ) from None
    if not math.isfinite(number):
        raise InputError(
            f'value "{shown(text)}" is not a number; {info.name}: {_accepted(info, info.unit)}'
        )
    return number


def _comma(text: str, number: float) -> Finding:
    return warning("decimal-comma", f'value "{shown(text)}" has a comma; taken as {number:.15g}')


def convert(number: float, unit: str, info: KindInfo) -> float:
    """Return `number` in the kind's own unit.

    Raises InputError when the unit is not one the kind can be given in.
    """
    same = plain(unit)
    if not same or same == plain(info.unit) or same in _SAME.get(info.unit, ()):
        return number
    if info.kind is Kind.BUBBLE_RATE:
        if same in RATE_PER_S:
            return number * RATE_PER_S[same]
    elif info.unit in UNIT_NAME:
        try:
            return quantity(f"{number!r} {unit}", UNIT_NAME[info.unit], what=info.name)
        except InputError:
            pass
    wanted = f'write it in "{info.unit}"' if info.unit else "leave the unit empty"
    raise InputError(f'unit "{shown(unit)}" is not a unit of {info.name} here; {wanted}')


def number(value: float | str, unit: str, info: KindInfo) -> Reading:
    """Return the typed number in the kind's own unit, checked against what is accepted.

    Raises InputError naming the value, the accepted range and, where one is likely, the slip.
    """
    typed, given_unit = split_number(value, unit, info)
    reading = Reading(math.nan, info.unit)
    raw = parse_number(typed, info, reading.cautions)
    if info.kind is Kind.BUBBLE_COUNT:
        count = bubble_count(raw, given_unit)
        reading.value, reading.seconds = count.rate_per_s, count.seconds
        reading.unit = f"per s over {count.seconds:.15g} s"
        reading.cautions += count.cautions
    else:
        reading.value = convert(raw, given_unit, info)
    _check(raw, given_unit, reading, info)
    return reading


def _check(raw: float, unit: str, reading: Reading, info: KindInfo) -> None:
    low, high = info.accepted
    typed = f"{raw:.15g}" + (f" {shown(unit)}" if unit else "")
    if not low <= reading.value <= high:
        converted = "" if raw == reading.value else f" = {reading.value:.4g} {info.unit}"
        raise InputError(
            f"value {typed}{converted} is not accepted for {info.name}; "
            f"{_accepted(info, info.unit)}{_suggestion(raw, info)}"
        )
    if info.usual and reading.value and not info.usual[0] <= reading.value <= info.usual[1]:
        low, high = info.usual
        usual = f"usual: {low:g} to {high:.15g} {info.unit}".rstrip()
        message = f"{info.name} {typed} is unusual ({usual}); kept{_suggestion(raw, info)}"
        reading.cautions.append(warning("unusual-value", message))


def _suggestion(raw: float, info: KindInfo) -> str:
    """Name the slip that would explain an odd number: another unit, or a lost decimal point."""
    low, high = info.usual or info.accepted
    for unit in info.suggest:
        try:
            value = convert(raw, unit, info)
        except InputError:
            continue
        if low <= value <= high and value != raw:
            return f" (did you mean {raw:.15g} {unit} = {value:.4g} {info.unit}?)"
    if info.name == "pH":
        for shifted in (raw / 10, raw / 100):
            if low <= shifted <= high:
                return f" (did you mean {shifted:g}?)"
    if info.kind is Kind.WATER_CHANGE and 0.0 < raw <= 1.0:
        return f" (did you mean {raw * 100:g} %?)"
    return ""


def word(value: str, info: KindInfo) -> str:
    """Return the kind's own word that `value` spells, forgiving case, spaces and hyphens.

    Raises InputError listing the words.
    """
    text = "-".join(re.split(r"[\s/_–-]+", plain(value)))
    text = _WORDS.get(text, text)
    if text in info.words:
        return text
    accepted = "accepted: " + ", ".join(info.words)
    if not text:
        raise InputError(f"value is empty; {info.name}: {accepted}")
    like = nearest(text, info.words)
    hint = f" (did you mean {like}?)" if like else ""
    raise InputError(f'value "{shown(value)}" is not known for {info.name}{hint}; {accepted}')


_WORDS = {
    "bluegreen": "blue-green",
    "green-blue": "blue-green",
    "greenish-blue": "blue-green",
    "yellowgreen": "yellow-green",
    "green-yellow": "yellow-green",
    "greenish-yellow": "yellow-green",
    "yellowish-green": "yellow-green",
    "bluish-green": "blue-green",
    "ok": "normal",
    "fine": "normal",
    "breathing-fast": "fast-breathing",
    "rapid-breathing": "fast-breathing",
    "gasping-at-the-surface": "gasping",
    "gasping-at-surface": "gasping",
    "at-the-surface": "gasping",
    "died": "dead",
    "death": "dead",
}
