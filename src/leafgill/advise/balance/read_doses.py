"""What the diary's doses brought: each salt or bottle turned into mg/L of each nutrient."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache

from leafgill.advise.balance.nutrients import COUNTED_AS
from leafgill.diary import Diary, Entry, Kind
from leafgill.tank.bottle import LABELLED, Bottle
from leafgill.tank.spec import Tank

# A drop and a stroke of a pump, where nothing else is said (common practice, no source).
_ML = {"mL": 1.0, "drops": 0.05, "pumps": 1.0}
_G = {"g": 1.0, "mg": 1e-3}
_WORD = re.compile(r"[^\s,;:.]+")
_STRENGTH = re.compile(r"(\d+(?:[.,]\d+)?)\s*(g\s*/\s*l|mg\s*/\s*ml)", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Given:
    """A dose: when, what by name, and what it adds to a litre of tank water [mg/L]."""

    time_s: float
    what: str
    amount: float
    unit: str
    adds_mg_l: Mapping[str, float]


def of_salt(key: str) -> dict[str, float]:
    """Return grams of each nutrient's ion in a gram of a salt, by the nutrient's key."""
    from leafgill.science.salts import SALTS

    gives = SALTS[key].gives
    # all nitrogen ends as nitrate, and is counted once
    counted = {name: part for name, part in gives.items() if name not in _OTHER_NITROGEN}
    return _followed(counted)


_OTHER_NITROGEN = ("nitrate", "ammonium", "urea", "urea_nitrogen", "phosphorus")


def of_bottle(bottle: Bottle) -> dict[str, float]:
    """Return grams of each nutrient's ion in a litre of a bottle, by the nutrient's key."""
    found = _followed(dict(bottle.holds_g_l))
    for salt, g_l in bottle.salts_g_l().items():
        for key, part in of_salt(salt).items():
            found[key] = found.get(key, 0.0) + part * g_l
    return found


def _followed(parts: Mapping[str, float]) -> dict[str, float]:
    found: dict[str, float] = {}
    for name, grams in parts.items():
        if name in COUNTED_AS and grams > 0.0:
            key, factor = COUNTED_AS[name]
            found[key] = found.get(key, 0.0) + factor * grams
    return found


def doses_of(tank: Tank, diary: Diary) -> tuple[list[Given], list[str]]:
    """Return the doses in the diary in order of time, and lines on those that could not be read."""
    found: list[Given] = []
    unread: dict[str, int] = {}
    for entry in diary.of(Kind.DOSE):
        grams = _grams(tank, entry)
        if grams is None:
            said = f"{entry.unit}, {entry.note}" if entry.note else f"{entry.unit} of what?"
            unread[said] = unread.get(said, 0) + 1
            continue
        what, mass_g = grams
        adds = {key: 1e3 * g / tank.volume_l for key, g in mass_g.items()}
        found.append(Given(entry.time.timestamp(), what, entry.number, entry.unit, adds))
    lines = [
        f"{count} dose{'s' if count > 1 else ''} not counted ({said}): name a salt, or a bottle "
        "that the tank file describes"
        for said, count in unread.items()
    ]
    return found, lines


def _grams(tank: Tank, entry: Entry) -> tuple[str, dict[str, float]] | None:
    """Return (what, grams of each nutrient) of a dose, None where it cannot be told."""
    note = entry.note
    bottle = _bottle(tank.salts.bottles, note)
    if entry.unit in _ML and bottle is not None:
        litres = entry.number * _ML[entry.unit] * 1e-3
        return bottle.name, {key: g_l * litres for key, g_l in of_bottle(bottle).items()}
    strength = _STRENGTH.search(note)
    if entry.unit in _G:
        mass = entry.number * _G[entry.unit]
    elif entry.unit in _ML and strength:
        # g/L and mg/mL are the same
        mass = entry.number * _ML[entry.unit] * 1e-3 * float(strength[1].replace(",", "."))
    else:
        return None
    salt = salt_in(_STRENGTH.sub("", note))
    if salt is not None:
        return salt, {key: part * mass for key, part in of_salt(salt).items()}
    named = _nutrient_in(note)
    return None if named is None else (named, _followed({named: mass}))


def _bottle(bottles: tuple[Bottle, ...], note: str) -> Bottle | None:
    """Return the bottle a note names: the longest name that stands in it."""
    text = f" {' '.join(_WORD.findall(note.casefold()))} "
    named = [b for b in bottles if f" {' '.join(b.name.casefold().split())} " in text]
    return max(named, key=lambda bottle: len(bottle.name), default=None)


def salt_in(note: str) -> str | None:
    """Return the key of the salt a note names, None for none."""
    for part in _candidates(note):
        if (key := _salt_key(part)) is not None:
            return key
    return None


def _candidates(note: str) -> Iterator[str]:
    for part in re.split(r"[;,:]", note):
        words = part.split()
        # the longest run of words first: "potassium nitrate" before "potassium"
        for length in range(min(len(words), 5), 0, -1):
            for first in range(len(words) - length + 1):
                yield " ".join(words[first : first + length])


@cache
def _salt_key(text: str) -> str | None:
    from leafgill.science.salts import salt_of

    try:
        return salt_of(text).key
    except ValueError:
        return None


def _nutrient_in(note: str) -> str | None:
    words = re.findall(r"[a-z0-9]+", note.casefold())
    return next(
        (name for name, also in LABELLED.items() if any(w in words for w in (name, *also))), None
    )
