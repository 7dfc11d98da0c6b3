"""One day's CO2 as a chart specification (Altair), for a page and for a file alike."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import altair as alt

from leafgill.charts.dress import DARK, LIGHT, Look, dressed, rows_of
from leafgill.charts.picture import DayPicture

__all__ = ["DARK", "LIGHT", "Look", "day_chart"]

WIDTH, HEIGHT, BAR_HEIGHT = 760, 340, 22
_SHAPES = {"electrode": "circle", "hand test": "square", "drop checker": "diamond"}
_NAMES = {"drop checker": "drop checker, less its lag"}
# Below this width [px] words that stand beside the chart on a page are left out of it.
_NARROW = 480


def day_chart(
    picture: DayPicture,
    look: Look = LIGHT,
    width: int = WIDTH,
    height: int = HEIGHT,
    padding: int = 20,
    *,
    pointed: bool = False,
) -> Any:
    """Return the chart of a day: band, limit, readings, and beneath when light and gas are on.

    `width` and `height` [px] are those of the plane alone. A narrow one does not name its axis, and
    names every other hour; without a title what the marks' bars mean is left to the page, too. A
    `pointed` one has a line that follows the pointer, with the figures there in words; it takes a
    page with a script.
    """
    clocks = picture.ticks
    if width < _NARROW:
        picture = replace(picture, ticks=_every_other(picture.ticks))
    levels = _levels(picture, look, width, height)
    if pointed and picture.hours.size:
        levels = alt.layer(levels, _pointer(picture, look, clocks, width, height))
    parts: list[Any] = [levels]
    if picture.bars:
        parts.append(_bars(picture, look, width))
    chart = alt.vconcat(*parts, spacing=6).resolve_scale(x="shared")
    return dressed(chart, picture.title, picture.subtitle, look, padding)


def _every_other(ticks: tuple[tuple[float, str], ...]) -> tuple[tuple[float, str], ...]:
    return tuple(tick for tick in ticks if int(tick[1][:2]) % 6 == 0)


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


def _y(picture: DayPicture, field: str, *, title: bool = True) -> alt.Y:
    scale = alt.Scale(domain=[0.0, picture.top_mg_l], nice=False)
    axis = alt.Axis(title="CO2, mg/L" if title else None, tickCount=6)
    return alt.Y(f"{field}:Q", scale=scale, axis=axis)


def _levels(picture: DayPicture, look: Look, width: int, height: int) -> Any:
    narrow = width < _NARROW
    x, y = _x(picture, labels=not picture.bars), _y(picture, "low", title=not narrow)
    layers: list[Any] = []
    for low, high, colour in (
        (picture.outer_low, picture.outer_high, look.outer),
        (picture.inner_low, picture.inner_high, look.inner),
    ):
        rows = [
            {"hour": h, "low": a, "high": b}
            for h, a, b in zip(picture.hours, low, high, strict=True)
        ]
        layers.append(
            rows_of(rows).mark_area(color=colour, clip=True).encode(x=x, y=y, y2="high:Q")
        )
    line = [{"hour": h, "low": v} for h, v in zip(picture.hours, picture.mean, strict=True)]
    layers.append(
        rows_of(line).mark_line(color=look.line, strokeWidth=2, clip=True).encode(x=x, y=y)
    )
    layers += _limit(picture, look, x, y)
    if picture.now_h is not None:
        layers += _now(picture, look, x, y)
    if picture.marks:
        layers += _marks(picture, look, x, y, narrow=narrow)
    return alt.layer(*layers).properties(width=width, height=height)


def _pointer(
    picture: DayPicture, look: Look, clocks: tuple[tuple[float, str], ...], width: int, height: int
) -> Any:
    """Return a line at the hour that is pointed at; what it is there stands below in words."""
    series = (picture.hours, picture.mean, picture.outer_low, picture.outer_high)
    rows = [
        {"hour": h, "text": f"{_clock(h, clocks)}: {mean:.3g} mg/L, {low:.3g} to {high:.3g}"}
        for h, mean, low, high in zip(*series, strict=True)
    ]
    at = alt.selection_point(
        name="pointed", on="pointermove", nearest=True, fields=["hour"], empty=False,
        clear="pointerout",
    )  # fmt: skip
    x = alt.X("hour:Q")
    near = rows_of(rows).mark_rule(color=look.ink, strokeDash=[2, 2]).encode(
        x=x, opacity=alt.condition(at, alt.value(1.0), alt.value(0.0))
    ).add_params(at)  # fmt: skip
    patch: dict[str, Any] = {"stroke": look.paper, "strokeWidth": 6}
    # in the middle, where it never runs out of the plane
    middle = alt.value(width / 2.0)
    words = [
        rows_of(rows)
        .mark_text(color=look.ink, fontSize=13, fontWeight=600, baseline="bottom", **under)
        .encode(x=middle, y=alt.value(height - 6), text="text:N")
        .transform_filter(at)
        for under in (patch, {})
    ]
    return alt.layer(near, *words)


def _clock(hour: float, clocks: tuple[tuple[float, str], ...]) -> str:
    """Return what the clock shows at an hour since midnight, by the last tick before it."""
    since, text = next(tick for tick in reversed(clocks) if tick[0] <= hour + 1e-6)
    minutes = round(60.0 * (int(text[:2]) + hour - since))
    return f"{minutes // 60:02d}:{minutes % 60:02d}"


def _limit(picture: DayPicture, look: Look, x: alt.X, y: alt.Y) -> list[Any]:
    layers = []
    for level, text, colour, dash in (
        (picture.target_mg_l, "aim", look.faint, [2, 3]),
        (picture.limit_mg_l, "animals' limit", look.danger, [8, 4]),
    ):
        if text == "aim" and level >= picture.limit_mg_l:
            continue
        row = [{"hour": 0.0, "low": level, "text": f"{text} {level:.3g} mg/L"}]
        rule = rows_of(row).mark_rule(color=colour, strokeDash=dash, strokeWidth=1.5)
        label = rows_of(row).mark_text(color=colour, align="left", dx=6, dy=-8, fontSize=12)
        layers += [rule.encode(y=y), label.encode(x=x, y=y, text="text:N")]
    return layers


def _now(picture: DayPicture, look: Look, x: alt.X, y: alt.Y) -> list[Any]:
    now = picture.now_h or 0.0
    row = [{"hour": now, "low": picture.top_mg_l, "text": "now", "ahead": "forecast"}]
    rule = rows_of(row).mark_rule(color=look.ink, strokeWidth=1)
    left = rows_of(row).mark_text(color=look.ink, fontSize=12, dy=-9, align="right", dx=-5)
    layers = [rule.encode(x=x), left.encode(x=x, y=y, text="text:N")]
    if now < picture.length_h - 2.5:
        right = rows_of(row).mark_text(
            color=look.ink, fontSize=12, dy=-9, align="left", dx=5, fontStyle="italic"
        )
        layers.append(right.encode(x=x, y=y, text="ahead:N"))
    return layers


def _marks(picture: DayPicture, look: Look, x: alt.X, y: alt.Y, *, narrow: bool) -> list[Any]:
    rows = [
        {
            "hour": m.hour,
            "low": min(m.low, picture.top_mg_l),
            "high": min(m.high, picture.top_mg_l),
            "co2": m.co2_mg_l,
            "read with": m.kind if narrow else _NAMES.get(m.kind, m.kind),
            "shown": m.shown,
        }
        for m in picture.marks
    ]
    kinds = [kind for kind in _SHAPES if any(m.kind == kind for m in picture.marks)]
    names = {kind: kind if narrow else _NAMES.get(kind, kind) for kind in kinds}
    shape = alt.Shape(
        "read with:N",
        scale=alt.Scale(
            domain=list(names.values()),
            range=[_SHAPES[kind] for kind in kinds],
        ),
        legend=alt.Legend(
            orient="top",
            offset=8,
            title="one reading alone, nine in ten" if picture.title else None,
            columnPadding=18,
            titleOrient="left",
            labelLimit=300,
        ),
    )
    at = _y(picture, "co2", title=not narrow)
    bars = rows_of(rows).mark_rule(color=look.ink, strokeWidth=1, opacity=0.55)
    points = rows_of(rows).mark_point(
        filled=True, fill=look.paper, stroke=look.ink, strokeWidth=1.4, size=52, opacity=1.0
    )
    return [
        bars.encode(x=x, y=y, y2="high:Q"),
        points.encode(
            x=x,
            y=at,
            shape=shape,
            tooltip=["shown:N", "read with:N"],
        ),
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
        rows_of(rows)
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
