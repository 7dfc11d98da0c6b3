"""One day's CO2 in letters, for a terminal; it reads without colour as well."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby

import numpy as np
from numpy.typing import NDArray
from rich.text import Text

from leafgill.charts.picture import Bar, DayPicture, FloatArray

ROWS = 15
_MARGIN = 6
_LEAST, _MOST = 36, 90
_LABEL_STEPS = (2.0, 5.0, 10.0, 20.0, 50.0, 100.0)
# A cell belongs to a band that covers this part of it.
_COVERED = 0.4


@dataclass(frozen=True)
class Letters:
    """What each part is drawn with."""

    inner: str = "▓"
    outer: str = "░"
    limit: str = "╌"
    now: str = "┊"
    mark: str = "○"
    side: str = "│"
    corner: str = "└"
    floor: str = "─"
    tick: str = "┴"
    on: str = "▆"
    off: str = "·"


BOXES = Letters()
ASCII = Letters("#", ".", "-", ":", "o", "|", "+", "-", "+", "#", ".")
_STYLE = {"inner": "bold cyan", "outer": "cyan", "limit": "red", "now": "bold",
          "mark": "bold yellow", "light": "yellow", "gas": "cyan", "air": "white"}  # fmt: skip


def plot(picture: DayPicture, width: int, letters: Letters = BOXES) -> list[Text]:
    """Return the lines of the picture, at most `width` wide, and a line that says what is what."""
    columns = int(np.clip(width - _MARGIN - 1, _LEAST, _MOST))
    lines = _levels(picture, columns, letters)
    lines += _axis(picture, columns, letters)
    lines += [_bar(bar, picture.length_h, columns, letters) for bar in picture.bars]
    lines.append(_key(picture, letters))
    return lines


def _levels(picture: DayPicture, columns: int, letters: Letters) -> list[Text]:
    top = picture.top_mg_l
    step = next((s for s in _LABEL_STEPS if top / s <= 5.0), _LABEL_STEPS[-1])
    labels = {_row(value, top): f"{value:.0f}" for value in np.arange(0.0, top, step)}
    limit_row = _row(picture.limit_mg_l, top)
    labels[limit_row] = f"{picture.limit_mg_l:.3g}"
    lines = []
    for row, cells in enumerate(_cells(picture, columns)):
        line = Text(no_wrap=True)
        style = _STYLE["limit"] if row == limit_row else "dim"
        line.append(f"{labels.get(row, ''):>{_MARGIN - 2}} ", style=style)
        line.append(letters.side, style="dim")
        for name, run in groupby(cells):
            letter = getattr(letters, name) if name else " "
            line.append(letter * len(list(run)), style=_STYLE.get(name, ""))
        lines.append(line)
    return lines


def _cells(picture: DayPicture, columns: int) -> list[list[str]]:
    """Return what stands in each cell, [rows][columns]: "" or the name of a letter."""
    top = picture.top_mg_l
    cells = [[""] * columns for _ in range(ROWS)]
    cells[_row(picture.limit_mg_l, top)] = ["limit"] * columns
    if picture.now_h is not None:
        at = _column(picture.now_h, picture.length_h, columns)
        for line in cells:
            line[at] = "now"
    hours = (np.arange(columns) + 0.5) * picture.length_h / columns
    known = np.flatnonzero(_known(picture, hours))
    for name in ("outer", "inner"):
        low, high = (
            np.interp(hours, picture.hours, getattr(picture, f"{name}_{end}"))
            for end in ("low", "high")
        )
        for row in range(ROWS):
            floor = (ROWS - 1 - row) * top / ROWS
            part = (np.minimum(high, floor + top / ROWS) - np.maximum(low, floor)) / (top / ROWS)
            for column in known[part[known] >= _COVERED].tolist():
                cells[row][column] = name
    mean = np.interp(hours, picture.hours, picture.mean)
    for column in known.tolist():
        cells[_row(float(mean[column]), top)][column] = "inner"
    for mark in picture.marks:
        if mark.co2_mg_l <= top:
            at = _column(mark.hour, picture.length_h, columns)
            cells[_row(mark.co2_mg_l, top)][at] = "mark"
    return cells


def _known(picture: DayPicture, hours: FloatArray) -> NDArray[np.bool_]:
    """Return which columns the picture's hours reach, shape [n]."""
    if not picture.hours.size:
        return np.zeros(hours.size, dtype=np.bool_)
    reach = 0.6 * picture.length_h / hours.size
    first, last = float(picture.hours[0]) - reach, float(picture.hours[-1]) + reach
    return np.asarray((hours >= first) & (hours <= last), dtype=np.bool_)


def _row(level: float, top: float) -> int:
    return int(np.clip(ROWS - 1 - int(level / top * ROWS), 0, ROWS - 1))


def _column(hour: float, length_h: float, columns: int) -> int:
    return int(np.clip(int(hour / length_h * columns), 0, columns - 1))


def _axis(picture: DayPicture, columns: int, letters: Letters) -> list[Text]:
    floor = [letters.floor] * columns
    words = [" "] * (columns + 6)
    for hour, text in picture.ticks:
        at = _column(hour, picture.length_h, columns)
        floor[at] = letters.tick
        said = text[:2]
        start = max(at - 1, 0)
        words[start : start + len(said)] = said
    margin = " " * (_MARGIN - 1)
    lines = [Text(margin + letters.corner + "".join(floor), style="dim", no_wrap=True)]
    lines.append(Text(f"{margin} " + "".join(words).rstrip(), style="dim", no_wrap=True))
    if picture.now_h is not None:
        at = _column(picture.now_h, picture.length_h, columns)
        said = "now, then forecast" if at + 18 < columns else "now"
        line = " " * (_MARGIN + at) + said
        lines.append(Text(line, style="bold", no_wrap=True))
    return lines


def _bar(bar: Bar, length_h: float, columns: int, letters: Letters) -> Text:
    hours = (np.arange(columns) + 0.5) * length_h / columns
    on = np.zeros(columns, dtype=np.bool_)
    for start, end in bar.spans:
        on |= (hours >= start) & (hours < end)
    line = Text(no_wrap=True)
    line.append(f"{bar.name:>{_MARGIN - 1}} ", style="dim")
    for lit, run in groupby(on.tolist()):
        length = len(list(run))
        style = _STYLE[bar.name] if lit else "dim"
        line.append((letters.on if lit else letters.off) * length, style=style)
    return line


def _key(picture: DayPicture, letters: Letters) -> Text:
    line = Text(" " * _MARGIN)
    parts = [("inner", "even chance"), ("outer", "nine in ten")]
    parts.append(("limit", f"limit {picture.limit_mg_l:.3g} mg/L"))
    if picture.marks:
        parts.append(("mark", "a reading alone"))
    for name, says in parts:
        line.append(getattr(letters, name), style=_STYLE[name])
        line.append(f" {says}  ", style="dim")
    line.rstrip()
    return line
