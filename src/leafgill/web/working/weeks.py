"""The picture of nutrients through the weeks as plain lists, and back."""

from __future__ import annotations

from dataclasses import asdict, fields
from typing import Any

import numpy as np

from leafgill.charts.balance_picture import BalancePicture, Deed, NutrientPanel, TestMark

_BANDS = ("mean", "low", "high", "dosed_mean", "dosed_low", "dosed_high")


def weeks_json(picture: BalancePicture) -> dict[str, Any]:
    """Return a picture as lists, numbers and words."""
    return {
        "title": picture.title,
        "subtitle": picture.subtitle,
        "days": np.round(picture.days, 4).tolist(),
        "panels": [_panel_json(panel) for panel in picture.panels],
        "deeds": [asdict(deed) for deed in picture.deeds],
        "ticks": [list(tick) for tick in picture.ticks],
    }


def _panel_json(panel: NutrientPanel) -> dict[str, Any]:
    plain = {field.name: getattr(panel, field.name) for field in fields(panel)}
    for name in _BANDS:
        # traces are thousandths of a mg/L
        plain[name] = [float(f"{value:.4g}") for value in plain[name]]
    plain["marks"] = [asdict(mark) for mark in panel.marks]
    return plain


def weeks_from(told: dict[str, Any]) -> BalancePicture:
    """Return the picture that `weeks_json` told, to be drawn."""
    return BalancePicture(
        title=told["title"],
        subtitle=told["subtitle"],
        days=np.array(told["days"], dtype=np.float64),
        panels=tuple(_panel_from(panel) for panel in told["panels"]),
        deeds=tuple(Deed(**deed) for deed in told["deeds"]),
        ticks=tuple((day, text) for day, text in told["ticks"]),
    )


def _panel_from(told: dict[str, Any]) -> NutrientPanel:
    plain = dict(told)
    for name in _BANDS:
        plain[name] = np.array(plain[name], dtype=np.float64)
    plain["marks"] = tuple(TestMark(**mark) for mark in plain["marks"])
    return NutrientPanel(**plain)
