"""Disposable cartridges: small cylinders that are thrown away empty."""

import numpy as np

from leafgill.science.cited import Mark, Source
from leafgill.science.compiled import FloatArray
from leafgill.science.cylinder import water_capacity_l
from leafgill.science.fills import FILLS
from leafgill.science.gas_course import GasCourse, given_g, spent_days, spread
from leafgill.science.refuse import positive
from leafgill.science.surge import Course, Surge, surge

# Charges sold [g].
CARTRIDGE_SIZES_G = (12.0, 16.0, 25.0, 45.0, 74.0, 88.0, 95.0)
SIZES_SOURCE = Source("", Mark.PRACTICE)


def cartridge_course(
    charge_g: float,
    *,
    g_per_day: float,
    temperature_c: float = 22.0,
    set_gauge_bar: float = 1.0,
    back_gauge_bar: float = 0.2,
    regulator: str = "single-stage",
) -> GasCourse:
    """Follow one cartridge from new to empty behind its regulator and needle valve.

    A cylinder filled to 0.75 kg/L (FILLS["capsule"]), so full of liquid above 22.1 °C; its end is
    that of `surge`, with the flow set at `g_per_day` while it is new. Days are days of open valve.
    Raises ValueError for a charge or a flow of 0 or less, and as `surge` does.
    """
    positive("a charge", "g", charge_g)
    positive("a flow", "g/day", g_per_day)
    end = cartridge_surge(
        charge_g,
        g_per_day=g_per_day,
        temperature_c=temperature_c,
        set_gauge_bar=set_gauge_bar,
        back_gauge_bar=back_gauge_bar,
        regulator=regulator,
    )
    runs = [_run(course, g_per_day) for course in (end.middle, end.low, end.high)]
    left = [_left_g(end, course) for course in (end.middle, end.low, end.high)]
    grams = [charge_g - rest for rest in left]
    days = [
        spent_days(times, given_g(times, rate), total)
        for (times, rate), total in zip(runs, grams, strict=True)
    ]
    shared = np.unique(np.concatenate([times for times, _ in runs]))
    rates = [np.interp(shared, times, rate, right=0.0) for times, rate in runs]
    return GasCourse(
        "cartridge", spread(grams), spread(days), shared, spread(rates), shuts_at_night=True
    )


def cartridge_surge(
    charge_g: float,
    *,
    g_per_day: float | None = None,
    temperature_c: float = 22.0,
    set_gauge_bar: float = 1.0,
    back_gauge_bar: float = 0.2,
    regulator: str = "single-stage",
) -> Surge:
    """Flow against the setting as a cartridge empties: `surge` of a cylinder of its size."""
    charge_kg = charge_g * 1e-3
    return surge(
        float(water_capacity_l(charge_kg, FILLS["capsule"].kg_per_l)),
        temperature_c,
        charge_kg=charge_kg,
        set_gauge_bar=set_gauge_bar,
        back_gauge_bar=back_gauge_bar,
        regulator=regulator,
        g_per_day=g_per_day,
    )


def _run(course: Course, g_per_day: float) -> tuple[FloatArray, FloatArray]:
    """Times [d] and rates [g/day] while it flows."""
    assert course.days is not None  # cartridge_course always gives a rate
    flows = np.isfinite(course.days)
    return course.days[flows], g_per_day * course.flow_ratio[flows]


def _left_g(end: Surge, course: Course) -> float:
    """Mass [g] that no longer leaves."""
    return float(end.mass_g[course.flow_ratio > 0.0].min())
