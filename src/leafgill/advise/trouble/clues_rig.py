"""Clues from the gas equipment and the instruments."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import numpy as np

from leafgill.advise.care.job import RECORD, CarePlan
from leafgill.advise.care.plan import care_of
from leafgill.advise.figure import Figure, Input
from leafgill.advise.situation import counted_rate
from leafgill.advise.trouble.clue import Clue, part
from leafgill.advise.trouble.made import drawn_clue, over, plain_clue, unknown
from leafgill.advise.trouble.record import Record
from leafgill.diary import Kind
from leafgill.tank.model import THETA

_CHOICE = "a choice of ours, no source"
VALVE_DOWN, VALVE_UP, RAISED = 0.8, 1.25, 1.2
# Liquid CO2 stands at 57 bar at 20 °C; well below it there is none left.
LOW_GAUGE_BAR = 42.0
OFF_PH = 0.10
LOST = 0.15


def rig_clues(record: Record, care: CarePlan | None = None) -> Iterator[Clue]:
    """Yield what valve, diffuser, cylinder and electrode tell; `care` as worked out before."""
    yield from _valve(record)
    yield from _needed(record)
    yield _gauge(record)
    plan = care or care_of(record.tank, record.diary, record.belief, record.now)
    jobs = {job.key: job for job in plan.jobs}
    diffuser = jobs.get("diffuser")
    # without a cleaning or a record that tells, what is lost is a habit of the trade alone
    tells = diffuser is not None and diffuser.basis == RECORD and diffuser.last_done is not None
    lost = diffuser.told if diffuser is not None and tells else ()
    yield _over("diffuser_clogged", "the diffuser has lost over a seventh of the gas",
                "look at its bubbles; clean it and read pH the day after", lost, LOST)  # fmt: skip
    yield _electrode(record, jobs["electrode"].told if "electrode" in jobs else ())
    yield plain_clue(
        "readings_clash", "readings contradict each other", "read pH and KH again with care",
        bool(record.belief.misfits), "Readings that do not fit", float(len(record.belief.misfits)),
        source="belief of the diary",
    )  # fmt: skip


def _valve(record: Record) -> Iterator[Clue]:
    down = ("valve_down", "the valve gives less than it was set to")
    up = ("valve_up", "the valve gives more than it was set to")
    raised = ("raised_lately", "the gas was raised within the last three days")
    count = "count the bubbles over half a minute"
    entries = record.diary.of(Kind.BUBBLE_RATE)
    rate = counted_rate(record.belief)
    if not entries or entries[-1].number <= 0.0 or not np.any(rate > 0.0):
        yield unknown(*down, count)
        yield unknown(*up, count)
    else:
        ratio = rate / entries[-1].number
        yield drawn_clue(*down, count, ratio, "", "Bubbles now against the setting", VALVE_DOWN,
                         above=False, formula="believed / set", bound_from=_CHOICE)  # fmt: skip
        yield drawn_clue(*up, count, ratio, "", "Bubbles now against the setting", VALVE_UP,
                         above=True, formula="believed / set", bound_from=_CHOICE)  # fmt: skip
    if len(entries) < 2:
        yield unknown(*raised, "write every setting of the valve down")
        return
    late = [
        later.number / before.number
        for before, later in pairwise(entries)
        if record.days_since(later.time) <= 3.0 and before.number > 0.0
    ]
    most = max(late, default=1.0)
    yield plain_clue(*raised, "", most >= RAISED, "Largest raise of three days", most, "times")


def _needed(record: Record) -> Iterator[Clue]:
    """Whether the gas that dissolves can hold the target against surface and plants."""
    key = ("set_low", "the gas that dissolves cannot hold the target")
    belief, draws = record.belief, record.belief.draws
    rate = counted_rate(belief)
    if not np.any(rate > 0.0):
        yield unknown(*key, "set the valve by counting, and write it down")
        return
    given = draws.gain_mg_l * draws.flow[:, -1] * 3600.0
    target, warmth = record.limits.target_mg_l, THETA ** (record.tank.temperature_c - 20.0)
    plants = draws.uptake_mg_l_h * target / (draws.half_saturation_mg_l + target)
    asked = draws.exchange_per_h * warmth * target + plants - draws.respiration_mg_l_h
    yield drawn_clue(
        *key, "count the bubbles, read pH two hours before lights-off", given / asked, "",
        "Gas that dissolves against what the target asks", 0.9, above=False,
        formula="dissolved an hour / (surface + plants - breath at the target)",
        bound_from=_CHOICE,
    )  # fmt: skip


def _gauge(record: Record) -> Clue:
    key = ("gauge_low", "the cylinder holds no liquid any more")
    read = record.newest(Kind.CYLINDER_PRESSURE, 10.0)
    if record.tank.rig.source != "cylinder" or read is None:
        return unknown(*key, "read the cylinder's gauge, or weigh it")
    return plain_clue(
        *key, "", read.number < LOW_GAUGE_BAR, "The cylinder's gauge", read.number, "bar",
        (Input("held against", LOW_GAUGE_BAR, "bar", _CHOICE),),
    )  # fmt: skip


def _over(key: str, says: str, ask: str, told: tuple[Figure, ...], bound: float) -> Clue:
    """Return a clue that a figure with an interval passes a bound."""
    if not told or not told[0].low:
        return unknown(key, says, ask)
    return Clue(key, says, over(told[0], bound), ask, told[:1])


def _electrode(record: Record, told: tuple[Figure, ...]) -> Clue:
    key = ("electrode_off", f"the electrode is off by more than {OFF_PH:g}")
    ask = "read it in fresh buffers before setting it"
    if not told:
        return unknown(*key, ask)
    belief, problem = record.belief, record.belief.problem
    evidence = problem.evidence
    epoch = evidence.epochs - 1
    name = "probe_offset" if epoch == 0 else f"recalibrated_{epoch}"
    days = (evidence.now_s - evidence.start_s) / 86400.0
    off = problem.value(belief.z, name) + days * problem.value(belief.z, "probe_drift")
    return Clue(*key, part(np.abs(off) > OFF_PH), ask, told[:1])
