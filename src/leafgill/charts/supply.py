"""The gas in a cylinder against time as a chart specification (Altair)."""

from __future__ import annotations

from typing import Any

import altair as alt

from leafgill.charts.dress import LIGHT, Look, dressed, rows_of
from leafgill.charts.supply_picture import SupplyPicture

WIDTH, HEIGHT = 760, 340
# Words in the middle of a span fit up to this part of the width.
_WIDE = 0.78
_SHAPES = {"scale": "square", "gauge": "diamond"}


def supply_chart(picture: SupplyPicture, look: Look = LIGHT, width: int = WIDTH) -> Any:
    """Return the chart: band of gas left, readings, the end of the liquid, when to change."""
    x, y = _x(picture), _y(picture, "low")
    layers = [
        *_change(picture, look, x, y),
        *_band(picture, look, x, y),
        *_levels(picture, look, x, y),
        *_now(picture, look, x, y),
        *_marks(picture, look, x, y),
    ]
    chart = alt.layer(*layers).properties(width=width, height=HEIGHT)
    return dressed(chart, picture.title, picture.subtitle, look)


def _x(picture: SupplyPicture) -> alt.X:
    # the chart's own numbers have a true minus
    said = ((f"{day:g}".replace("-", "\u2212"), text) for day, text in picture.ticks)
    names = "{" + ",".join(f"'{day}':'{text}'" for day, text in said) + "}"
    axis = alt.Axis(
        values=[day for day, _ in picture.ticks],
        labelExpr=f"({names})[format(datum.value, '~g')]",
        title=None,
        grid=True,
        labelOverlap=False,
    )
    domain = [float(picture.days[0]), float(picture.days[-1])]
    return alt.X("day:Q", axis=axis, scale=alt.Scale(domain=domain, nice=False))


def _y(picture: SupplyPicture, field: str) -> alt.Y:
    scale = alt.Scale(domain=[0.0, picture.top_kg], nice=False)
    return alt.Y(f"{field}:Q", scale=scale, axis=alt.Axis(title="gas left, kg", tickCount=6))


def _band(picture: SupplyPicture, look: Look, x: alt.X, y: alt.Y) -> list[Any]:
    rows = [
        {"day": d, "low": a, "high": b}
        for d, a, b in zip(picture.days, picture.low_kg, picture.high_kg, strict=True)
    ]
    line = [{"day": d, "low": m} for d, m in zip(picture.days, picture.middle_kg, strict=True)]
    area = rows_of(rows).mark_area(color=look.outer, opacity=0.85, clip=True)
    middle = rows_of(line).mark_line(color=look.line, strokeWidth=2, clip=True)
    return [area.encode(x=x, y=y, y2="high:Q"), middle.encode(x=x, y=y)]


def _levels(picture: SupplyPicture, look: Look, x: alt.X, y: alt.Y) -> list[Any]:
    last = float(picture.days[-1])
    # the liquid goes above where it is changed, so one label stands above and one beneath
    levels = [(picture.last_liquid_kg, "below this the gauge falls", look.faint, [2, 3], -8)]
    if picture.change_kg is not None:
        levels.append((picture.change_kg, "change it by here", look.danger, [8, 4], 11))
    layers = []
    for level, text, colour, dash, dy in levels:
        row = [{"day": last, "low": level, "text": text}]
        rule = rows_of(row).mark_rule(color=colour, strokeDash=dash, strokeWidth=1.5)
        label = rows_of(row).mark_text(color=colour, align="right", dx=-6, dy=dy, fontSize=12)
        layers += [rule.encode(y=y), label.encode(x=x, y=y, text="text:N")]
    return layers


def _change(picture: SupplyPicture, look: Look, x: alt.X, y: alt.Y) -> list[Any]:
    """Draw the days in which the cylinder is to be changed, named at both ends."""
    early, late = picture.change_days
    top, last = picture.top_kg, float(picture.days[-1])
    early, late = min(early, last), min(late, last)
    row = [{"day": early, "end": late, "low": 0.0, "high": top}]
    span = rows_of(row).mark_rect(color=look.light, opacity=0.14, clip=True)
    layers = [span.encode(x=x, x2="end:Q", y=y, y2="high:Q")]
    said = f"change between {picture.change_dates[0]} and {picture.change_dates[1]}"
    middle, first = 0.5 * (early + late), float(picture.days[0])
    # near the right end the words would leave the chart
    near = middle > first + _WIDE * (last - first)
    at = late if near else middle
    align: Any = "right" if near else "center"
    words = [{"day": at, "low": top, "text": said}]
    label = rows_of(words).mark_text(color=look.ink, fontSize=12, dy=12, align=align)
    return [*layers, label.encode(x=x, y=y, text="text:N")]


def _now(picture: SupplyPicture, look: Look, x: alt.X, y: alt.Y) -> list[Any]:
    row = [{"day": 0.0, "low": picture.top_kg, "text": "now"}]
    rule = rows_of(row).mark_rule(color=look.ink, strokeWidth=1)
    label = rows_of(row).mark_text(color=look.ink, fontSize=12, dy=-9)
    return [rule.encode(x=x), label.encode(x=x, y=y, text="text:N")]


def _marks(picture: SupplyPicture, look: Look, x: alt.X, y: alt.Y) -> list[Any]:
    if not picture.marks:
        return []
    top = picture.top_kg
    rows = [
        {"day": m.days, "low": min(m.low_kg, top), "high": min(m.high_kg, top), "kg": m.kg,
         "read with": m.kind, "shown": m.shown}
        for m in picture.marks
    ]  # fmt: skip
    kinds = [kind for kind in _SHAPES if any(m.kind == kind for m in picture.marks)]
    shape = alt.Shape(
        "read with:N",
        scale=alt.Scale(domain=kinds, range=[_SHAPES[kind] for kind in kinds]),
        legend=alt.Legend(
            orient="bottom", offset=10, title="one reading alone, nine in ten", titleOrient="left"
        ),
    )
    bars = rows_of(rows).mark_rule(color=look.ink, strokeWidth=1, opacity=0.55)
    points = rows_of(rows).mark_point(
        filled=True, fill=look.paper, stroke=look.ink, strokeWidth=1.4, size=60, opacity=1.0
    )
    return [
        bars.encode(x=x, y=y, y2="high:Q"),
        points.encode(x=x, y=_y(picture, "kg"), shape=shape, tooltip=["shown:N", "read with:N"]),
    ]
