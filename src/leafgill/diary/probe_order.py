"""Putting one sensor's readings in order of time, each once."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from leafgill.diary.finding import Finding, some_lines, warning
from leafgill.diary.probe_fast import Readings

# Clocks are put back by an hour at most; a larger step back is a file in disorder [s].
_BACK_S = 3600


def in_order(read: Readings, name: str) -> tuple[Readings, list[Finding]]:
    """Return readings sorted by time, each identical one once, and what was noticed."""
    times, values, lines = read.times_s, read.values, read.lines
    findings = []
    passes = _second_pass(times) if read.local else None
    backward = np.flatnonzero(np.diff(times) < 0)
    if backward.size:
        line = int(lines[backward[0] + 1])
        clock = "" if passes is None else ", as when clocks are put back"
        message = f"rows are not in order of time (first at line {line}{clock}); sorted"
        findings.append(warning("unsorted-rows", message, line, file=name))
    order = np.argsort(times, kind="stable")
    times, values, lines = times[order], values[order], lines[order]
    passes = None if passes is None else passes[order]
    keep = _first_of_each(times, values, passes)
    if not keep.all():
        repeated = [int(line) for line in lines[~keep]]
        what = (
            "1 row repeats another" if len(repeated) == 1 else f"{len(repeated)} rows repeat others"
        )
        message = f"{what} ({some_lines(repeated, 20)}); kept once"
        findings.append(warning("repeated-row", message, lines=repeated, file=name))
    passes = None if passes is None else passes[keep]
    tidy = Readings(read.sensor, times[keep], values[keep], lines[keep], read.local, passes)
    return tidy, findings


def _second_pass(times: NDArray[np.int64]) -> NDArray[np.bool_] | None:
    """Return which readings follow the clocks being put back, None when nothing looks like it.

    One step back of at most an hour, after which the file goes on in order past where it was, is
    a clock put back in autumn; whether it was one is known only with the time zone.
    """
    steps = np.diff(times)
    back = np.flatnonzero(steps < 0)
    if back.size != 1 or steps[back[0]] < -_BACK_S:
        return None
    first = int(back[0]) + 1
    marks = np.zeros(times.shape, dtype=np.bool_)
    marks[first:] = times[first:] <= times[first - 1]
    return marks


def _first_of_each(
    times: NDArray[np.int64], values: NDArray[np.float64], passes: NDArray[np.bool_] | None
) -> NDArray[np.bool_]:
    """Return which readings are the first with their time and value; times are sorted."""
    keep = np.ones(times.shape, dtype=np.bool_)
    same = np.flatnonzero(np.diff(times) == 0)
    if not same.size:
        return keep
    seen: set[tuple[int, float, bool]] = set()
    for i in np.unique(np.concatenate([same, same + 1])):
        key = (int(times[i]), float(values[i]), bool(passes[i]) if passes is not None else False)
        keep[i] = key not in seen
        seen.add(key)
    return keep
