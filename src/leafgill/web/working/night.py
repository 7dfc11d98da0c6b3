"""The picture of oxygen through the night as plain lists, and back."""

from __future__ import annotations

from dataclasses import fields
from typing import Any

import numpy as np

from leafgill.charts.night_picture import NightPicture

_ARRAYS = ("hours", "mean", "low", "high")
_PAIRS = ("dark", "ticks")


def night_json(picture: NightPicture) -> dict[str, Any]:
    """Return a picture as lists, numbers and words."""
    plain = {field.name: getattr(picture, field.name) for field in fields(picture)}
    for name in _ARRAYS:
        plain[name] = np.round(plain[name], 3).tolist()
    for name in _PAIRS:
        plain[name] = [list(pair) for pair in plain[name]]
    return plain


def night_from(payload: dict[str, Any]) -> NightPicture:
    """Return the picture of a payload, to be drawn. Raises KeyError where it holds none."""
    plain = dict(payload["night"])
    for name in _ARRAYS:
        plain[name] = np.array(plain[name], dtype=np.float64)
    for name in _PAIRS:
        plain[name] = tuple((first, second) for first, second in plain[name])
    return NightPicture(**plain)
