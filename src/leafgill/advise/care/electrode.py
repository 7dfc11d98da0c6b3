"""Calibrating the electrode: by its drift, as the belief and the buffers have seen it."""

from __future__ import annotations

import math
import re
from datetime import datetime

import numpy as np
from scipy.special import ndtri

from leafgill.advise.care.deeds import words_of
from leafgill.advise.care.job import RECORD, USUAL, Job, due_of
from leafgill.advise.care.known import Known
from leafgill.advise.drawn import figure, given, range_of
from leafgill.advise.figure import Figure, Input
from leafgill.diary import Entry, Kind
from leafgill.science.cited import Range
from leafgill.science.compiled import FloatArray

_WHAT = "Calibrate the electrode"
_WHY = "It drifts; an error of 0.1 is a quarter of the CO2."
_HOW = (
    "rinse it, buffer 7 first, then 4; fresh buffer from the bottle. Write down what it showed in "
    'each before it was set, as "showed 7.06 in 7.00": that is how its drift is learnt'
)
# The drift that is let pass (a choice of ours): a quarter of the CO2.
TOLERATED_PH = 0.10
USUAL_DAYS = 28.0
SOONEST, LATEST = 3.0, 90.0
# Buffers and the eye on the screen [pH] (a choice of ours).
_BUFFER_SD = 0.015
# What an electrode of unknown age drifts, as the belief has it before any reading [pH/d].
_PRIOR_SD = 0.006
_TELLS = 0.85
_SHOWED = re.compile(
    r"(?:show(?:ed|s)?|read|was at)\s+(\d{1,2}(?:\.\d+)?)\s+(?:in|for|instead of)\s+"
    r"(?:the\s+)?(?:buffer\s+)?(\d{1,2}(?:\.\d+)?)"
)


def has_electrode(known: Known) -> bool:
    """Return whether an electrode hangs in the tank: readings of one, or a calibration."""
    stream = known.diary.streams.get("ph")
    logged = stream is not None and len(stream) > 0
    return logged or bool(known.diary.of(Kind.PH_PROBE, Kind.CALIBRATION))


def electrode_job(known: Known) -> Job:
    """Return the calibration of the electrode."""
    drift, buffers = _drift(known)
    days = _days(drift)
    narrowed = float(np.std(drift)) / _PRIOR_SD
    by_record = buffers > 0 or narrowed < _TELLS
    last = known.last("electrode")
    every = figure(
        "electrode_days",
        f"Days until the electrode may have drifted by {TOLERATED_PH:g}",
        days,
        "days",
        f"{TOLERATED_PH:g} / drift a day, between {SOONEST:g} and {LATEST:g} days",
        (
            given("drift, either way", range_of(np.abs(drift)), "pH/day", "belief of the diary"),
            Input("buffers read before setting", float(buffers), "", "diary"),
            Input("degassed samples", float(_degassed(known)), "", "diary"),
        ),
        "belief of the diary" if by_record else "the belief's prior; a choice of ours",
    )
    reason = (
        "by the drift that calibrations and the degassed samples show"
        if by_record
        else "neither buffers nor degassed samples have shown its drift yet"
    )
    told = (_error(known, drift), _slope(known))
    called = ""
    off = told[0]
    if off.low is not None and off.high is not None and (off.low > 0.1 or off.high < -0.1):
        called = f"it seems to show {off.value:+.2f} too much"
    return Job(
        "electrode", _WHAT, _WHY, every, RECORD if by_record else USUAL, reason, _HOW, last,
        due_of(every.value, last, known.now, called), told, called,
    )  # fmt: skip


def buffer_errors(known: Known) -> list[tuple[datetime, float]]:
    """Return when a buffer was read before setting, and by how much it was off [pH]."""
    found = []
    for entry in known.diary.of(Kind.CALIBRATION, Kind.CARE, Kind.NOTE):
        found += [(entry.time, shown - buffer) for shown, buffer in _showed(entry)]
    return found


def _showed(entry: Entry) -> list[tuple[float, float]]:
    pairs = _SHOWED.findall(words_of(entry).replace(",", "."))
    read = [(float(shown), float(buffer)) for shown, buffer in pairs]
    return [(shown, buffer) for shown, buffer in read if abs(shown - buffer) <= 1.5]


def _drift(known: Known) -> tuple[FloatArray, int]:
    """Return the drift [pH/day], [m], and how many buffers told of it.

    The belief's draws as a Gaussian, moved by each buffer that was read since a calibration:
    error over days, with the buffers' own error of both times.
    """
    belief = known.belief
    drawn = belief.problem.value(belief.z, "probe_drift")
    mean, precision = float(drawn.mean()), 1.0 / max(float(drawn.var()), 1e-12)
    done = known.done("electrode")
    told = 0
    for at, error in buffer_errors(known):
        before = [one for one in done if one < at]
        days = (at - before[-1]).total_seconds() / 86400.0 if before else 0.0
        if days < 1.0:
            continue
        weight = (math.sqrt(2.0) * _BUFFER_SD / days) ** -2
        mean = (mean * precision + weight * error / days) / (precision + weight)
        precision, told = precision + weight, told + 1
    if not told:
        return drawn, 0
    scores = ndtri((np.arange(belief.count) + 0.5) / belief.count)
    moved: FloatArray = mean + scores / math.sqrt(precision)
    return moved, told


def _days(drift: FloatArray) -> Range:
    with np.errstate(divide="ignore"):
        days = np.clip(TOLERATED_PH / np.abs(drift), SOONEST, LATEST)
    return range_of(days)


def _error(known: Known, drift: FloatArray) -> Figure:
    """Return by how much the electrode is off now at pH 7."""
    belief = known.belief
    evidence, problem = belief.problem.evidence, belief.problem
    epoch = evidence.epochs - 1
    name = "probe_offset" if epoch == 0 else f"recalibrated_{epoch}"
    days = (evidence.now_s - evidence.start_s) / 86400.0
    off = problem.value(belief.z, name) + problem.value(belief.z, "probe_drift") * days
    return figure(
        "electrode_off_ph",
        "What the electrode shows too much now, at pH 7",
        range_of(off),
        "pH",
        "offset since the last calibration + drift · days",
        (given("drift", range_of(drift), "pH/day", "belief of the diary"),),
        "belief of the diary",
    )


def _slope(known: Known) -> Figure:
    belief = known.belief
    return figure(
        "electrode_slope",
        "Slope of the electrode; below 0.90 it is renewed",
        range_of(belief.problem.value(belief.z, "probe_slope")),
        "",
        "what it shows of one unit of pH",
        (),
        "belief of the diary; the 0.90 is common practice, no source",
    )


def _degassed(known: Known) -> int:
    return sum(entry.instrument != "hand" for entry in known.diary.of(Kind.DEGASSED_PH))
