"""The diary as evidence: what acted on the tank, and what was read, on the fit's grid."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime

from leafgill.diary import Diary, Kind
from leafgill.estimate.acted import acted
from leafgill.estimate.flow import Flow
from leafgill.estimate.observations import Observations, Weighings
from leafgill.estimate.readings import Readings, kh_intervals, read, weighings
from leafgill.science.compiled import FloatArray
from leafgill.tank.forcing import Forcing
from leafgill.tank.schedule import Change
from leafgill.tank.spec import Tank
from leafgill.tank.timeline import Timeline

__all__ = ["Evidence", "Observations", "Weighings", "gather"]

# What happened longer ago says little of today; a fit looks at the last four weeks.
LOOK_BACK_DAYS = 28.0


@dataclass(frozen=True)
class Evidence:
    """All that a fit needs; `start_s` is hour 0 of the draws' trends."""

    tank: Tank
    start_s: float
    now_s: float
    timeline: Timeline
    flow: Flow
    pressure_factor: FloatArray  # [stretches] moles a bubble against the first working pressure
    edges_s: FloatArray
    forcing: Forcing
    observations: Observations
    weighings: Weighings
    readings: Readings  # (s, kind, shown) in the observations' order
    first_kh_dkh: float | None
    first_kh_width: float
    has_air: bool
    epochs: int
    assumed: tuple[str, ...]


def gather(tank: Tank, diary: Diary, now: datetime) -> Evidence:
    """Return the evidence of a localised diary up to `now`."""
    now_s = now.timestamp()
    seen = diary.until(now)
    start_s = _start(seen, now_s)
    assumed: list[str] = []
    timeline, flow, factor = acted(tank, seen, start_s, now_s, assumed)
    edges = timeline.edges(start_s, max(now_s, start_s + 3600.0))
    forcing = timeline.forcing(edges)
    recent = [entry for entry in seen.entries if entry.time.timestamp() >= start_s]
    kh = kh_intervals(seen)
    calibrated = [e.time.timestamp() for e in recent if e.kind is Kind.CALIBRATION]
    observations, readings = read(tank, seen, recent, edges, kh, calibrated)
    middle = [0.5 * (low + high) for _, low, high in kh]
    width = 0.25
    if kh:
        width = max(0.12, 0.6 * (kh[0][2] - kh[0][1]) / max(middle[0], 0.25))
    return Evidence(
        tank=_with_gh(tank, seen),
        start_s=float(edges[0]),
        now_s=now_s,
        timeline=timeline,
        flow=flow,
        pressure_factor=factor,
        edges_s=edges,
        forcing=forcing,
        observations=observations,
        weighings=weighings(recent, edges, forcing, len(flow.start_s)),
        readings=readings,
        first_kh_dkh=middle[0] if middle else None,
        first_kh_width=width,
        has_air=tank.rig.night_air or _any_hours(timeline.air),
        epochs=len(calibrated) + 1,
        assumed=tuple(assumed),
    )


def _start(diary: Diary, now_s: float) -> float:
    """First moment anything was written or read, or the look-back's."""
    firsts = [entry.time.timestamp() for entry in diary.entries[:1]]
    firsts += [float(s.times_s[0]) for s in diary.streams.values() if len(s)]
    first = min(firsts, default=now_s - 3600.0)
    return max(first, now_s - LOOK_BACK_DAYS * 86400.0)


def _any_hours(changes: tuple[Change, ...]) -> bool:
    """Whether it ever was on or will be: air asked for tonight has a strength to be learnt."""
    return any(window is not None and not window.never for _, window in changes)


def _with_gh(tank: Tank, diary: Diary) -> Tank:
    tests = diary.of(Kind.GH)
    if not tests:
        return tank
    return replace(tank, water=replace(tank.water, gh_dgh=max(tests[-1].number, 0.1)))
