"""A pressure hold as a chart specification (Altair)."""

from __future__ import annotations

from typing import Any

import altair as alt

from leafgill.charts.dress import LIGHT, Look, dressed, rows_of
from leafgill.charts.hold_picture import FloatArray, HoldPicture

WIDTH, HEIGHT = 760, 300


def hold_chart(picture: HoldPicture, look: Look = LIGHT, width: int = WIDTH) -> Any:
    """Return the chart: two readings against what a tight line would do."""
    x, y = _x(picture), _y(picture, "low")
    lines = [(picture.tight_bar, "if tight", look.line, [1, 0], 0)]
    if picture.walls_bar is not None:
        lines.append((picture.walls_bar, "with the hose's own loss", look.faint, [2, 3], 0))
    lines.append((picture.limit_bar, picture.limit_text, look.danger, [8, 4], 0))
    layers: list[Any] = []
    for values, text, colour, dash, dy in lines:
        layers += _line(picture, values, text, colour, dash, dy, x, y)
    layers += _marks(picture, look, x, y)
    if picture.wait_h is not None:
        layers += _wait(picture, look, x, y)
    chart = alt.layer(*layers).properties(width=width, height=HEIGHT)
    return dressed(chart, picture.title, picture.subtitle, look)


def _x(picture: HoldPicture) -> alt.X:
    axis = alt.Axis(title="hours since the first reading", grid=True, tickMinStep=1)
    # room on the right for the names of the lines
    last = 1.28 * float(picture.hours[-1])
    return alt.X("hour:Q", axis=axis, scale=alt.Scale(domain=[0.0, last], nice=False))


def _y(picture: HoldPicture, field: str) -> alt.Y:
    scale = alt.Scale(domain=list(picture.ends_bar), nice=False, zero=False)
    return alt.Y(f"{field}:Q", scale=scale, axis=alt.Axis(title="gauge, bar", tickCount=6))


def _line(
    picture: HoldPicture, values: FloatArray, text: str, colour: str, dash: list[int], dy: int,
    x: alt.X, y: alt.Y,
) -> list[Any]:  # fmt: skip
    rows = [{"hour": h, "low": v} for h, v in zip(picture.hours, values, strict=True)]
    end = [{**rows[-1], "text": text}]
    line = rows_of(rows).mark_line(color=colour, strokeWidth=2, strokeDash=dash, clip=True)
    label = rows_of(end).mark_text(color=colour, align="left", dx=6, fontSize=12, dy=dy)
    return [line.encode(x=x, y=y), label.encode(x=x, y=y, text="text:N")]


def _marks(picture: HoldPicture, look: Look, x: alt.X, y: alt.Y) -> list[Any]:
    rows = [
        {"hour": m.hours, "low": m.low_bar, "high": m.high_bar, "bar": m.bar, "shown": m.shown}
        for m in picture.marks
    ]
    bars = rows_of(rows).mark_rule(color=look.ink, strokeWidth=1.4, opacity=0.7)
    points = rows_of(rows).mark_point(
        filled=True, fill=look.paper, stroke=look.ink, strokeWidth=1.4, size=64, opacity=1.0
    )
    # the first is named above its mark, the second to its left, each on a patch of paper
    places: tuple[dict[str, Any], ...] = (
        {"align": "left", "dx": 9, "dy": -12}, {"align": "right", "dx": -9, "dy": 16},
    )  # fmt: skip
    patch: dict[str, Any] = {"stroke": look.paper, "strokeWidth": 5}
    words = [
        rows_of([row]).mark_text(color=look.ink, fontSize=12, **place, **under)
        for row, place in zip(rows, places, strict=True)
        for under in (patch, {})
    ]
    at = _y(picture, "bar")
    return [
        bars.encode(x=x, y=y, y2="high:Q"),
        points.encode(x=x, y=at),
        *(word.encode(x=x, y=at, text="shown:N") for word in words),
    ]


def _wait(picture: HoldPicture, look: Look, x: alt.X, y: alt.Y) -> list[Any]:
    row = [{"hour": picture.wait_h, "low": picture.ends_bar[1], "text": "read again here"}]
    rule = rows_of(row).mark_rule(color=look.ink, strokeWidth=1, strokeDash=[2, 2])
    label = rows_of(row).mark_text(color=look.ink, fontSize=12, dy=-9)
    return [rule.encode(x=x), label.encode(x=x, y=y, text="text:N")]
