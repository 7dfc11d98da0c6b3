"""Testing carbonate hardness: by how fast the belief sees it drift."""

from __future__ import annotations

from datetime import datetime

import numpy as np

from leafgill.advise.care.job import RECORD, USUAL, Job, due_of
from leafgill.advise.care.known import Known
from leafgill.advise.drawn import figure, given, range_of
from leafgill.advise.figure import Input
from leafgill.diary import Kind

_WHAT = "Test carbonate hardness"
_WHY = "pH tells of CO2 only together with it, and it drifts."
_HOW = "on twice the water for half the drop; write the size of a drop beside it"
# So much of KH is so much of CO2.
_TOLERATED = 0.10
_SOONEST, _LATEST = 3.0, 42.0
# The prior's drift a day [1/d], as the belief has it before any reading.
_PRIOR_SD = 0.004
_TELLS = 0.85


def hardness_job(known: Known) -> Job:
    """Return the test of KH."""
    belief = known.belief
    drift = belief.problem.value(belief.z, "alkalinity_trend")
    with np.errstate(divide="ignore"):
        days = np.clip(_TOLERATED / np.abs(drift), _SOONEST, _LATEST)
    tests = known.diary.of(Kind.KH)
    learnt = float(np.std(drift)) < _TELLS * _PRIOR_SD and len(tests) > 1
    last = known.last("kh")
    every = figure(
        "kh_days",
        f"Days in which KH may drift by {100.0 * _TOLERATED:.0f} %",
        days,
        "days",
        f"{_TOLERATED:g} / drift a day, between {_SOONEST:g} and {_LATEST:g} days",
        (
            given("drift, either way", range_of(100.0 * np.abs(drift)), "%/day",
                  "belief of the diary"),
            Input("tests of KH", float(len(tests)), "", "diary"),
        ),
        "belief of the diary" if learnt else "the belief's prior; a choice of ours",
    )  # fmt: skip
    reason = (
        "by the drift between your tests" if learnt else "too few tests yet to see how KH drifts"
    )
    changed = known.last("water_change")
    called = ""
    if last is not None and changed is not None and changed > last:
        share = _since(known, last)
        if share > 0.4:
            called = f"{100.0 * share:.0f} % of the water is new since the last test"
    return Job(
        "kh", _WHAT, _WHY, every, RECORD if learnt else USUAL, reason, _HOW, last,
        due_of(every.value, last, known.now, called), (), called,
    )  # fmt: skip


def _since(known: Known, last: datetime) -> float:
    """Return the part of the water that is new since a moment."""
    changes = [e for e in known.diary.of(Kind.WATER_CHANGE) if e.time > last]
    return float(1.0 - np.prod([1.0 - 0.01 * e.number for e in changes]))
