"""What all charts have in common: colours of the two themes, titles, axes, rows of numbers."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import altair as alt


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


def dressed(chart: Any, title: str, subtitle: str, look: Look = LIGHT, padding: int = 20) -> Any:
    """Return a chart with its title, paper, fonts and axes; without a title there is no room."""
    if title:
        chart = chart.properties(
            title=alt.TitleParams(
                title,
                subtitle=subtitle,
                anchor="start",
                fontSize=19,
                fontWeight=600,
                subtitleFontSize=13,
                subtitlePadding=5,
                offset=14,
                color=look.ink,
                subtitleColor=look.faint,
            )
        )
    return (
        chart.properties(background=look.paper, padding=padding)
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


class _Rows(alt.InlineData):
    """Rows that are never changed: a chart made of charts need not copy them each time."""

    def __deepcopy__(self, memo: dict[int, Any] | None = None) -> _Rows:
        return self


def rows_of(rows: list[dict[str, Any]]) -> alt.Chart:
    """Return a chart of rows, each a dictionary of numbers and words."""
    values = [{key: _plain(value) for key, value in row.items()} for row in rows]
    return alt.Chart(_Rows(values=values))


def _plain(value: Any) -> Any:
    return value if isinstance(value, str) else round(float(value), 4)
