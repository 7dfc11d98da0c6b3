"""What the tank file says of a key, in the words of a page: labels, help, messages."""

from __future__ import annotations

import re

from leafgill.tank.animals import GROUPS
from leafgill.tank.fields import FIELDS
from leafgill.units import example_of, number_in, shown_unit
from leafgill.web.forms.field import Choice
from leafgill.web.forms.habits import METRIC, Habits
from leafgill.web.forms.parts import HELP, LABELS, Key

_PLACE = re.compile(r"^[^:]*: \[(?P<section>\w+)\](?: (?P<key>\w+))?(?:: )?")
_KEY = re.compile(r"`(\w+)`")
_ORDINARY = {"regulator", "solenoid", "hose", "diffuser", "count", "name", "source", "outlet"}
_ORDINARY |= {
    "refill",
    "cylinder",
    "counter",
    "cartridge",
    "yeast",
    "kinds",
    "density",
    "currency",
    "kind",
}
# Where a number often comes in another unit than the page's, and saying so once a page helps.
_OFTEN_OTHER: set[Key] = {
    ("tank", "length_cm"),
    ("tank", "volume_l"),
    ("tank", "temperature_c"),
    ("water", "kh_dkh"),
    ("rig", "cylinder_kg"),
    ("rig", "working_pressure_bar"),
    ("rig", "cylinder_tare_kg"),
    ("rig", "diffuser_depth_cm"),
    ("cabinet", "width_cm"),
}
_SPELT = {
    "cga-320": "CGA 320",
    "din-477-6": "DIN 477-1 No. 6",
    "bs-341-8": "BS 341 No. 8",
    "jis-b-8246": "JIS B 8246",
    "nf-e29-650-c": "NF E29-650 C",
    "as-2473-30": "AS 2473 Type 30",
    "tr21-4": "TR21-4",
    "led": "LED",
    "epdm": "EPDM",
    "pvc": "PVC",
    "ptfe": "PTFE",
    "inline": "in line with the filter's hose",
    "disc": "disc of ceramic or glass in the tank",
    "airstone": "wooden airstone",
    "acid-bicarbonate": "acid and bicarbonate",
}


def capital(text: str) -> str:
    """Return words with a capital in front, unless they start with pH or a lone capital."""
    return text if text[:2] == "pH" else text[:1].upper() + text[1:]


def label(key: Key) -> str:
    """Return the words beside a key's input."""
    meaning = FIELDS[key[0]][key[1]].meaning.removeprefix("price of ")
    return LABELS.get(key) or capital(_told(meaning, key[0]))


def _told(text: str, section: str) -> str:
    """Return a text of the tank file's with its keys in the page's words."""

    def worded(found: re.Match[str]) -> str:
        name = found[1]
        home = _home(name, section)
        return f'"{label((home, name))}"' if home else name

    return _KEY.sub(worded, text)


def _home(name: str, section: str) -> str:
    """Return the section a key stands in, the one at hand before the rest; "" for none."""
    if name in FIELDS.get(section, {}):
        return section
    return next((other for other, keys in FIELDS.items() if name in keys), "")


def help_text(key: Key, habits: Habits) -> str:
    """Return what stands below an input: what is meant, and that it may carry its own unit."""
    field = FIELDS[key[0]][key[1]]
    own = HELP.get(key, "")
    if field.sort == "zone":
        return "Whose clock the hours follow, as Europe/Berlin."
    if key not in _OFTEN_OTHER:
        return own
    example = example_of(field.unit)
    if habits.units != METRIC:
        example = f"{number_in(example, field.unit):.2g} {shown_unit(field.unit)}"
    return f"{own} Or with its unit, as {habits.text(example)}.".strip()


def word_choices(key: Key) -> tuple[Choice, ...]:
    """Return the words a key may hold, in plain words; animals with what they can stand."""
    field = FIELDS[key[0]][key[1]]
    if key == ("livestock", "kinds"):
        return tuple(
            Choice(
                name,
                f"{capital(group.meaning)} ({group.co2_limit_mg_l:g} mg/L)",
            )
            for name, group in GROUPS.items()
        )
    return tuple(Choice(word, _SPELT.get(word, word.replace("-", " "))) for word in field.choices)


def place_of(text: str) -> tuple[Key | None, str]:
    """Return the key that a line of the tank's reader is about, and the line without its place.

    The lines look like "tank: [day] gas_on: ..."; the key is None where none is named.
    """
    found = _PLACE.match(text)
    if not found or not found["key"]:
        return None, text
    return (found["section"], found["key"]), text[found.end() :]


def in_page_words(message: str, key: Key | None, habits: Habits) -> str:
    """Return a message with the file's key names replaced by the labels on the page."""

    def worded(found: re.Match[str]) -> str:
        name = found[0]
        home = "" if name in _ORDINARY else _home(name, key[0] if key else "")
        return f'"{label((home, name))}"' if home else name

    return habits.text(re.sub(r"\b[a-z][a-z0-9]*(?:_[a-z0-9]+)+\b", worded, message))
