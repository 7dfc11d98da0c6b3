"""Diary to belief: the one call that the rest of the house makes."""

from __future__ import annotations

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from leafgill.diary import Diary, check_future
from leafgill.estimate.belief import Belief, Days, Misfit
from leafgill.estimate.daily import daily_waves
from leafgill.estimate.evidence import Evidence, gather
from leafgill.estimate.fit import Progress, sample
from leafgill.estimate.observations import Observations
from leafgill.estimate.problem import Problem, Traits
from leafgill.estimate.readings import position
from leafgill.estimate.rough import draw_straying
from leafgill.science.compiled import FloatArray
from leafgill.tank.forcing import Course
from leafgill.tank.spec import Tank

AHEAD_H = 36.0
# A reading this far off, in its own widths, does not fit.
MISFIT_SIGMA = 3.5
_MOST_MISFITS = 8


def believe(
    tank: Tank,
    diary: Diary,
    now: datetime,
    *,
    progress: Progress | None = None,
    seed: int = 0,
    count: int = 300,
) -> Belief:
    """Return what is believed of the tank at `now`, from what the diary held then.

    `now` is aware, or naive by the tank's clock. Entries after `now` are not used (and are
    named among the findings). The same seed gives the same draws. Raises TooFewDrawsError when
    the draws are worth fewer than 50.
    """
    if now.tzinfo is None:
        now = now.replace(tzinfo=ZoneInfo(tank.timezone))
    known = diary if diary.timezone is not None else diary.localised(tank.timezone)
    rng = np.random.default_rng(seed)
    evidence = gather(tank, known, now)
    problem = Problem.of(evidence)
    drawn = sample(problem, rng, count=count, progress=progress)
    traits = problem.traits(drawn.z)
    edges, days = _days(problem, drawn.z, traits, rng)
    late = tuple(finding.message for finding in check_future(known, now))
    return Belief(
        tank=evidence.tank,
        now=now,
        edges_s=edges,
        effective_number=drawn.effective,
        z=drawn.z,
        draws=problem.draws(drawn.z),
        days=days,
        problem=problem,
        misfits=_misfits(problem, drawn.z, now),
        findings=(*evidence.assumed, *late),
    )


def _days(
    problem: Problem, z: FloatArray, traits: Traits, rng: np.random.Generator
) -> tuple[FloatArray, Days]:
    """Return the grid to 36 h ahead and the draws on it, straying included."""
    evidence = problem.evidence
    ahead = timedelta(hours=AHEAD_H).total_seconds()
    edges = evidence.timeline.edges(evidence.start_s, evidence.now_s + ahead)
    course = problem.course(z, evidence.timeline.forcing(edges))
    placed = _placed(evidence, edges)
    straying = draw_straying(course.ph, placed, traits, (edges - evidence.start_s) / 3600.0, rng)
    waves = traits.daily @ daily_waves(edges, evidence.tank.timezone).T
    return edges, days_of(course, straying + waves)


def days_of(course: Course, straying: FloatArray) -> Days:
    """Return a course with its straying laid on: CO2 rises by the factor 10^-ΔpH."""
    factor = 10.0**-straying
    highest = np.maximum(course.co2_mg_l, course.co2_far_mg_l)
    return Days(
        co2=course.co2_mean_mg_l() * factor,
        co2_max=highest * factor,
        o2=course.o2_min_mg_l(),
        ph=course.ph + straying,
        model_co2=course.co2_mg_l,
        model_co2_far=course.co2_far_mg_l,
        straying=straying,
        alkalinity_meq_l=course.alkalinity_meq_l,
    )


def _placed(evidence: Evidence, edges: FloatArray) -> Observations:
    """Return the observations with their places on another grid."""
    o = evidence.observations
    times = evidence.start_s + o.ph_h * 3600.0
    return o._replace(ph_at=position(edges, times))


def _misfits(problem: Problem, z: FloatArray, now: datetime) -> tuple[Misfit, ...]:
    """Name the readings that hardly any draw explains (a posterior predictive check)."""
    errors, _ = problem.score(z[:100])
    shown = problem.evidence.readings
    # Of a colour or a KH the error has no sign: it is the root of twice minus its log chance.
    typical = np.sign(np.median(errors, axis=0)) * np.min(np.abs(errors), axis=0)
    worst = np.argsort(-np.abs(typical[: len(shown)]))[:_MOST_MISFITS]
    found = []
    for k in worst:
        size = float(abs(np.median(errors[:, k])))
        if size < MISFIT_SIGMA:
            continue
        at, kind, value = shown[k]
        when = datetime.fromtimestamp(at, now.tzinfo)
        found.append(
            Misfit(when, kind, value, size,
                   f"{kind} {value} at {when:%Y-%m-%d %H:%M} does not fit the rest")
        )  # fmt: skip
    return tuple(sorted(found))
