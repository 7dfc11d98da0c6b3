"""Small helpers for words as people type them."""

from __future__ import annotations

import difflib
from collections.abc import Iterable

_LONGEST_SHOWN = 40


def plain(text: str) -> str:
    """Return `text` in lower case with single spaces and without a trailing full stop."""
    return " ".join(text.lower().split()).rstrip(". ")


def shown(text: str) -> str:
    """Return `text` fit for a one-line message: one line, nothing unprintable, not long."""
    line = " ".join(text.split())
    line = "".join(letter if letter.isprintable() else "?" for letter in line)
    return line if len(line) <= _LONGEST_SHOWN else line[: _LONGEST_SHOWN - 3] + "..."


def nearest(word: str, known: Iterable[str]) -> str:
    """Return the known word most like `word`, or "" when none is like it."""
    found = difflib.get_close_matches(word, list(known), n=1, cutoff=0.6)
    return found[0] if found else ""
