"""A rig as a chart specification (Altair): how long cylinders last, and each source's day."""

from __future__ import annotations

from typing import Any

import altair as alt

from leafgill.charts.dress import LIGHT, Look, dressed, rows_of
from leafgill.charts.rig_picture import RigPicture

WIDTH, HEIGHT, ROW = 760, 300, 26
# Lines are told apart by their dash and by the label beside them, not by colour alone.
_DASHES = ([1, 0], [8, 3], [2, 3], [10, 3, 2, 3])
_DAY_H = 24.0
_MONTHS = (
    0.01,
    0.025,
    0.05,
    0.1,
    0.25,
    0.5,
    1.0,
    2.0,
    3.0,
    6.0,
    12.0,
    24.0,
    48.0,
    96.0,
    192.0,
    384.0,
    768.0,
)


def rig_chart(picture: RigPicture, look: Look = LIGHT, width: int = WIDTH) -> Any:
    """Return the chart: above how long each cylinder lasts, below the day of each source."""
    chart = alt.vconcat(
        _lasting(picture, look, width),
        _days(picture, look, width),
        _bars(picture, look, width),
        spacing=14,
    ).resolve_scale(x="independent", color="independent", strokeDash="independent")
    return dressed(chart, picture.title, picture.subtitle, look)


def _lasting(picture: RigPicture, look: Look, width: int) -> Any:
    rows = [
        {
            "name": f"{'> ' if one.chosen else ''}{one.name}{f', {one.note}' if one.note else ''}",
            "months": one.months,
            "low": one.low,
            "high": one.high,
        }
        for one in picture.cylinders
    ]
    least = min(one.low for one in picture.cylinders)
    most = max(one.high for one in picture.cylinders)
    ticks = [m for m in _MONTHS if 0.6 * least <= m <= 1.6 * most] or [least, most]
    domain = [min(0.8 * least, ticks[0]), max(1.25 * most, ticks[-1])]
    x = alt.X(
        "low:Q",
        scale=alt.Scale(type="log", domain=domain, nice=False),
        axis=alt.Axis(values=ticks, format="~g", title="months one filling lasts", grid=True),
    )
    y = alt.Y(
        "name:N",
        sort=[str(row["name"]) for row in rows],
        axis=alt.Axis(title=None, domain=False, ticks=False, labelPadding=8, labelLimit=260),
    )
    bar = rows_of(rows).mark_bar(color=look.outer, height=12, cornerRadius=2)
    middle = rows_of(rows).mark_tick(color=look.line, thickness=3, size=18)
    words = [{**row, "text": _two_digits(row["months"])} for row in rows]
    label = rows_of(words).mark_text(color=look.ink, dy=-1, dx=4, align="left", fontSize=12)
    return alt.layer(
        bar.encode(x=x, x2="high:Q", y=y),
        middle.encode(x=alt.X("months:Q"), y=y),
        label.encode(x=alt.X("high:Q"), y=y, text="text:N"),
    ).properties(width=width, height=ROW * len(rows))


def _two_digits(months: Any) -> str:
    return f"{months:.0f}" if months >= 10.0 else f"{months:.2g}"


def _days(picture: RigPicture, look: Look, width: int) -> Any:
    x, y = _hours(labels=False), _level(picture)
    layers: list[Any] = []
    for day in picture.days:
        if day.low is None or day.high is None:
            continue
        rows = [
            {"hour": h, "low": a, "high": b}
            for h, a, b in zip(day.hours, day.low, day.high, strict=True)
        ]
        area = rows_of(rows).mark_area(color=look.outer, opacity=0.85, clip=True)
        layers.append(area.encode(x=x, y=y, y2="high:Q"))
    names = [day.name for day in picture.days]
    colours = [look.line, look.danger, look.light, look.air][: len(names)]
    dash = alt.StrokeDash(
        "source:N",
        scale=alt.Scale(domain=names, range=list(_DASHES[: len(names)])),
        legend=_legend(),
    )
    rows = [
        {"hour": h, "low": v, "source": day.name}
        for day in picture.days
        for h, v in zip(day.hours, day.middle, strict=True)
    ]
    colour = alt.Color("source:N", scale=alt.Scale(domain=names, range=colours), legend=_legend())
    line = rows_of(rows).mark_line(strokeWidth=2.2, clip=True)
    layers.append(line.encode(x=x, y=y, strokeDash=dash, color=colour))
    layers += _lines(picture, look, x, y)
    return alt.layer(*layers).properties(width=width, height=HEIGHT)


def _legend() -> alt.Legend:
    return alt.Legend(
        orient="top", title=None, labelLimit=340, symbolSize=900, symbolStrokeWidth=2.2, columns=2
    )


def _lines(picture: RigPicture, look: Look, x: alt.X, y: alt.Y) -> list[Any]:
    layers = []
    for level, text, colour, dash in (
        (picture.target_mg_l, "aim", look.faint, [2, 3]),
        (picture.limit_mg_l, "limit", look.danger, [8, 4]),
    ):
        if text == "aim" and level >= picture.limit_mg_l:
            continue
        # beside the day, where no line runs through it
        row = [{"hour": _DAY_H, "low": level, "text": f"{text} {level:.3g}"}]
        rule = rows_of(row).mark_rule(color=colour, strokeDash=dash, strokeWidth=1.2)
        label = rows_of(row).mark_text(color=colour, align="left", dx=6, fontSize=12)
        layers += [rule.encode(y=y), label.encode(x=x, y=y, text="text:N")]
    return layers


def _bars(picture: RigPicture, look: Look, width: int) -> Any:
    rows = [
        {"hour": start, "end": end, "name": bar.name}
        for bar in picture.bars
        for start, end in (bar.spans or ((0.0, 0.0),))
    ]
    names = [bar.name for bar in picture.bars]
    y = alt.Y(
        "name:N",
        sort=names,
        axis=alt.Axis(title=None, domain=False, ticks=False, labelPadding=8, grid=False,
                      labelLimit=260),
    )  # fmt: skip
    colour = alt.Color(
        "name:N",
        scale=alt.Scale(domain=names, range=[look.light, look.gas, look.air][: len(names)]),
        legend=None,
    )
    return (
        rows_of(rows)
        .mark_bar(height=12, cornerRadius=2)
        .encode(x=_hours(labels=True), x2="end:Q", y=y, color=colour)
        .properties(width=width, height=22 * len(names))
    )


def _hours(*, labels: bool) -> alt.X:
    axis = alt.Axis(
        values=list(range(0, 25, 3)),
        labelExpr="(datum.value < 10 ? '0' : '') + datum.value + ':00'",
        labels=labels,
        ticks=labels,
        domain=labels,
        title=None,
        grid=True,
    )
    return alt.X("hour:Q", axis=axis, scale=alt.Scale(domain=[0.0, _DAY_H], nice=False))


def _level(picture: RigPicture) -> alt.Y:
    scale = alt.Scale(domain=[0.0, picture.top_mg_l], nice=False)
    return alt.Y("low:Q", scale=scale, axis=alt.Axis(title="CO2, mg/L", tickCount=6))
