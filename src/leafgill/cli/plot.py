"""One day's CO2 in letters, for a terminal; it reads without colour as well."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from rich.text import Text

from leafgill.charts.picture import Bar, DayPicture, FloatArray

ROWS = 13
_MARGIN = 6
_LEAST, _MOST = 36, 90


@dataclass(frozen=True)
class Letters:
    """What each part is drawn with."""

    mean: str = "█"
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
ASCII = Letters("#", "=", ".", "-", ":", "o", "|", "+", "-", "+", "#", " ")
_STYLE = {"mean": "bold cyan", "inner": "cyan", "outer": "blue", "limit": "red", "now": "bold",
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
    cells = _cells(picture, columns)
    step = picture.top_mg_l / ROWS
    labelled = {ROWS - 1 - int(round(part * (ROWS - 1))): part for part in (0.0, 0.5, 1.0)}
    limit_row = _row(picture.limit_mg_l, picture.top_mg_l)
    lines = []
    for row in range(ROWS):
        label = f"{(ROWS - row - 0.5) * step:.0f}" if row in labelled else ""
        style = "dim"
        if row == limit_row:
            label, style = f"{picture.limit_mg_l:.3g}", _STYLE["limit"]
        line = Text(f"{label:>{_MARGIN - 2}} ", style=style, no_wrap=True)
        line.append(letters.side, style="dim")
        for name in cells[row]:
            line.append(getattr(letters, name) if name else " ", style=_STYLE.get(name, ""))
        lines.append(line)
    return lines


def _cells(picture: DayPicture, columns: int) -> list[list[str]]:
    """Return what stands in each cell, [rows][columns]: "" or the name of a letter."""
    cells = [[""] * columns for _ in range(ROWS)]
    top = picture.top_mg_l
    hours = (np.arange(columns) + 0.5) * picture.length_h / columns
    limit_row = _row(picture.limit_mg_l, top)
    cells[limit_row] = ["limit"] * columns
    if picture.now_h is not None:
        at = _column(picture.now_h, picture.length_h, columns)
        for row in cells:
            row[at] = "now"
    inside = _covered(picture, hours)
    names = ("outer_low", "outer_high", "inner_low", "inner_high", "mean")
    values = {name: np.interp(hours, picture.hours, getattr(picture, name)) for name in names}
    for at in np.flatnonzero(inside):
        for name in ("outer", "inner"):
            low, high = values[f"{name}_low"][at], values[f"{name}_high"][at]
            # a cell belongs to a band that holds its middle
            first, last = np.searchsorted((np.arange(ROWS) + 0.5) * top / ROWS, [low, high])
            for level in range(first, last):
                cells[ROWS - 1 - level][at] = name
        cells[_row(float(values["mean"][at]), top)][at] = "mean"
    for mark in picture.marks:
        if mark.co2_mg_l <= top:
            at = _column(mark.hour, picture.length_h, columns)
            cells[_row(mark.co2_mg_l, top)][at] = "mark"
    return cells


def _covered(picture: DayPicture, hours: FloatArray) -> FloatArray:
    if not picture.hours.size:
        return np.zeros(hours.size)
    inside: FloatArray = (hours >= picture.hours[0] - 0.1) & (hours <= picture.hours[-1] + 0.1)
    return inside


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
    on = np.zeros(columns, dtype=bool)
    for start, end in bar.spans:
        on |= (hours >= start) & (hours < end)
    line = Text(f"{bar.name:>{_MARGIN - 1}} ", style="dim", no_wrap=True)
    for lit in on:
        line.append(letters.on if lit else letters.off, style=_STYLE[bar.name] if lit else "dim")
    return line


def _key(picture: DayPicture, letters: Letters) -> Text:
    line = Text(" " * _MARGIN)
    parts = [("mean", "likeliest"), ("inner", "even chance"), ("outer", "nine in ten")]
    parts.append(("limit", f"animals' limit {picture.limit_mg_l:.3g} mg/L"))
    if picture.marks:
        parts.append(("mark", "a reading alone"))
    for name, says in parts:
        line.append(getattr(letters, name), style=_STYLE[name])
        line.append(f" {says}  ", style="dim")
    return line
