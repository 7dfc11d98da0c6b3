"""One nutrient as it is told: where it stands, what comes and goes, and the weeks ahead."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from leafgill.advise.balance import kernel
from leafgill.advise.balance.joint import log_chance
from leafgill.advise.balance.limit import spoken_of
from leafgill.advise.balance.nutrients import CARBON_PERCENT, NUTRIENTS, Nutrient, ceiling_of
from leafgill.advise.balance.read_tests import KitReading
from leafgill.advise.balance.result import NutrientOutlook, SeenTest, Target
from leafgill.advise.balance.season import Season
from leafgill.advise.drawn import figure, given, range_of
from leafgill.advise.figure import Figure, Input
from leafgill.estimate.belief import Band, band
from leafgill.science.compiled import FloatArray
from leafgill.tank.clock import DAY_S

# A test less likely than this beside the rest was misread, or of something else.
_FITS_FROM = 0.05
_DOUBT_SD = 2.0
# The flows of a week are the mean of so many weeks ahead.
_FLOW_NAMES = {
    "plants": (kernel.PLANTS, "taken by the plants"),
    "other": (None, "from mulm and soil, less what bacteria and soil take"),
    "tap": (kernel.CHANGED, "by water changes"),
    "dose": (kernel.DOSED, "by doses"),
}
_MODEL = "mass balance of the tank's water (docs/theory.md, Nutrients)"


def target_of(season: Season, nutrient: Nutrient) -> Target:
    """Return where a nutrient is to stay in this tank."""
    ceiling, why = ceiling_of(nutrient, season.tank.livestock.kinds)
    basis = f"floor: {nutrient.floor_basis}; ceiling: {why}"
    return Target(nutrient.floor_mg_l, ceiling, basis)


def outlook_of(season: Season, key: str, doses_mg_l: FloatArray) -> NutrientOutlook:
    """Return the outlook of a nutrient; `doses_mg_l` [n] are those advised, by step ahead."""
    nutrient = NUTRIENTS[key]
    going, flows = season.going_on(key)
    advised, _ = season.ahead.course(season.joint, key, season.now_mg_l(key), doses_mg_l)
    target = target_of(season, nutrient)
    edges = season.ahead.grid.edges_s
    short, over = going < target.floor_mg_l, going > target.ceiling_mg_l
    inputs = _inputs(season, nutrient)
    later = np.flatnonzero(short.mean(axis=0) > 0.5)
    return NutrientOutlook(
        key=key,
        name=nutrient.name,
        symbol=nutrient.symbol,
        trace=nutrient.trace,
        now=figure(
            f"{key}_mg_l", f"{nutrient.name} now", season.now_mg_l(key), "mg/L",
            "dc/dt = comes - loss · c - need · c / (K + c), with changes and doses", inputs, _MODEL,
        ),
        target=target,
        demand=_demand(season, nutrient),
        week=_week(season, nutrient, flows),
        times_s=_times(season),
        as_now=_banded(season, key, going),
        dosed=_banded(season, key, advised),
        p_short=_chance(key, "short", nutrient, short, target.floor_mg_l, inputs),
        p_over=_chance(key, "over", nutrient, over, target.ceiling_mg_l, inputs),
        short_from_s=float(edges[later[0]]) if later.size else None,
        tests=tuple(_seen(season, test) for test in season.tests if test.key == key),
        known=spoken_of(season, key),
        now_s=season.now_s,
    )  # fmt: skip


def _times(season: Season) -> FloatArray:
    past, ahead = season.past.edges_s, season.ahead.grid.edges_s
    back = np.arange(season.now_s, past[0] - 1.0, -DAY_S)[::-1]
    on = np.arange(season.now_s + DAY_S, ahead[-1] + 1.0, DAY_S)
    return np.concatenate([back, on])


def _banded(season: Season, key: str, course: FloatArray) -> Band:
    times = _times(season)
    grid = season.ahead.grid
    past = [season.past.at(season.courses[key], t) for t in times if t <= season.now_s]
    on = [grid.at(course, t) for t in times if t > season.now_s]
    return band(np.stack([*past, *on], axis=1))


def _chance(
    key: str,
    what: str,
    nutrient: Nutrient,
    passed: NDArray[np.bool_],
    at_mg_l: float,
    inputs: tuple[Input, ...],
) -> Figure:
    side = "below" if what == "short" else "above"
    return figure(
        f"{key}_{what}_percent",
        f"chance that {nutrient.name} passes {side} {at_mg_l:g} mg/L in the weeks ahead",
        100.0 * float(np.mean(passed.any(axis=1))), "%",
        "part of the joint draws that do, at any time", inputs, _MODEL,
    )  # fmt: skip


def _demand(season: Season, nutrient: Nutrient) -> Figure:
    q, joint = season.joint.parts[nutrient.key], season.joint
    wanted = 7.0 * joint.net_mg_l * q.ratio * np.exp(q.stray[:, -1])
    return figure(
        f"{nutrient.key}_demand_mg_l_week", f"{nutrient.name} the plants would take from the water",
        wanted, "mg/L",
        "7 · carbon kept a day · content / carbon content · part taken by the leaves",
        (given("carbon kept a day", range_of(joint.net_mg_l), "mg/L", "belief"),
         given(f"{nutrient.element} in dry plant", nutrient.tissue_percent, "%",
               str(nutrient.tissue_source)),
         given("carbon in dry plant", CARBON_PERCENT, "%", str(nutrient.tissue_source))),
        str(nutrient.tissue_source),
    )  # fmt: skip


def _week(season: Season, nutrient: Nutrient, flows: FloatArray) -> tuple[Figure, ...]:
    """Return what comes and goes in a week, the mean of the weeks ahead."""
    weeks = (season.ahead.grid.edges_s[-1] - season.now_s) / (7.0 * DAY_S)
    q = season.joint.parts[nutrient.key]
    food = 7.0 * q.food_share * season.joint.shared.food_mg_l_day
    parts = {
        "plants": flows[:, kernel.PLANTS] / weeks,
        "food": food,
        "tap": flows[:, kernel.CHANGED] / weeks,
        "dose": flows[:, kernel.DOSED] / weeks,
        "other": (flows[:, kernel.COME] + flows[:, kernel.LOST]) / weeks - food,
    }
    words = {"food": "from food", **{name: said for name, (_, said) in _FLOW_NAMES.items()}}
    return tuple(
        figure(
            f"{nutrient.key}_{name}_mg_l_week", f"{nutrient.name} {words[name]}", value, "mg/L",
            "mean of the weeks ahead as things go on", (), _MODEL,
        )
        for name, value in parts.items()
    )  # fmt: skip


def _inputs(season: Season, nutrient: Nutrient) -> tuple[Input, ...]:
    key = nutrient.key
    q = season.joint.parts[key]
    inputs = [
        given("taken per carbon kept", range_of(q.ratio), "mg/mg", "diary and prior"),
        given("in the tap water", range_of(q.tap_mg_l), "mg/L", "tank file, diary and prior"),
        given("tests of it", float(sum(t.key == key for t in season.tests)), "1", "diary"),
        given(
            "doses of it",
            float(sum(d.adds_mg_l.get(key, 0.0) > 0.0 for d in season.doses)),
            "1",
            "diary",
        ),
    ]
    if key in ("nitrate", "phosphate"):
        food = range_of(season.joint.shared.food_mg_l_day)
        inputs.append(given("dry food a day", food, "mg/L", "tank file or prior"))
    return tuple(inputs)


def _seen(season: Season, test: KitReading) -> SeenTest:
    q = season.joint.parts[test.key]
    shown = season.past.at(season.courses[test.key], test.time_s) * q.kit
    # what the kit would show, against the ends of the step it was read at
    beside = np.log(np.maximum(shown, 1e-9))
    low = np.log(max(test.low_mg_l, 1e-9))
    high = np.log(test.high_mg_l)
    off = np.maximum(np.maximum(low - beside, beside - high), 0.0)
    fits = float(np.median(np.exp(log_chance(shown, test)))) >= _FITS_FROM or bool(
        np.median(off) < _DOUBT_SD * 0.15
    )
    return SeenTest(test.time_s, test.shown, test.value_mg_l, test.low_mg_l, test.high_mg_l, fits)
