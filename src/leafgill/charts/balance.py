"""A tank's nutrients against time as a chart specification (Altair)."""

from __future__ import annotations

from typing import Any

import altair as alt

from leafgill.charts.balance_picture import BalancePicture, NutrientPanel
from leafgill.charts.dress import LIGHT, Look, dressed, rows_of

WIDTH, PANEL = 760, 110
_STRIP = 22
_KINDS = ("water changes", "doses")
# A chart narrower than this has room for every other date.
_NARROW = 420


def balance_chart(
    picture: BalancePicture,
    look: Look = LIGHT,
    width: int = WIDTH,
    panel: int = PANEL,
    padding: int = 20,
) -> Any:
    """Return the chart: a panel a nutrient, doses and water changes beneath.

    In each panel a band as things go on, a dashed line and its edges with the doses advised, floor
    and ceiling, and tests with what each allows alone.
    """
    rows = [_panel(picture, one, look, width, panel) for one in picture.panels]
    chart = alt.vconcat(*rows, _strip(picture, look, width), spacing=14)
    chart = chart.resolve_scale(x="independent", y="independent", shape="independent")
    return dressed(chart, picture.title, picture.subtitle, look, padding)


def _x(picture: BalancePicture, width: int, *, dates: bool) -> alt.X:
    ticks = picture.ticks if width >= _NARROW else picture.ticks[::2]
    # the chart's own numbers have a true minus
    said = ((f"{day:g}".replace("-", "\u2212"), text) for day, text in ticks)
    names = "{" + ",".join(f"'{day}':'{text}'" for day, text in said) + "}"
    axis = alt.Axis(
        values=[day for day, _ in ticks],
        labelExpr=f"({names})[format(datum.value, '~g')]",
        title=None,
        grid=True,
        labels=dates,
        ticks=dates,
        labelOverlap=False,
    )
    domain = [float(picture.days[0]), float(picture.days[-1])]
    return alt.X("day:Q", axis=axis, scale=alt.Scale(domain=domain, nice=False))


def _y(one: NutrientPanel, field: str) -> alt.Y:
    scale = alt.Scale(domain=[0.0, one.top_mg_l], nice=False, type="sqrt")
    axis = alt.Axis(title=None, tickCount=4, grid=False, minExtent=28, maxExtent=28)
    return alt.Y(f"{field}:Q", scale=scale, axis=axis)


def _panel(picture: BalancePicture, one: NutrientPanel, look: Look, width: int, height: int) -> Any:
    x = _x(picture, width, dates=False)
    layers = [
        *_bands(picture, one, look, x),
        *_levels(picture, one, look, x),
        *_now(picture, one, look, x),
        *_marks(one, look, x),
    ]
    name = f"{one.name[:1].upper()}{one.name[1:]}, mg/L"
    said = alt.TitleParams(name, anchor="start", fontSize=13, fontWeight=600, color=look.ink,
                           offset=4, frame="group")  # fmt: skip
    return alt.layer(*layers).properties(width=width, height=height, title=said)


def _bands(picture: BalancePicture, one: NutrientPanel, look: Look, x: alt.X) -> list[Any]:
    y = _y(one, "low")
    going = zip(picture.days, one.low, one.high, one.mean, strict=True)
    rows = [{"day": d, "low": a, "high": b, "mean": m} for d, a, b, m in going]
    ahead = picture.days >= 0.0
    lines = [
        {"day": d, "low": v, "line": name}
        for name, part in (
            ("middle", one.dosed_mean), ("low", one.dosed_low), ("high", one.dosed_high)
        )
        for d, v in zip(picture.days[ahead], part[ahead], strict=True)
    ]  # fmt: skip
    band = rows_of(rows).mark_area(color=look.outer, opacity=0.85, clip=True)
    middle = rows_of(rows).mark_line(color=look.line, strokeWidth=2, clip=True)
    dosed = rows_of(lines).mark_line(color=look.ink, strokeDash=[5, 3], clip=True)
    thick = alt.condition("datum.line == 'middle'", alt.value(2.0), alt.value(0.9))
    return [
        band.encode(x=x, y=y, y2="high:Q"),
        middle.encode(x=x, y=_y(one, "mean")),
        dosed.encode(x=x, y=y, detail="line:N", strokeWidth=thick),
    ]


def _levels(picture: BalancePicture, one: NutrientPanel, look: Look, x: alt.X) -> list[Any]:
    first = float(picture.days[0])
    y = _y(one, "low")
    layers = []
    for level, name, colour, dy in (
        (one.ceiling_mg_l, "ceiling", look.danger, -6),
        (one.floor_mg_l, "floor", look.faint, 9),
    ):
        row = [{"day": first, "low": level, "text": f"{name} {level:g}"}]
        rule = rows_of(row).mark_rule(color=colour, strokeDash=[8, 4], strokeWidth=1.5)
        label = rows_of(row).mark_text(color=colour, align="left", dx=4, dy=dy, fontSize=11)
        layers += [rule.encode(y=y), label.encode(x=x, y=y, text="text:N")]
    return layers


def _now(picture: BalancePicture, one: NutrientPanel, look: Look, x: alt.X) -> list[Any]:
    row = [{"day": 0.0, "low": one.top_mg_l, "text": "now"}]
    rule = rows_of(row).mark_rule(color=look.ink, strokeWidth=1)
    layers = [rule.encode(x=x)]
    if one is picture.panels[0]:
        label = rows_of(row).mark_text(color=look.ink, fontSize=12, dy=-8)
        layers.append(label.encode(x=x, y=_y(one, "low"), text="text:N"))
    return layers


def _marks(one: NutrientPanel, look: Look, x: alt.X) -> list[Any]:
    if not one.marks:
        return []
    rows = [
        {"day": m.days, "low": m.low, "high": min(m.high, one.top_mg_l), "mg_l": m.mg_l,
         "showed": m.shown, "beside the rest": "fits" if m.fits else "does not fit"}
        for m in one.marks
    ]  # fmt: skip
    bars = rows_of(rows).mark_rule(color=look.ink, strokeWidth=1, opacity=0.6)
    points = rows_of(rows).mark_point(
        filled=True, fill=look.paper, stroke=look.ink, strokeWidth=1.4, size=55, opacity=1.0
    )
    shape = alt.condition("datum['beside the rest'] == 'fits'", alt.value("circle"),
                          alt.value("cross"))  # fmt: skip
    return [
        bars.encode(x=x, y=_y(one, "low"), y2="high:Q"),
        points.encode(
            x=x, y=_y(one, "mg_l"), shape=shape, tooltip=["showed:N", "beside the rest:N"]
        ),
    ]


def _strip(picture: BalancePicture, look: Look, width: int) -> Any:
    """Return the rows of doses and water changes: full where done, hollow where to come."""
    x = _x(picture, width, dates=True)
    y = alt.Y(
        "kind:N",
        scale=alt.Scale(domain=list(_KINDS)),
        axis=alt.Axis(title=None, domain=False, ticks=False, labels=False, grid=False),
    )
    first = float(picture.days[0])
    names = [{"day": first, "kind": kind, "text": kind} for kind in _KINDS]
    rows = [
        {"day": d.days, "kind": d.kind, "what": d.words, "when": "done" if d.done else "to come"}
        for d in picture.deeds
    ]
    label = rows_of(names).mark_text(color=look.faint, align="left", dx=4, dy=-9, fontSize=11)
    layers = [label.encode(x=x, y=y, text="text:N")]
    for done, fill in ((True, look.line), (False, look.paper)):
        some = [row for row in rows if (row["when"] == "done") == done]
        if some:
            points = rows_of(some).mark_point(
                filled=True, fill=fill, stroke=look.line, strokeWidth=1.4, size=42, opacity=1.0,
                clip=True, yOffset=4,
            )  # fmt: skip
            layers.append(points.encode(x=x, y=y, tooltip=["what:N", "when:N"]))
    return alt.layer(*layers).properties(width=width, height=len(_KINDS) * (_STRIP + 8))
