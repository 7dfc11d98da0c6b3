"""Oxygen through a night as a chart specification (Altair)."""

from __future__ import annotations

from typing import Any

import altair as alt

from leafgill.charts.dress import LIGHT, Look, dressed, rows_of
from leafgill.charts.night_picture import NightPicture

WIDTH, HEIGHT = 760, 220
# Below this width [px] the axis has no title: the page around the chart says what it is of.
_NARROW = 480


def night_chart(
    picture: NightPicture,
    look: Look = LIGHT,
    width: int = WIDTH,
    height: int = HEIGHT,
    padding: int = 20,
) -> Any:
    """Return the chart: the dark hours, the band of oxygen, its lowest point, the minimum."""
    x, y = _x(picture), _y(picture, "low", title=width >= _NARROW)
    layers = [
        *_dark(picture, look, x),
        *_band(picture, look, x, y),
        *_least(picture, look, x, y),
        *_lowest(picture, look, x, y),
    ]
    chart = alt.layer(*layers).properties(width=width, height=height)
    return dressed(chart, picture.title, picture.subtitle, look, padding)


def _x(picture: NightPicture) -> alt.X:
    names = "{" + ",".join(f"'{hour:.2f}':'{text}'" for hour, text in picture.ticks) + "}"
    axis = alt.Axis(
        values=[round(hour, 2) for hour, _ in picture.ticks],
        labelExpr=f"({names})[format(datum.value, '.2f')]",
        title=None,
        grid=True,
    )
    scale = alt.Scale(domain=[0.0, picture.length_h], nice=False)
    return alt.X("hour:Q", axis=axis, scale=scale)


def _y(picture: NightPicture, field: str, *, title: bool) -> alt.Y:
    scale = alt.Scale(domain=[0.0, picture.top_mg_l], nice=False)
    return alt.Y(
        f"{field}:Q", scale=scale, axis=alt.Axis(title="O2, mg/L" if title else None, tickCount=5)
    )


def _dark(picture: NightPicture, look: Look, x: alt.X) -> list[Any]:
    if not picture.dark:
        return []
    rows = [{"hour": start, "end": end, "text": "dark"} for start, end in picture.dark]
    shade = rows_of(rows).mark_rect(color=look.grid, opacity=0.75)
    longest = max(range(len(rows)), key=lambda k: picture.dark[k][1] - picture.dark[k][0])
    word = rows_of([rows[longest]]).mark_text(
        color=look.faint, fontSize=12, align="left", baseline="bottom", dx=6, dy=-6
    )
    foot = alt.value("height")
    return [
        shade.encode(x=x, x2="end:Q"),
        word.encode(x=x, y=foot, text="text:N"),
    ]


def _band(picture: NightPicture, look: Look, x: alt.X, y: alt.Y) -> list[Any]:
    rows = [
        {"hour": h, "low": a, "high": b}
        for h, a, b in zip(picture.hours, picture.low, picture.high, strict=True)
    ]
    line = [{"hour": h, "low": v} for h, v in zip(picture.hours, picture.mean, strict=True)]
    area = rows_of(rows).mark_area(color=look.outer, clip=True, opacity=0.9)
    middle = rows_of(line).mark_line(color=look.line, strokeWidth=2, clip=True)
    return [area.encode(x=x, y=y, y2="high:Q"), middle.encode(x=x, y=y)]


def _least(picture: NightPicture, look: Look, x: alt.X, y: alt.Y) -> list[Any]:
    text = f"animals' minimum {picture.least_mg_l:.3g} mg/L"
    row = [{"hour": 0.0, "low": picture.least_mg_l, "text": text}]
    rule = rows_of(row).mark_rule(color=look.danger, strokeDash=[8, 4], strokeWidth=1.5)
    label = rows_of(row).mark_text(color=look.danger, align="left", dx=6, dy=11, fontSize=12)
    return [rule.encode(y=y), label.encode(x=x, y=y, text="text:N")]


def _lowest(picture: NightPicture, look: Look, x: alt.X, y: alt.Y) -> list[Any]:
    hour, mean, low, high = picture.lowest
    row = [{"hour": hour, "low": mean, "from": low, "to": high, "text": f"lowest {mean:.2g}"}]
    # beside the end of the plane the word stands on the other side of its point
    late = hour > 0.72 * picture.length_h
    point = rows_of(row).mark_point(
        filled=True, fill=look.paper, stroke=look.ink, strokeWidth=1.6, size=60, opacity=1.0
    )
    word = rows_of(row).mark_text(
        color=look.ink, fontSize=12, align="right" if late else "left", dx=-4 if late else 4, dy=20
    )
    return [point.encode(x=x, y=y), word.encode(x=x, y=y, text="text:N")]
