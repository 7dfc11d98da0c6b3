"""The diary as evidence: what acted on the tank, and what was read, on the fit's grid."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import NamedTuple

import numpy as np

from leafgill.diary import Diary, Entry, Kind
from leafgill.estimate.daily import daily_waves
from leafgill.estimate.flow import Count, Flow, Setting, smooth_flow
from leafgill.science.compiled import FloatArray
from leafgill.science.indicator import COLOURS, co2_boundaries_mg_l
from leafgill.tank.forcing import Forcing
from leafgill.tank.schedule import Change, Window, parse_window
from leafgill.tank.spec import Tank
from leafgill.tank.timeline import Timeline, WaterChange, night_air

# What happened longer ago says little of today; a fit looks at the last four weeks.
LOOK_BACK_DAYS = 28.0
DEFAULT_LIGHT = "10:00-18:00"
DEFAULT_COUNT_S = 10.0
PROBE_NOISE = 0.01
# What averaging cannot take away: steps of the converter, the model's own coarseness.
_PROBE_FLOOR = 0.004
# Hours of a switch or a mixing the model may be early or late by.
_TIMING_H = 0.04
_HAND_READING_SD = 0.10
_GLASS_SD = 0.05
_SCALE_SD_G = 4.0
_NEW_CYLINDER_G = 40.0
_O2_TEST_SD = 0.7
_SAME_READING_S = 90.0
_PASCAL_BAR = 1.01325


class Observations(NamedTuple):
    """Readings on the grid; `_at` are positions in edges (whole part and fraction)."""

    ph_at: FloatArray
    ph_h: FloatArray  # hours since the first edge
    ph: FloatArray
    ph_sd: FloatArray
    ph_probe: FloatArray  # 1 electrode, 0 hand test
    ph_epoch: FloatArray  # which calibration of the electrode
    ph_daily: FloatArray  # [n, 2·harmonics] daily waves at the reading's hour
    glass_at: FloatArray  # degassed samples: when the water was drawn
    glass_h: FloatArray
    glass_ph: FloatArray
    glass_probe: FloatArray
    glass_epoch: FloatArray
    glass_outdoors: FloatArray
    kh_at: FloatArray
    kh_low: FloatArray  # the reading says low < KH <= high
    kh_high: FloatArray
    colour_at: FloatArray
    colour: FloatArray  # 0 blue .. 4 yellow
    colour_bounds: FloatArray  # [n, 4] log CO2 at the changes, reference of 4 dKH
    o2_at: FloatArray
    o2: FloatArray

    @property
    def size(self) -> int:
        """Number of readings."""
        return int(
            self.ph.size + self.glass_ph.size + self.kh_low.size + self.colour.size + self.o2.size
        )


@dataclass(frozen=True)
class Weighings:
    """Cylinder weights, by cylinder: seconds of gas in each stretch before each weighing."""

    gas_s: FloatArray  # [n, stretches]
    mass_g: FloatArray  # [n]
    cylinder: FloatArray  # [n] which one


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
    readings: tuple[tuple[float, str, str], ...]  # (s, kind, shown) in the observations' order
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
    timeline, flow, factor = _acted(tank, seen, start_s, now_s, assumed)
    edges = timeline.edges(start_s, max(now_s, start_s + 3600.0))
    forcing = timeline.forcing(edges)
    recent = [entry for entry in seen.entries if entry.time.timestamp() >= start_s]
    kh = _kh_intervals(seen, tank)
    calibrated = [e.time.timestamp() for e in recent if e.kind is Kind.CALIBRATION]
    observations, readings = _read(tank, seen, recent, edges, kh, calibrated)
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
        weighings=_weigh(recent, edges, forcing, len(flow.start_s)),
        readings=readings,
        first_kh_dkh=middle[0] if middle else None,
        first_kh_width=width,
        has_air=bool(forcing.air.any()) or tank.rig.night_air,
        epochs=len(calibrated) + 1,
        assumed=tuple(assumed),
    )


def _start(diary: Diary, now_s: float) -> float:
    """First moment anything was written or read, or the look-back's."""
    firsts = [entry.time.timestamp() for entry in diary.entries[:1]]
    firsts += [float(s.times_s[0]) for s in diary.streams.values() if len(s)]
    first = min(firsts, default=now_s - 3600.0)
    return max(first, now_s - LOOK_BACK_DAYS * 86400.0)


def _with_gh(tank: Tank, diary: Diary) -> Tank:
    from dataclasses import replace

    tests = diary.of(Kind.GH)
    if not tests:
        return tank
    return replace(tank, water=replace(tank.water, gh_dgh=max(tests[-1].number, 0.1)))


def _windows(
    given: Window | None, entries: list[Entry], start_s: float
) -> tuple[Change, ...]:
    """Hours from the tank file until the diary says otherwise."""
    changes: list[Change] = [] if given is None else [(start_s - 86400.0, given)]
    changes += [(entry.time.timestamp(), entry.window) for entry in entries]
    return tuple(changes)


def _acted(
    tank: Tank, diary: Diary, start_s: float, now_s: float, assumed: list[str]
) -> tuple[Timeline, Flow, FloatArray]:
    """Return what acted on the tank, noting what had to be assumed."""
    light = _windows(tank.day.light, diary.of(Kind.LIGHT_DAY), start_s)
    if not light:
        assumed.append(f"no hours of light are written; taken as {DEFAULT_LIGHT}")
        light = ((start_s - 86400.0, parse_window(DEFAULT_LIGHT)),)
    gas = _windows(tank.day.gas, diary.of(Kind.GAS_DAY), start_s)
    settings = [
        Setting(max(entry.time.timestamp(), start_s - 86400.0 * 2), entry.number)
        for entry in _in_force(diary.of(Kind.BUBBLE_RATE), start_s)
    ]
    counts = [
        Count(entry.time.timestamp(), entry.number, entry.seconds or DEFAULT_COUNT_S)
        for entry in diary.of(Kind.BUBBLE_COUNT)
        if entry.time.timestamp() >= start_s
    ]
    if not gas and (settings or counts):
        assumed.append("no hours of gas are written; taken as those of the light")
        gas = light
    air: tuple[Change, ...] = ()
    if tank.day.air is not None:
        air = ((start_s - 86400.0, tank.day.air),)
    elif tank.rig.night_air:
        air = night_air(light)
    flow = smooth_flow(settings, counts, now_s)
    pressures = diary.of(Kind.WORKING_PRESSURE)
    factor = np.ones(len(flow.start_s))
    if pressures:
        base = (tank.rig.working_pressure_bar or pressures[0].number) + _PASCAL_BAR
        for k, begin in enumerate(flow.start_s):
            known = [p.number for p in pressures if p.time.timestamp() <= begin + 3600.0]
            factor[k] = ((known[-1] if known else pressures[0].number) + _PASCAL_BAR) / base
    changes = tuple(
        WaterChange(e.time.timestamp(), min(e.number / 100.0, 1.0), e.new_kh_dkh)
        for e in diary.of(Kind.WATER_CHANGE)
        if e.time.timestamp() >= start_s and e.number > 0.0
    )
    timeline = Timeline(
        tank.timezone, gas, light, air, flow.start_s, _temperature(tank, diary, start_s, now_s),
        changes,
    )  # fmt: skip
    return timeline, flow, factor


def _in_force(entries: list[Entry], start_s: float) -> list[Entry]:
    """Entries from `start_s` on, and the last before it."""
    later = [entry for entry in entries if entry.time.timestamp() >= start_s]
    earlier = [entry for entry in entries if entry.time.timestamp() < start_s]
    return earlier[-1:] + later


def _temperature(
    tank: Tank, diary: Diary, start_s: float, now_s: float
) -> tuple[tuple[float, float], ...]:
    """Water temperature as points to draw a line through."""
    stream = diary.streams.get("temperature")
    points = [
        (entry.time.timestamp(), entry.number)
        for entry in _in_force(diary.of(Kind.TEMPERATURE), start_s)
    ]
    if stream is not None and len(stream):
        hours = np.arange(start_s, now_s + 1.0, 3600.0)
        points = list(zip(hours.tolist(), np.interp(hours, stream.times_s, stream.values).tolist(),
                          strict=True))
    return tuple(points) or ((start_s, tank.temperature_c),)


def _kh_intervals(diary: Diary, tank: Tank) -> list[tuple[float, float, float]]:
    """(s, low, high) of each KH test: a kit counts drops until the colour turns."""
    tests = diary.of(Kind.KH)
    whole = all(abs(t.number - round(t.number)) < 1e-6 for t in tests)
    found = []
    for test in tests:
        drop = test.resolution or (1.0 if whole else 0.5)
        low, high = test.number - drop, test.number
        if test.rounding == "nearest":
            low, high = test.number - 0.5 * drop, test.number + 0.5 * drop
        elif test.rounding == "down":
            low, high = test.number, test.number + drop
        found.append((test.time.timestamp(), max(low, 0.0), max(high, 0.1)))
    return found


def _at(edges: FloatArray, times: FloatArray) -> FloatArray:
    """Position of times on the grid: index of the edge before, plus the part of the step."""
    position: FloatArray = np.interp(times, edges, np.arange(edges.size))
    return position


def _probe(diary: Diary, edges: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    """(times, means, sd) of the electrode's readings, averaged around each edge."""
    stream = diary.streams.get("ph")
    times = np.empty(0) if stream is None else stream.times_s.astype(np.float64)
    values = np.empty(0) if stream is None else stream.values
    written = diary.of(Kind.PH_PROBE)
    single_t = np.array([entry.time.timestamp() for entry in written])
    single_v = np.array([entry.number for entry in written])
    if times.size and single_t.size:
        # The diary repeats what the logger has; the same reading is counted once.
        near = np.searchsorted(times, single_t)
        gap = np.minimum(
            np.abs(times[np.minimum(near, times.size - 1)] - single_t),
            np.abs(times[np.maximum(near - 1, 0)] - single_t),
        )
        single_t, single_v = single_t[gap > _SAME_READING_S], single_v[gap > _SAME_READING_S]
    times, values = np.concatenate([times, single_t]), np.concatenate([values, single_v])
    inside = times >= edges[0]
    times, values = times[inside], values[inside]
    if not times.size:
        return times, values, values
    group = np.searchsorted(0.5 * (edges[1:] + edges[:-1]), times)
    count = np.bincount(group, minlength=edges.size)
    used = count > 0
    mean_t = np.bincount(group, times, edges.size)[used] / count[used]
    mean_v = np.bincount(group, values, edges.size)[used] / count[used]
    steep = np.abs(np.gradient(mean_v, mean_t / 3600.0)) if mean_t.size > 1 else np.zeros(1)
    variance = PROBE_NOISE**2 / count[used] + _PROBE_FLOOR**2 + (_TIMING_H * steep) ** 2
    return mean_t, mean_v, np.sqrt(variance)


def _resolution(tests: list[Entry]) -> float:
    """Return the step a hand test was read to: named, or seen in the values."""
    named = [test.resolution for test in tests if test.resolution]
    if named:
        return float(named[0])
    fifths = all(abs(t.number * 5 - round(t.number * 5)) < 1e-6 for t in tests)
    return 0.2 if fifths and len(tests) > 2 else 0.1


def _read(
    tank: Tank,
    diary: Diary,
    recent: list[Entry],
    edges: FloatArray,
    kh: list[tuple[float, float, float]],
    calibrated: list[float],
) -> tuple[Observations, tuple[tuple[float, str, str], ...]]:
    """Return the readings on the grid, and what each was, in the same order."""
    by_kind: dict[Kind, list[Entry]] = {}
    for entry in recent:
        by_kind.setdefault(entry.kind, []).append(entry)
    hand = by_kind.get(Kind.PH, [])
    probe_t, probe_v, probe_sd = _probe(diary, edges)
    hand_sd = float(np.hypot(_resolution(hand) / np.sqrt(12.0), _HAND_READING_SD))
    times = np.concatenate([probe_t, _times(hand)])
    order = np.argsort(times, kind="stable")
    times = times[order]
    values = np.concatenate([probe_v, _numbers(hand)])[order]
    sds = np.concatenate([probe_sd, np.full(len(hand), hand_sd)])[order]
    is_probe = np.concatenate([np.ones(probe_t.size), np.zeros(len(hand))])[order]

    glass = by_kind.get(Kind.DEGASSED_PH, [])
    has_probe = probe_t.size > 0
    glass_probe = np.array([_by_probe(entry, has_probe) for entry in glass])
    drawn = np.array([(e.drawn or e.time).timestamp() for e in glass])
    recent_kh = [item for item in kh if item[0] >= edges[0]] or kh[-1:]
    colours = by_kind.get(Kind.DROP_CHECKER, [])
    oxygen = [t for t in by_kind.get(Kind.TEST, []) if t.substance in ("oxygen", "o2")]
    bounds = np.log(np.array(co2_boundaries_mg_l(tank.temperature_c, 4.0), dtype=np.float64))
    observations = Observations(
        ph_at=_at(edges, times),
        ph_h=(times - edges[0]) / 3600.0,
        ph=values,
        ph_sd=sds,
        ph_probe=is_probe,
        ph_epoch=np.searchsorted(calibrated, times, side="right").astype(np.float64),
        ph_daily=daily_waves(times, tank.timezone),
        glass_at=_at(edges, drawn),
        glass_h=(_times(glass) - edges[0]) / 3600.0,
        glass_ph=_numbers(glass),
        glass_probe=glass_probe.astype(np.float64),
        glass_epoch=np.searchsorted(calibrated, _times(glass), side="right").astype(np.float64),
        glass_outdoors=np.array([float(e.air == "outdoors") for e in glass]),
        kh_at=_at(edges, np.array([item[0] for item in recent_kh])),
        kh_low=np.array([item[1] for item in recent_kh]),
        kh_high=np.array([item[2] for item in recent_kh]),
        colour_at=_at(edges, _times(colours)),
        colour=np.array([float(COLOURS.index(e.word)) for e in colours]),
        colour_bounds=np.tile(bounds, (len(colours), 1)),
        o2_at=_at(edges, _times(oxygen)),
        o2=_numbers(oxygen),
    )
    named = [(t, "ph_probe" if p else "ph", f"{v:.2f}")
             for t, p, v in zip(times, is_probe, values, strict=True)]
    named += [(e.time.timestamp(), "degassed_ph", f"{e.number:g}") for e in glass]
    named += [(s, "kh", f"{low:g} to {high:g} dKH") for s, low, high in recent_kh]
    named += [(e.time.timestamp(), "drop_checker", e.word) for e in colours]
    named += [(e.time.timestamp(), "test oxygen", f"{e.number:g} mg/L") for e in oxygen]
    return observations, tuple(named)


def _by_probe(entry: Entry, has_probe: bool) -> bool:
    return entry.instrument == "probe" or (not entry.instrument and has_probe)


def _times(entries: list[Entry]) -> FloatArray:
    return np.array([entry.time.timestamp() for entry in entries], dtype=np.float64)


def _numbers(entries: list[Entry]) -> FloatArray:
    return np.array([entry.number for entry in entries], dtype=np.float64)


def _weigh(
    recent: list[Entry], edges: FloatArray, forcing: Forcing, stretches: int
) -> Weighings:
    """Return weighings with the seconds of gas before each; a jump up is another cylinder."""
    weighed = [entry for entry in recent if entry.kind is Kind.CYLINDER_MASS]
    mass = _numbers(weighed)
    cylinder = np.concatenate([[0.0], np.cumsum(np.diff(mass) > _NEW_CYLINDER_G)])[: mass.size]
    seconds = forcing.gas * forcing.dt_h * 3600.0
    gas_s = np.zeros((mass.size, stretches))
    for i, entry in enumerate(weighed):
        part = np.clip(
            (entry.time.timestamp() - edges[:-1]) / np.diff(edges), 0.0, 1.0
        )
        if stretches:
            gas_s[i] = np.bincount(
                forcing.segment.astype(np.int64), seconds * part, minlength=stretches
            )[:stretches]
    return Weighings(gas_s, mass, cylinder)
