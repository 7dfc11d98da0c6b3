"""Clues from the belief's CO2, oxygen and pH."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from leafgill.advise.trouble.clue import Clue
from leafgill.advise.trouble.made import drawn_clue, unknown
from leafgill.advise.trouble.record import Record
from leafgill.science.constants import DKH_MEQ_L
from leafgill.science.gases import o2_saturation_mg_l
from leafgill.tank.model import THETA

# Bounds (choices of ours, no source): CO2 that is too little for most plants' demand as a part of
# the target; a swing from day to day that counts; the part of its height CO2 has at lights-on.
LITTLE_PART, UNSTEADY, LATE_PART = 0.6, 0.20, 0.5
# Water that holds more oxygen than air gives it by this much gives bubbles on leaves.
PEARLS_AT = 1.05
STRONG_SURFACE_PER_H = 0.8
SWING_LOG10 = 0.5
LOW_KH_DKH = 2.0
KH_DRIFT_PER_DAY = 0.01
_CHOICE = "a choice of ours, no source"


def gas_clues(record: Record) -> Iterator[Clue]:
    """Yield what CO2 and oxygen of the last night, day and week tell."""
    yield from _night(record)
    yield from _day(record)
    yield from _week(record)
    yield from _water(record)


def _night(record: Record) -> Iterator[Clue]:
    night, limits = record.night(), record.limits
    o2 = ("o2_low_dawn", f"oxygen fell below {limits.o2_min_mg_l:g} mg/L before the lights went on")
    co2 = ("co2_high_dawn", f"CO2 was over {limits.co2_mg_l:g} mg/L before the lights went on")
    test = "an oxygen test just before the lights go on"
    read = "pH just before the lights go on"
    if night is None:
        yield unknown(*o2, test)
        yield unknown(*co2, read)
        return
    yield drawn_clue(
        *o2, test, record.over("o2", night).min(axis=1), "mg/L",
        "Lowest oxygen of the last night", limits.o2_min_mg_l, above=False,
        formula="lowest of each draw in the dark hours", bound_from="the animals' minimum",
    )  # fmt: skip
    late = (max(night[0], night[1] - 3.0 * 3600.0), night[1])
    yield drawn_clue(
        *co2, read, record.over("co2_max", late).max(axis=1), "mg/L",
        "Highest CO2 of the last dark hours", limits.co2_mg_l, above=True,
        formula="highest anywhere in the three hours before lights-on",
        bound_from="the animals' limit",
    )  # fmt: skip


def _day(record: Record) -> Iterator[Clue]:
    limits = record.limits
    high = ("co2_high_lit", f"CO2 passed {limits.co2_mg_l:g} mg/L somewhere under the last light")
    low = ("o2_low_lit", f"oxygen was below {limits.o2_min_mg_l:g} mg/L under the last light")
    full = ("o2_full", "the water held more oxygen than air gives it")
    swing = ("swing_is_gas", "CO2 rose and fell threefold within the day")
    read, test = "pH and colour while the light is on", "an oxygen test in the evening"
    if not record.lit:
        for clue in (high, low, full, swing):
            yield unknown(*clue, read)
        return
    span = record.lit[-1]
    yield drawn_clue(
        *high, read, record.over("co2_max", span).max(axis=1), "mg/L",
        "Highest CO2 under the last light", limits.co2_mg_l, above=True,
        formula="highest anywhere between lights-on and lights-off, or now",
        bound_from="the animals' limit",
    )  # fmt: skip
    o2 = record.over("o2", span)
    yield drawn_clue(
        *low, test, o2[:, 1:].min(axis=1), "mg/L", "Lowest oxygen under the last light",
        limits.o2_min_mg_l, above=False, formula="lowest of each draw, the first half hour apart",
        bound_from="the animals' minimum",
    )  # fmt: skip
    saturation = float(o2_saturation_mg_l(record.tank.temperature_c))
    yield drawn_clue(
        *full, test, o2.max(axis=1) / saturation, "", "Most oxygen against what air gives",
        PEARLS_AT, above=True,
        formula=f"highest oxygen / {saturation:.3g} mg/L (Benson & Krause 1984)",
        bound_from=_CHOICE,
    )  # fmt: skip
    day = (max(record.now_s - 86400.0, record.begins_s), record.now_s)
    co2 = record.over("co2", day)
    yield drawn_clue(
        *swing, read, np.log10(co2.max(axis=1) / np.maximum(co2.min(axis=1), 0.05)), "",
        "How far pH moves by CO2 alone in a day", SWING_LOG10, above=True,
        formula="log10(highest CO2 / lowest CO2)", bound_from=_CHOICE,
    )  # fmt: skip


def _week(record: Record) -> Iterator[Clue]:
    target = record.limits.target_mg_l
    little = ("co2_low_lit", f"CO2 under light is below {LITTLE_PART * target:.2g} mg/L")
    unsteady = ("co2_unsteady", "CO2 under light differs from day to day by over a fifth")
    late = (
        "co2_late",
        "CO2 is below half of its height half an hour after lights-on",
    )
    read = "pH once at noon on several days"
    levels = record.levels()
    if levels is None:
        for clue in (little, unsteady, late):
            yield unknown(*clue, read)
        return
    yield drawn_clue(
        *little, read, levels.mean(axis=1), "mg/L", "Mean CO2 under light, last week",
        LITTLE_PART * target, above=False,
        formula="mean from two hours after lights-on to lights-off, over the days",
        bound_from=f"{LITTLE_PART:g} of the target; {_CHOICE}",
    )  # fmt: skip
    if levels.shape[1] < 3:
        yield unknown(*unsteady, read)
    else:
        yield drawn_clue(
            *unsteady, read, levels.std(axis=1, ddof=1) / levels.mean(axis=1), "",
            "Day to day spread of CO2 under light", UNSTEADY, above=True,
            formula="standard deviation / mean of the days' means", bound_from=_CHOICE,
        )  # fmt: skip
    ons = [low + 1800.0 for low, high in record.lit if high - low > 3.0 * 3600.0]
    start = record.belief.through("co2", np.array(ons)).mean(axis=1)
    yield drawn_clue(
        *late, "pH half an hour after lights-on", start / levels.mean(axis=1), "",
        "CO2 half an hour after lights-on against the day's mean", LATE_PART, above=False,
        formula="mean over the days, of each draw", bound_from=_CHOICE,
    )  # fmt: skip


def _water(record: Record) -> Iterator[Clue]:
    belief, problem = record.belief, record.belief.problem
    now = np.array([record.now_s])
    yield drawn_clue(
        "kh_low", f"KH is below {LOW_KH_DKH:g} dKH", "a KH test on twice the water",
        belief.through("alkalinity_meq_l", now)[:, 0] / DKH_MEQ_L, "dKH", "KH now", LOW_KH_DKH,
        above=False, formula="alkalinity of each draw", bound_from=_CHOICE,
    )  # fmt: skip
    yield drawn_clue(
        "kh_drifts", "KH drifts by over 1 % a day", "KH tests a week apart",
        100.0 * np.abs(problem.value(belief.z, "alkalinity_trend")), "%/day", "Drift of KH",
        100.0 * KH_DRIFT_PER_DAY, above=True, formula="drift of each draw, either way",
        bound_from=_CHOICE,
    )  # fmt: skip
    warmth = THETA ** (record.tank.temperature_c - 20.0)
    yield drawn_clue(
        "surface_strong", "the surface lets gas out fast",
        "two pH readings an hour apart after gas-off",
        belief.draws.exchange_per_h * warmth, "1/h", "Exchange through the surface",
        STRONG_SURFACE_PER_H, above=True, formula="exchange at the tank's warmth, without air",
        bound_from=_CHOICE,
    )  # fmt: skip
