"""What the diary says was read, put on the fit's grid with each instrument's error."""

from __future__ import annotations

import numpy as np

from leafgill.diary import Diary, Entry, Kind
from leafgill.estimate.daily import daily_waves
from leafgill.estimate.observations import Observations, Weighings
from leafgill.science.compiled import FloatArray
from leafgill.science.indicator import COLOURS, co2_boundaries_mg_l
from leafgill.tank.forcing import Forcing
from leafgill.tank.spec import Tank

PROBE_NOISE = 0.01
# What averaging cannot take away: steps of the converter, the model's own coarseness.
PROBE_FLOOR = 0.004
# Hours of a switch or a mixing the model may be early or late by.
TIMING_H = 0.04
_HAND_READING_SD = 0.10
_NEW_CYLINDER_G = 40.0
_SAME_READING_S = 90.0

Readings = tuple[tuple[float, str, str], ...]
KhInterval = tuple[float, float, float]


def kh_intervals(diary: Diary) -> list[KhInterval]:
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


def position(edges: FloatArray, times: FloatArray) -> FloatArray:
    """Return where times lie on the grid: the edge before, plus the part of the step."""
    return np.asarray(np.interp(times, edges, np.arange(edges.size)), dtype=np.float64)


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
    variance = PROBE_NOISE**2 / count[used] + PROBE_FLOOR**2 + (TIMING_H * steep) ** 2
    return mean_t, mean_v, np.sqrt(variance)


def _resolution(tests: list[Entry]) -> float:
    """Return the step a hand test was read to: named, or seen in the values."""
    named = [test.resolution for test in tests if test.resolution]
    if named:
        return float(named[0])
    fifths = all(abs(t.number * 5 - round(t.number * 5)) < 1e-6 for t in tests)
    return 0.2 if fifths and len(tests) > 2 else 0.1


def hand_ph_sd(tests: list[Entry]) -> float:
    """Return what one hand test of pH scatters: the step it is read to, and the eye."""
    return float(np.hypot(_resolution(tests) / np.sqrt(12.0), _HAND_READING_SD))


def read(
    tank: Tank,
    diary: Diary,
    recent: list[Entry],
    edges: FloatArray,
    kh: list[KhInterval],
    calibrated: list[float],
) -> tuple[Observations, Readings]:
    """Return the readings on the grid, and what each was, in the same order."""
    by_kind: dict[Kind, list[Entry]] = {}
    for entry in recent:
        by_kind.setdefault(entry.kind, []).append(entry)
    hand = by_kind.get(Kind.PH, [])
    probe_t, probe_v, probe_sd = _probe(diary, edges)
    hand_sd = hand_ph_sd(hand)
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
        ph_at=position(edges, times),
        ph_h=(times - edges[0]) / 3600.0,
        ph=values,
        ph_sd=sds,
        ph_probe=is_probe,
        ph_epoch=np.searchsorted(calibrated, times, side="right").astype(np.float64),
        ph_daily=daily_waves(times, tank.timezone),
        glass_at=position(edges, drawn),
        glass_h=(_times(glass) - edges[0]) / 3600.0,
        glass_ph=_numbers(glass),
        glass_probe=glass_probe.astype(np.float64),
        glass_epoch=np.searchsorted(calibrated, _times(glass), side="right").astype(np.float64),
        glass_outdoors=np.array([float(e.air == "outdoors") for e in glass]),
        glass_c=np.array([np.nan if e.water_c is None else e.water_c for e in glass]),
        kh_at=position(edges, np.array([item[0] for item in recent_kh])),
        kh_low=np.array([item[1] for item in recent_kh]),
        kh_high=np.array([item[2] for item in recent_kh]),
        colour_at=position(edges, _times(colours)),
        colour=np.array([float(COLOURS.index(e.word)) for e in colours]),
        colour_bounds=np.tile(bounds, (len(colours), 1)),
        o2_at=position(edges, _times(oxygen)),
        o2=_numbers(oxygen),
    )
    named = [
        (t, "ph_probe" if p else "ph", f"{v:.2f}")
        for t, p, v in zip(times, is_probe, values, strict=True)
    ]
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


def gas_seconds(forcing: Forcing, stretches: int, part: FloatArray | float = 1.0) -> FloatArray:
    """Return the seconds of gas in each stretch, [stretches], of a `part` of each step."""
    seconds = forcing.gas * forcing.dt_h * 3600.0 * part
    counted = np.bincount(forcing.segment.astype(np.int64), seconds, minlength=stretches)
    return np.asarray(counted[:stretches], dtype=np.float64)


def weighings(
    recent: list[Entry], edges: FloatArray, forcing: Forcing, stretches: int
) -> Weighings:
    """Return weighings with the seconds of gas before each; a jump up is another cylinder."""
    weighed = [entry for entry in recent if entry.kind is Kind.CYLINDER_MASS]
    mass = _numbers(weighed)
    cylinder = np.concatenate([[0.0], np.cumsum(np.diff(mass) > _NEW_CYLINDER_G)])[: mass.size]
    gas_s = np.zeros((mass.size, stretches))
    for i, entry in enumerate(weighed):
        part = np.clip((entry.time.timestamp() - edges[:-1]) / np.diff(edges), 0.0, 1.0)
        gas_s[i] = gas_seconds(forcing, stretches, part)
    return Weighings(gas_s, mass, cylinder)
