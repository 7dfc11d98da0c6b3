"""Texts that name a command or a key of the tank file, in the words of the pages."""

from __future__ import annotations

import re

from leafgill.diary import Kind
from leafgill.tank.fields import FIELDS
from leafgill.web.forms.entry_kinds import TITLES
from leafgill.web.forms.parts import PART_OF, Key
from leafgill.web.forms.tank_words import label

# From the particular to the general; each keeps the sentence whole.
_SAID: tuple[tuple[re.Pattern[str], str], ...] = tuple(
    (re.compile(pattern), words)
    for pattern, words in (
        (r": leafgill rig TANK DIARY", ""),
        (r"give --room-temperature, or ", ""),
        (r"[;,] give --room-temperature", ""),
        (r"give --outlet or write it as outlet", "write it into the description"),
        (r"`leafgill commission TANK --hold high`", "the leak test"),
        (r" \(`leafgill commission` reckons what that shows\)", " (the leak test reckons it)"),
        (r"`leafgill commission`", "the leak test"),
        (r"`--hold (\w+)` reckons", r"The leak test, \1 side, reckons"),
        (r"`--hold hose`", "leak test: hose"),
        (r"`--hold (\w+)`", r"leak test: \1 side"),
        (r"`?leafgill next`?", "Today"),
        (r"`?leafgill supply`?", "the rig page"),
        (r"`?leafgill dose`?", "the bottles page"),
        (r"`?leafgill rig`?", "the rig page"),
        (r"write it as hose\b", "write it into the description"),
        (r"\btank file\b", "description"),
    )
)
_SECTION = re.compile(r"\[(\w+)\] (\w+)|(?:below )?\[(\w+)\]")
_KEYS: dict[str, Key] = {
    key: (section, key) for section, keys in reversed(FIELDS.items()) for key in keys if "_" in key
}
_KEY = re.compile(rf"\b({'|'.join(sorted(_KEYS, key=len, reverse=True))})\b")
_KIND = re.compile(rf"\b({'|'.join(kind for kind in Kind if '_' in kind)})\b")
_PLAIN_KEY = re.compile(r"\((regulator|diffuser|hose|outlet)\)")
_AS_PLAIN = re.compile(r"as (hose|outlet)\b(?=[.;,]|$)")


def page_words(text: str) -> str:
    """Return a text without commands, sections and keys: a page has none of them."""
    for pattern, words in _SAID:
        text = pattern.sub(words, text)
    text = _SECTION.sub(_section, text)
    text = _KEY.sub(lambda found: f'"{label(_KEYS[found[1]])}"', text)
    text = _AS_PLAIN.sub(lambda found: f'as "{label(("rig", found[1]))}"', text)
    text = _KIND.sub(lambda found: f'"{TITLES[Kind(found[1])]}"', text)
    return _PLAIN_KEY.sub(lambda found: f'("{label(("rig", found[1]))}")', text)


def _section(found: re.Match[str]) -> str:
    section, key, alone = found.groups()
    if key and key in FIELDS.get(section, {}):
        return f'"{label((section, key))}"'
    name = section or alone
    if name not in FIELDS:
        return found[0]
    part = PART_OF[(name, next(iter(FIELDS[name])))]
    return f'under "{part.title}"'
