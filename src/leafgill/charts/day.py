"""One day's CO2 as a chart specification (Altair), for a page and for a file alike."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import altair as alt

from leafgill.charts.picture import DayPicture

WIDTH, HEIGHT, BAR_HEIGHT = 760, 340, 22
_SHAPES = {"electrode": "circle", "hand test": "square", "drop checker": "diamond"}
_NAMES = {"drop checker": "drop checker, less its lag"}


@dataclass(frozen=True)
class Look:
    """Colours of one theme; nothing is told by colour alone."""

    paper: str = "#ffffff"
    ink: str = "#1d2b33"
    faint: str = "#5b6b74"
    grid: str = "#e4eaed"
    inner: str = "#5f9fae"
    outer: str = "#bcd9df"
    line: str = "#1d5a6b"
    danger: str = "#a3262a"
    light: str = "#d9a92b"
    gas: str = "#1d5a6b"
    air: str = "#7d8d96"


LIGHT = Look()
DARK = Look("#10191e", "#e6eef1", "#9fb0b9", "#26343c", "#3f8393", "#244a55", "#9fd6e3",
            "#ff9a93", "#e2bb55", "#9fd6e3", "#8fa0a9")  # fmt: skip


def day_chart(picture: DayPicture, look: Look = LIGHT, width: int = WIDTH) -> Any:
    """Return the chart of a day: band, limit, readings, and beneath when light and gas are on."""
    parts: list[Any] = [_levels(picture, look, width)]
    if picture.bars:
        parts.append(_bars(picture, look, width))
    return (
        alt.vconcat(*parts, spacing=6)
        .resolve_scale(x="shared")
        .properties(
            title=alt.TitleParams(
                picture.title,
                subtitle=picture.subtitle,
                anchor="start",
                fontSize=19,
                fontWeight=600,
                subtitleFontSize=13,
                subtitlePadding=5,
                offset=14,
                color=look.ink,
                subtitleColor=look.faint,
            ),
            background=look.paper,
            padding=20,
        )
        .configure(font="system-ui, 'Segoe UI', 'Helvetica Neue', 'Noto Sans', sans-serif")
        .configure_view(strokeWidth=0)
        .configure_axis(
            labelColor=look.faint,
            titleColor=look.faint,
            gridColor=look.grid,
            domainColor=look.grid,
            tickColor=look.grid,
            labelFontSize=12,
            titleFontSize=12,
            titleFontWeight="normal",
        )
        .configure_legend(
            labelColor=look.faint,
            titleColor=look.faint,
            labelFontSize=12,
            titleFontSize=12,
            titleFontWeight="normal",
            titleLimit=400,
        )
    )


def _x(picture: DayPicture, *, labels: bool) -> alt.X:
    said = {f"{hour:g}": text for hour, text in picture.ticks}
    names = "{" + ",".join(f"'{hour}':'{text}'" for hour, text in said.items()) + "}"
    axis = alt.Axis(
        values=[hour for hour, _ in picture.ticks],
        labelExpr=f"({names})[format(datum.value, '~g')]",
        labels=labels,
        ticks=labels,
        domain=labels,
        title=None,
        grid=True,
    )
    scale = alt.Scale(domain=[0.0, picture.length_h], nice=False)
    return alt.X("hour:Q", axis=axis, scale=scale)


def _y(picture: DayPicture, field: str) -> alt.Y:
    scale = alt.Scale(domain=[0.0, picture.top_mg_l], nice=False)
    axis = alt.Axis(title="CO2, mg/L", tickCount=6)
    return alt.Y(f"{field}:Q", scale=scale, axis=axis)


def _levels(picture: DayPicture, look: Look, width: int) -> Any:
    x, y = _x(picture, labels=not picture.bars), _y(picture, "low")
    layers: list[Any] = []
    for low, high, colour in (
        (picture.outer_low, picture.outer_high, look.outer),
        (picture.inner_low, picture.inner_high, look.inner),
    ):
        rows = [
            {"hour": h, "low": a, "high": b}
            for h, a, b in zip(picture.hours, low, high, strict=True)
        ]
        layers.append(_of(rows).mark_area(color=colour, clip=True).encode(x=x, y=y, y2="high:Q"))
    line = [{"hour": h, "low": v} for h, v in zip(picture.hours, picture.mean, strict=True)]
    layers.append(_of(line).mark_line(color=look.line, strokeWidth=2, clip=True).encode(x=x, y=y))
    layers += _limit(picture, look, x, y)
    if picture.now_h is not None:
        layers += _now(picture, look, x, y)
    if picture.marks:
        layers += _marks(picture, look, x, y)
    return alt.layer(*layers).properties(width=width, height=HEIGHT)


def _limit(picture: DayPicture, look: Look, x: alt.X, y: alt.Y) -> list[Any]:
    layers = []
    for level, text, colour, dash in (
        (picture.target_mg_l, "aim", look.faint, [2, 3]),
        (picture.limit_mg_l, "animals' limit", look.danger, [8, 4]),
    ):
        if text == "aim" and level >= picture.limit_mg_l:
            continue
        row = [{"hour": 0.0, "low": level, "text": f"{text} {level:.3g} mg/L"}]
        rule = _of(row).mark_rule(color=colour, strokeDash=dash, strokeWidth=1.5)
        label = _of(row).mark_text(color=colour, align="left", dx=6, dy=-8, fontSize=12)
        layers += [rule.encode(y=y), label.encode(x=x, y=y, text="text:N")]
    return layers


def _now(picture: DayPicture, look: Look, x: alt.X, y: alt.Y) -> list[Any]:
    now = picture.now_h or 0.0
    row = [{"hour": now, "low": picture.top_mg_l, "text": "now", "ahead": "forecast"}]
    rule = _of(row).mark_rule(color=look.ink, strokeWidth=1)
    left = _of(row).mark_text(color=look.ink, fontSize=12, dy=-9, align="right", dx=-5)
    layers = [rule.encode(x=x), left.encode(x=x, y=y, text="text:N")]
    if now < picture.length_h - 2.5:
        right = _of(row).mark_text(
            color=look.ink, fontSize=12, dy=-9, align="left", dx=5, fontStyle="italic"
        )
        layers.append(right.encode(x=x, y=y, text="ahead:N"))
    return layers


def _marks(picture: DayPicture, look: Look, x: alt.X, y: alt.Y) -> list[Any]:
    rows = [
        {
            "hour": m.hour,
            "low": min(m.low, picture.top_mg_l),
            "high": min(m.high, picture.top_mg_l),
            "co2": m.co2_mg_l,
            "read with": _NAMES.get(m.kind, m.kind),
            "shown": m.shown,
        }
        for m in picture.marks
    ]
    kinds = [kind for kind in _SHAPES if any(m.kind == kind for m in picture.marks)]
    shape = alt.Shape(
        "read with:N",
        scale=alt.Scale(
            domain=[_NAMES.get(kind, kind) for kind in kinds],
            range=[_SHAPES[kind] for kind in kinds],
        ),
        legend=alt.Legend(
            orient="top",
            offset=8,
            title="one reading alone, nine in ten",
            titleOrient="left",
            labelLimit=300,
        ),
    )
    bars = _of(rows).mark_rule(color=look.ink, strokeWidth=1, opacity=0.55)
    points = _of(rows).mark_point(
        filled=True, fill=look.paper, stroke=look.ink, strokeWidth=1.4, size=52, opacity=1.0
    )
    return [
        bars.encode(x=x, y=y, y2="high:Q"),
        points.encode(x=x, y=_y(picture, "co2"), shape=shape, tooltip=["shown:N", "read with:N"]),
    ]


def _bars(picture: DayPicture, look: Look, width: int) -> Any:
    rows = [
        {"hour": start, "end": end, "name": bar.name}
        for bar in picture.bars
        for start, end in (bar.spans or ((0.0, 0.0),))
    ]
    names = [bar.name for bar in picture.bars]
    colours = {"light": look.light, "gas": look.gas, "air": look.air}
    return (
        _of(rows)
        .mark_bar(height=BAR_HEIGHT - 10, cornerRadius=2)
        .encode(
            x=_x(picture, labels=True),
            x2="end:Q",
            y=alt.Y(
                "name:N",
                sort=names,
                axis=alt.Axis(title=None, domain=False, ticks=False, labelPadding=8, grid=False),
            ),
            color=alt.Color(
                "name:N",
                scale=alt.Scale(domain=names, range=[colours.get(n, look.faint) for n in names]),
                legend=None,
            ),
        )
        .properties(width=width, height=BAR_HEIGHT * len(names))
    )


def _of(rows: list[dict[str, Any]]) -> alt.Chart:
    values = [{key: _plain(value) for key, value in row.items()} for row in rows]
    return alt.Chart(alt.InlineData(values=values))


def _plain(value: Any) -> Any:
    return value if isinstance(value, str) else round(float(value), 4)
