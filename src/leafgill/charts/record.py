"""A longer record as a chart specification (Altair): pH above, bubbles a second beneath."""

from __future__ import annotations

from typing import Any

import altair as alt

from leafgill.charts.dress import LIGHT, Look, dressed, rows_of
from leafgill.charts.record_picture import RecordPicture

WIDTH, PH_HEIGHT, RATE_HEIGHT = 760, 240, 110
_SHAPES = {"electrode": "circle", "hand test": "square", "degassed sample": "triangle-up"}
# The least span of pH an axis shows: less would make mountains of an electrode's noise.
_LEAST_PH = 0.6


def record_chart(
    picture: RecordPicture, look: Look = LIGHT, width: int = WIDTH, padding: int = 20
) -> Any:
    """Return the chart of a record; a panel without anything to show is left out."""
    panels = []
    if picture.readings or picture.logged_low.size:
        panels.append(_ph(picture, look, width, last=not picture.rates))
    if picture.rates:
        panels.append(_rates(picture, look, width))
    chart = alt.vconcat(*panels, spacing=10).resolve_scale(x="shared", shape="independent")
    return dressed(chart, picture.title, picture.subtitle, look, padding)


def _x(picture: RecordPicture, *, labels: bool) -> alt.X:
    names = "{" + ",".join(f"'{day:g}':'{text}'" for day, text in picture.ticks) + "}"
    axis = alt.Axis(
        values=[day for day, _ in picture.ticks],
        labelExpr=f"({names})[format(datum.value, '~g')]",
        labels=labels,
        ticks=labels,
        domain=labels,
        title=None,
    )
    scale = alt.Scale(domain=[0.0, picture.length_days], nice=False)
    return alt.X("day:Q", axis=axis, scale=scale)


def _ends(picture: RecordPicture) -> list[float]:
    values = [r.value for r in picture.readings]
    values += [*picture.logged_low.tolist(), *picture.logged_high.tolist()]
    low, high = min(values), max(values)
    middle, half = (low + high) / 2.0, max(high - low, _LEAST_PH) / 2.0
    return [middle - 1.1 * half, middle + 1.1 * half]


def _ph(picture: RecordPicture, look: Look, width: int, *, last: bool) -> Any:
    x = _x(picture, labels=last)
    y = alt.Y("ph:Q", scale=alt.Scale(domain=_ends(picture), nice=True), title="pH")
    layers: list[Any] = []
    logged = [
        {"day": a, "to": b, "ph": low, "high": max(high, low + 0.005)}
        for a, b, low, high in zip(
            picture.logged_from,
            picture.logged_to,
            picture.logged_low,
            picture.logged_high,
            strict=True,
        )
    ]
    if logged:
        bars = rows_of(logged).mark_rect(color=look.inner)
        layers.append(bars.encode(x=x, x2="to:Q", y=y, y2="high:Q"))
    layers += _changes(picture, look, x)
    if picture.readings:
        layers.append(_readings(picture, look, x, y))
    return alt.layer(*layers).properties(width=width, height=PH_HEIGHT)


def _changes(picture: RecordPicture, look: Look, x: alt.X) -> list[Any]:
    if not picture.changes:
        return []
    rows = [{"day": day, "text": f"{percent:.3g} % changed"} for day, percent in picture.changes]
    rule = rows_of(rows).mark_rule(color=look.faint, strokeDash=[2, 3]).encode(x=x)
    few = len(rows) <= 8
    words = rows_of(rows if few else rows[:1]).mark_text(
        color=look.faint, align="left", dx=4, dy=9, fontSize=11
    )
    text = alt.Text("text:N") if few else alt.value("dotted lines: water changes")
    return [rule, words.encode(x=x, y=alt.value(0), text=text)]


def _readings(picture: RecordPicture, look: Look, x: alt.X, y: alt.Y) -> Any:
    rows = [{"day": r.day, "ph": r.value, "read with": r.kind} for r in picture.readings]
    kinds = [kind for kind in _SHAPES if any(r.kind == kind for r in picture.readings)]
    shape = alt.Shape(
        "read with:N",
        scale=alt.Scale(domain=kinds, range=[_SHAPES[kind] for kind in kinds]),
        legend=alt.Legend(orient="bottom", title="written down, read with"),
    )
    marks = rows_of(rows).mark_point(
        color=look.ink, fill=look.paper, size=44, strokeWidth=1.6, opacity=1.0
    )
    return marks.encode(x=x, y=y, shape=shape)


def _rates(picture: RecordPicture, look: Look, width: int) -> Any:
    rows = [{"day": a, "to": b, "rate": rate, "zero": 0.0} for a, b, rate in picture.rates]
    top = max(1.0, 1.15 * max(rate for _, _, rate in picture.rates))
    y = alt.Y("rate:Q", scale=alt.Scale(domain=[0.0, top], nice=True), title="bubbles/s set")
    chart = rows_of(rows).mark_rect(color=look.outer, stroke=look.line, strokeWidth=0.8)
    return chart.encode(x=_x(picture, labels=True), x2="to:Q", y=y, y2="zero:Q").properties(
        width=width, height=RATE_HEIGHT
    )
