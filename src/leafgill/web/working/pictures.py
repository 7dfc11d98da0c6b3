"""The day's picture as plain lists, and back."""

from __future__ import annotations

from dataclasses import asdict, fields
from typing import Any

import numpy as np

from leafgill.charts.picture import Bar, DayPicture, Mark

_ARRAYS = ("hours", "mean", "outer_low", "outer_high", "inner_low", "inner_high")


def picture_json(picture: DayPicture) -> dict[str, Any]:
    """Return a picture as lists, numbers and words."""
    plain = {field.name: getattr(picture, field.name) for field in fields(picture)}
    for name in _ARRAYS:
        plain[name] = np.round(plain[name], 4).tolist()
    plain["ticks"] = [list(tick) for tick in picture.ticks]
    plain["marks"] = [asdict(mark) for mark in picture.marks]
    plain["bars"] = [
        {"name": bar.name, "spans": [list(span) for span in bar.spans]} for bar in picture.bars
    ]
    return plain


def picture_from(payload: dict[str, Any]) -> DayPicture:
    """Return the picture of a payload, to be drawn. Raises KeyError where it holds none."""
    plain = dict(payload["picture"])
    for name in _ARRAYS:
        plain[name] = np.array(plain[name], dtype=np.float64)
    plain["ticks"] = tuple((hour, text) for hour, text in plain["ticks"])
    plain["marks"] = tuple(Mark(**mark) for mark in plain["marks"])
    plain["bars"] = tuple(
        Bar(bar["name"], tuple((start, end) for start, end in bar["spans"]))
        for bar in plain["bars"]
    )
    return DayPicture(**plain)
