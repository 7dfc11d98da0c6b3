"""What a keeper sees, by the trade's names, and which causes are thought of.

The number beside a cause is how often it is behind that sight, against the others (common
practice, no source).
"""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from typing import NamedTuple

from leafgill.diary.words import plain
from leafgill.errors import InputError, quoted


class Symptom(NamedTuple):
    """One thing seen: its name, other names, what it looks like, and the causes with how often.

    `group` is what it is seen on: "animals", "algae", "plants" or "gas"; `urgent` whether the
    emergency comes first; `other` how often it is something that is not listed.
    """

    key: str
    name: str
    words: tuple[str, ...]
    looks: str
    group: str
    causes: Mapping[str, float]
    urgent: bool = False
    other: float = 1.0


GROUPS = {"animals": "Animals", "algae": "Algae", "plants": "Plants", "gas": "Gas and pH"}

_TABLE = (
    Symptom(
        "gasping-at-dawn", "Fish gasp in the morning",
        ("gasping at dawn", "gasping in the morning", "surface at lights-on", "morning gasping"),
        "at the surface or breathing fast before or when the light comes on, better by noon",
        "animals", {"o2_dawn": 5, "co2_dawn": 4, "co2_much": 1, "ammonia": 1, "nitrite": 0.7,
                    "illness": 0.7, "poison": 0.5}, True,
    ),
    Symptom(
        "gasping-under-light", "Fish gasp under the light",
        ("gasping", "gasping by day", "gasping in the afternoon", "fast breathing"),
        "at the surface or breathing fast hours after gas and light came on",
        "animals", {"co2_much": 6, "o2_day": 2, "ammonia": 1, "nitrite": 0.8, "new_water": 0.8,
                    "poison": 0.7, "illness": 0.8}, True,
    ),
    Symptom(
        "gasping-after-change", "Fish gasp after a water change",
        ("gasping after a water change", "distress after water change"),
        "within hours of new water", "animals",
        {"new_water": 6, "co2_much": 1, "ammonia": 1.5, "poison": 0.7, "o2_day": 0.7}, True,
    ),
    Symptom(
        "green-spot", "Green spot algae", ("green spots", "spot algae", "gsa"),
        "hard round green spots on glass and slow leaves, to be scraped off", "algae",
        {"phosphate_lack": 4, "light_much": 3, "co2_little": 2, "co2_unsteady": 1},
    ),
    Symptom(
        "green-dust", "Green dust algae", ("green dust", "dust algae", "gda", "film on the glass"),
        "a soft green film on the glass that wipes off as dust and is back within days", "algae",
        {"light_much": 3, "youth": 2, "co2_unsteady": 1.5, "phosphate_lack": 1, "dirt": 1},
    ),
    Symptom(
        "hair", "Hair and thread algae", ("thread algae", "hair algae", "string algae", "fuzz"),
        "long soft green threads between plants", "algae",
        {"light_much": 4, "co2_little": 3, "co2_unsteady": 1.5, "nitrate_lack": 1,
         "youth": 1.5, "dirt": 1},
    ),
    Symptom(
        "black-brush", "Black brush algae", ("black beard", "brush algae", "bba", "beard algae"),
        "short dark tufts on leaf edges, wood and outlets; red in alcohol", "algae",
        {"co2_unsteady": 4, "co2_little": 2.5, "dirt": 2.5, "flow_strong": 1.5, "light_much": 1},
    ),
    Symptom(
        "staghorn", "Staghorn algae", ("stag horn", "antler algae"),
        "grey branching tufts, stiff, on leaf edges and equipment", "algae",
        {"co2_little": 2.5, "dirt": 3, "flow": 2, "co2_unsteady": 1.5, "light_much": 1},
    ),
    Symptom(
        "diatoms", "Brown algae (diatoms)", ("brown algae", "diatom", "brown film"),
        "a brown film on glass, sand and leaves that wipes off", "algae",
        {"youth": 5, "silicate": 3, "light_little": 1, "dirt": 0.7},
    ),
    Symptom(
        "blue-green", "Blue-green slime (cyanobacteria)",
        ("cyanobacteria", "cyano", "blue-green algae", "slime"),
        "a dark blue-green skin that comes off in sheets and smells of earth", "algae",
        {"nitrogen_short": 3, "dirt": 3, "flow": 2.5, "light_much": 1, "youth": 1},
    ),
    Symptom(
        "green-water", "Green water", ("bloom", "floating algae", "green cloud"),
        "the water itself is green and clouds", "algae",
        {"ammonia_green": 4, "light_much": 3, "dirt": 1, "youth": 1},
    ),
    Symptom(
        "melting", "Leaves melt", ("melt", "melting", "leaves dissolve", "crypt melt"),
        "whole leaves turn glassy and dissolve", "plants",
        {"move": 4, "jump": 3, "co2_little": 1.5, "warmth": 1, "light_little": 1},
    ),
    Symptom(
        "pale-new", "New leaves are pale",
        ("pale new leaves", "chlorosis", "yellow new leaves", "white tips"),
        "the youngest leaves are yellow to white, veins green first", "plants",
        {"iron_lack": 5, "magnesium_lack": 1, "nitrate_lack": 0.8, "co2_little": 1,
         "light_much": 0.7},
    ),
    Symptom(
        "yellow-old", "Old leaves yellow", ("yellow old leaves", "lower leaves yellow"),
        "old leaves yellow and fall while new ones are green", "plants",
        {"nitrate_lack": 4, "magnesium_lack": 1.5, "potassium_lack": 1.5, "light_little": 2,
         "move": 1},
    ),
    Symptom(
        "holes", "Holes in leaves", ("pinholes", "holes"),
        "pinholes that grow, with yellow rims, in older leaves", "plants",
        {"potassium_lack": 5, "nitrate_lack": 1, "phosphate_lack": 0.7, "move": 1},
    ),
    Symptom(
        "stunted", "Tips are stunted", ("stunted tips", "twisted leaves", "curled tips"),
        "new leaves small, hooked or twisted, tips stand still", "plants",
        {"calcium_lack": 2.5, "co2_unsteady": 2.5, "co2_little": 1.5, "iron_lack": 1,
         "jump": 1},
    ),
    Symptom(
        "pearling", "Plants pearl", ("bubbles on leaves", "pearls"),
        "bubbles form on leaves and rise", "plants",
        {"growth_good": 5, "tap_gas": 2, "mist": 2}, other=0.3,
    ),
    Symptom(
        "no-pearling", "Plants do not pearl", ("no bubbles", "no pearls", "not pearling"),
        "no bubbles, though gas and light are on", "plants",
        {"co2_little": 2.5, "surface_fast": 2, "light_little": 2, "co2_late": 1,
         "nitrate_lack": 0.7, "phosphate_lack": 0.5},
    ),
    Symptom(
        "co2-stays-low", "CO2 does not rise", ("co2 won't rise", "ph won't fall", "blue checker"),
        "gas runs and bubbles are counted, pH stays high or the drop checker blue", "gas",
        {"set_low": 4, "clogged": 2, "surface": 2, "leak": 1.5, "valve": 1.5, "empty": 1,
         "wrong_ph": 1.5, "kh_other": 1, "co2_late": 0.5},
    ),
    Symptom(
        "ph-swings", "pH swings", ("ph swing", "unstable ph", "ph goes up and down"),
        "pH moves by more than a few tenths within a day or from day to day", "gas",
        {"day_night": 5, "kh_little": 1.5, "valve_wanders": 1.5, "electrode_wanders": 1.5,
         "empty": 0.5, "kh_other": 0.5},
    ),
)  # fmt: skip

SYMPTOMS: dict[str, Symptom] = {one.key: one for one in _TABLE}


def symptom_of(text: str) -> Symptom:
    """Return the symptom that words name: its key, its name, or one of its other names.

    Raises InputError naming the nearest, or all of them.
    """
    wanted = plain(text).replace("_", "-")
    names = {
        plain(name).replace("_", "-"): one
        for one in _TABLE
        for name in (one.key, one.key.replace("-", " "), one.name, *one.words)
    }
    if wanted in names:
        return names[wanted]
    like = difflib.get_close_matches(wanted, list(names), n=1, cutoff=0.75)
    hint = f" (did you mean {names[like[0]].key}?)" if like else ""
    raise InputError(f"symptom {quoted(text)} is not known{hint}; accepted: " + ", ".join(SYMPTOMS))
