"""One thing to do when the gas is put together for the first time."""

from __future__ import annotations

from typing import NamedTuple


class Item(NamedTuple):
    """A step of the checklist: a short title, what to do and why, and the figures it speaks of.

    `key` names it in JSON, `figures` are keys of figures.
    """

    key: str
    title: str
    text: str
    figures: tuple[str, ...] = ()
