"""What the free words of a note tell: drop size, instrument, new water's KH, substance, deed."""

from __future__ import annotations

import re
from datetime import datetime, timedelta

from leafgill.diary.times import parse_time
from leafgill.diary.words import plain
from leafgill.errors import InputError
from leafgill.units import quantity

_NUMBER = r"(\d+(?:[.,]\d+)?)"
_HARDNESS_UNIT = r"\s*(dkh|dgh|°dh|ppm|mg/l|meq/l)?"
_DROP = (
    re.compile(r"whole\s+" + _NUMBER + _HARDNESS_UNIT + r"\s*drops?"),
    re.compile(r"drops?\s*(?:size|of|is|=|:)*\s*" + _NUMBER + _HARDNESS_UNIT),
    re.compile(_NUMBER + _HARDNESS_UNIT + r"\s*(?:per|a|each|/)?\s*drop"),
    re.compile(r"rounded\s+(?:up\s+|down\s+)?to\s+(?:whole\s+)?" + _NUMBER + _HARDNESS_UNIT),
)
_READ_TO = re.compile(
    r"(?:read|rounded|accurate)\s+to\s+(?:the\s+nearest\s+)?(0[.,]\d+|1(?:\.0)?)\b"
)
_NEW_KH = re.compile(
    r"\bkh\b\s*(?:(?:of|is|was|at|about|around|=|:|~)\s*)*" + _NUMBER + _HARDNESS_UNIT
)
_KH_AFTER = re.compile(_NUMBER + r"\s*(dkh)\b")
_PURE = re.compile(r"\b(?:ro|osmosis|reverse osmosis|distilled|deionised|deionized|rain ?water)\b")
_DATE = r"(?:\d{4}-\d{1,2}-\d{1,2}|\d{1,2}[./-]\d{1,2}[./-]\d{4})"
_DRAWN = re.compile(
    rf"(?:drawn|taken|filled)\s+(?:on\s+|at\s+)?(?:(?P<date>{_DATE})[T ]\s*(?:at\s+)?|"
    r"(?P<word>yesterday|today)\s*(?:at\s+)?)?(?P<clock>\d{1,2}:\d{2}(?::\d{2})?)",
    re.IGNORECASE,
)
_BUFFER = re.compile(r"(?<![\d.:-])(\d{1,2}(?:[.,]\d{1,2})?)(?![\d:]|[.,]\d)")

_WARMTH = re.compile(r"(?<![\d.,])(-?\d+(?:[.,]\d+)?)\s*°?\s*([cf])\b")

_BETWEEN = re.compile(rf"\bbetween\s+{_NUMBER}\s*(?:mg/l|ppm)?\s*and\s+{_NUMBER}")
_BELOW = re.compile(rf"\b(?:below|under|less than|not even)\s+{_NUMBER}")

SUBSTANCES: dict[str, tuple[str, ...]] = {
    "nitrate": ("nitrate", "no3"),
    "nitrite": ("nitrite", "no2"),
    "ammonia": ("ammonia", "ammonium", "nh3", "nh4", "nh3/nh4"),
    "phosphate": ("phosphate", "po4"),
    "potassium": ("potassium", "k"),
    "iron": ("iron", "fe"),
    "magnesium": ("magnesium", "mg"),
    "calcium": ("calcium", "ca"),
    "manganese": ("manganese", "mn"),
    "zinc": ("zinc", "zn"),
    "boron": ("boron", "b"),
    "molybdenum": ("molybdenum", "mo"),
    "oxygen": ("oxygen", "o2", "do"),
    "silicate": ("silicate", "silica", "sio2"),
    "copper": ("copper", "cu"),
    "chlorine": ("chlorine", "cl2"),
    "dissolved solids": ("tds", "dissolved solids"),
}

_THINGS = {
    "diffuser": ("diffuser", "diffusor", "disc", "ceramic"),
    "reactor": ("reactor",),
    "filter": ("filter", "canister"),
    "plants": ("plants", "plant", "stems"),
    "glass": ("glass", "algae off the glass"),
    "probe": ("probe", "electrode"),
    "drop checker": ("drop checker", "checker"),
    "bubble counter": ("bubble counter", "counter"),
    "needle valve": ("needle valve",),
    "check valve": ("check valve",),
    "cylinder": ("cylinder", "bottle"),
    "hose": ("hose", "tubing", "tube"),
    "lamp": ("lamp", "light"),
    "substrate": ("substrate", "gravel", "soil"),
}
_DEEDS = {
    "cleaned": ("cleaned", "clean", "rinsed", "scrubbed", "bleached", "soaked", "wiped"),
    "trimmed": ("trimmed", "pruned", "cut back"),
    "refilled": ("refilled", "refill", "filled"),
    "replaced": ("replaced", "swapped", "changed", "exchanged"),
    "leak tested": ("leak tested", "leak test", "soap tested"),
    "calibrated": ("calibrated",),
}
_REFILL = re.compile(
    r"\b(?:re-?fill(?:ed)?|filled|full|fresh|new|swap(?:ped)?|replaced|changed|exchanged?|another)\b"
)


def drop_size(note: str, unit: str = "dKH") -> float | None:
    """Return the hardness one drop of the test stands for [`unit`], None when the note is silent.

    "double sample" alone halves the usual drop of one degree.
    """
    text = plain(note)
    for pattern in _DROP:
        found = pattern.search(text)
        if found:
            typed = f"{found[1].replace(',', '.')} {found[2] or unit}"
            size = quantity(typed, unit, what="drop size")
            return size if 0.0 < size <= 5.0 else None
    return 0.5 if "double sample" in text else None


def rounding(note: str) -> str:
    """Return "up", "down", "nearest" or "": how a counted test was rounded.

    Drops are counted until the colour turns, so a note that speaks of drops means "up" unless it
    says otherwise.
    """
    text = plain(note)
    for word in ("up", "down"):
        if f"rounded {word}" in text:
            return word
    if "nearest" in text:
        return "nearest"
    return "up" if re.search(r"\bdrops?\b", text) else ""


def read_to(note: str) -> float | None:
    """Return the step a reading was read to ("read to 0.2"), None when the note is silent."""
    found = _READ_TO.search(plain(note))
    return float(found[1].replace(",", ".")) if found else None


def new_water_kh_dkh(note: str) -> float | None:
    """Return the KH of the new water of a water change [dKH], None when the note is silent.

    Raises InputError when it is beyond 30 dKH.
    """
    text = plain(note)
    found = _NEW_KH.search(text) or _KH_AFTER.search(text)
    if not found:
        pure = _PURE.search(text) is not None and "remineral" not in text
        return 0.0 if pure else None
    typed = f"{found[1].replace(',', '.')} {found[2] or 'dKH'}"
    kh = quantity(typed, "dKH", what="KH of the new water")
    if not 0.0 <= kh <= 30.0:
        raise InputError(
            f'note "{note}": KH of the new water {kh:g} dKH is not accepted; accepted: 0 to 30 dKH'
            + ("" if found[2] else f" (did you mean {found[1]} ppm?)")
        )
    return kh


def instrument(note: str) -> str:
    """Return "probe" or "hand": what a degassed sample was read with; "" when not said."""
    text = plain(note)
    if re.search(r"\b(?:hand|drops?|strips?|colou?r|test kit|kit|liquid)\b", text):
        return "hand"
    if re.search(r"\b(?:probe|electrode|meter|pen|controller)\b", text):
        return "probe"
    return ""


def air(note: str) -> str:
    """Return "outdoors" or "indoor": the air a degassed sample stood in; "" when not said."""
    text = plain(note)
    if re.search(r"\b(?:outdoors?|outside|balcony|garden|fresh air|open air)\b", text):
        return "outdoors"
    return "indoor" if re.search(r"\b(?:indoors?|inside|room)\b", text) else ""


def water_c(note: str) -> float | None:
    """Return the temperature of the water a note names ("11 C", "52 °F") [°C], None when silent.

    Raises InputError for one that no glass of water stands at.
    """
    found = _WARMTH.search(plain(note))
    if not found:
        return None
    celsius = float(found[1].replace(",", "."))
    if found[2] == "f":
        celsius = (celsius - 32.0) / 1.8
    if not 0.0 <= celsius <= 40.0:
        raise InputError(
            f'note "{note}": water of {found[0]} is not accepted; accepted: 0 to 40 °C'
        )
    return round(celsius, 2)


def drawn(note: str, read_at: datetime) -> datetime | None:
    """Return when the glass was drawn, None when the note is silent.

    A bare clock time is the last such time before the reading. The result has the time zone of
    `read_at`.
    """
    found = _DRAWN.search(note)
    if not found:
        return None
    day = found["date"]
    if day is None:
        day = read_at.strftime("%Y-%m-%d")
    try:
        when, _ = parse_time(f"{day} {found['clock']}")
    except InputError:
        return None
    when = when.replace(tzinfo=read_at.tzinfo)
    if found["date"] is None:
        later = found["word"] is None and when > read_at
        if found["word"] == "yesterday" or later:
            when -= timedelta(days=1)
    return when


def substance(text: str) -> str:
    """Return what a water test was of ("nitrate"), "" when the words name nothing known."""
    words = re.findall(r"[a-z0-9/]+", plain(text))
    joined = " ".join(words)
    for name, spellings in SUBSTANCES.items():
        if any(s in words or (" " in s and s in joined) for s in spellings):
            return name
    return ""


def between(note: str) -> tuple[float, float] | None:
    """Return the two ends a test was read between ("between 5 and 10", "below 0.05" [mg/L]).

    None when the note is silent or the ends do not rise.
    """
    text = plain(note)
    if found := _BETWEEN.search(text):
        low, high = (float(number.replace(",", ".")) for number in found.groups())
        return (low, high) if low < high else None
    if found := _BELOW.search(text):
        high = float(found[1].replace(",", "."))
        return (0.0, high) if high > 0.0 else None
    return None


def buffers(text: str) -> tuple[float, ...]:
    """Return the calibration buffers named in `text` as pH values, in rising order."""
    found = (float(number.replace(",", ".")) for number in _BUFFER.findall(text))
    return tuple(sorted({ph for ph in found if 1.0 <= ph <= 13.0}))


def deed(text: str) -> str:
    """Return work on the tank in settled words ("diffuser cleaned"), else the text as it is.

    Only a short phrase is settled: a sentence may say what was *not* done.
    """
    words = plain(text)
    if len(words.split()) > 5 or re.search(r"\b(?:not|no|never|should|must|tomorrow)\b", words):
        return text.strip()
    for thing, names in _THINGS.items():
        if not _has(words, names):
            continue
        for done, verbs in _DEEDS.items():
            if _has(words, verbs):
                return f"{thing} {done}"
    return text.strip()


def _has(words: str, names: tuple[str, ...]) -> bool:
    return any(re.search(rf"\b{re.escape(name)}\b", words) for name in names)


def tells_of_refill(text: str) -> bool:
    """Return whether a note tells that the cylinder was filled or changed."""
    return _REFILL.search(plain(text)) is not None
