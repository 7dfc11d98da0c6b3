"""The picture of a pressure hold: what a tight line would do, against what was read."""

from __future__ import annotations

import numpy as np

from leafgill.advise.leak_space import HIGH, TIGHT_G_DAY, Reading
from leafgill.advise.leak_test import LeakTest, density_at
from leafgill.answer.commission_said import loss, verdict
from leafgill.answer.explain import amount
from leafgill.charts.hold_picture import GaugeMark, HoldPicture
from leafgill.science.carbonate_readings import HALF_90
from leafgill.science.co2_fluid import STANDARD_BAR
from leafgill.science.co2_state import pressure_bar
from leafgill.science.compiled import FloatArray

_POINTS = 25


def picture_of(test: LeakTest, name: str) -> HoldPicture:
    """Return the picture of a hold of the tank called `name`."""
    hold = test.hold
    last = max(hold.hours, test.wait_h or 0.0)
    hours = np.linspace(0.0, last, _POINTS)
    walls = None
    if test.walls_g_day is not None:
        walls = _gauge(test, hours, test.walls_g_day.value)
    return HoldPicture(
        title=f"{name}: {verdict(test).split(' (')[0].lower()}",
        subtitle=f"Left for leaks {loss(test.leak_g_day)}, nine times in ten; closed volume "
        f"{amount(hold.volume_ml.value, 2)} mL.",
        hours=hours,
        tight_bar=_gauge(test, hours, 0.0),
        limit_bar=_gauge(test, hours, TIGHT_G_DAY),
        limit_text=f"{TIGHT_G_DAY:g} g/day",
        walls_bar=walls,
        marks=tuple(
            _mark(test, at, reading)
            for at, reading in ((0.0, hold.first), (hold.hours, hold.second))
        ),
        wait_h=test.wait_h,
    )


def _gauge(test: LeakTest, hours: FloatArray, g_day: float) -> FloatArray:
    """Return the gauge [bar] were so much lost a day at a steady rate, 0 where nothing is left."""
    hold = test.hold
    part = np.minimum(hours / hold.hours, 1.0)
    warmth = hold.first.temperature_c + part * (
        hold.second.temperature_c - hold.first.temperature_c
    )
    first = density_at(hold.first, thin=hold.side != HIGH)
    gone = g_day * hours / 24.0 / (hold.volume_ml.value * 1e-3)
    p = np.asarray(pressure_bar(np.maximum(first - gone, 0.0), warmth))
    gauge: FloatArray = np.maximum(p - STANDARD_BAR, 0.0)
    return gauge


def _mark(test: LeakTest, at_h: float, reading: Reading) -> GaugeMark:
    off = HALF_90 * test.reading_sd_bar
    shown = f"{amount(reading.gauge_bar)} bar, {amount(reading.temperature_c)} °C"
    return GaugeMark(
        at_h,
        reading.gauge_bar,
        max(reading.gauge_bar - off, 0.0),
        reading.gauge_bar + off,
        shown,
    )
