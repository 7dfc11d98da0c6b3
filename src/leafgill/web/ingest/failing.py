"""What stands in the way of the store, in words that a keeper can do something about."""

from __future__ import annotations

import re

_WORDS = (
    (r"disk is full|no space left|could not extend|disk i/o error", "the disk is full or fails"),
    (r"readonly database|read-only", "the database may only be read"),
    (r"unable to open|not a database|malformed", "the database cannot be opened"),
    (r"is locked|lock timeout|deadlock", "the database is busy"),
    (r"connect|server closed|terminating|starting up|shutting down", "the database is away"),
)


class StoreError(RuntimeError):
    """Readings could not be kept for now; nothing of them was. `str(error)` is one line."""


class UnsureError(StoreError):
    """It is not known in time whether readings were kept; sent again they are there once."""


def words_of(wrong: BaseException) -> str:
    """Return what is the matter with the database, in a few words."""
    told = str(wrong).lower()
    for pattern, words in _WORDS:
        if re.search(pattern, told):
            return words
    first = str(wrong).strip().splitlines()
    return f"the database refused it ({first[0][:120] if first else type(wrong).__name__})"
