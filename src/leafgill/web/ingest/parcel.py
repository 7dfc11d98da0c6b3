"""Readings on their way in, and what became of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from leafgill.diary import SENSORS
from leafgill.errors import quoted
from leafgill.units import shown_unit
from leafgill.web.models import SensorRow

# Before the first and after the last no aquarium's clock was right (2000 to 2199).
FIRST_S, LAST_S = 946_684_800, 7_258_118_399
# No sensor of these counts so far in its unit, broken or not.
MOST = 1e6
# Reasons beyond these say nothing new.
MOST_WHY = 5


@dataclass(frozen=True, slots=True)
class Sender:
    """Which sensor readings are of, what it measures, and whose it is."""

    sensor_id: int
    kind: str
    tank_id: int


def sender_of(sensor: SensorRow) -> Sender:
    """Return who a sensor is."""
    return Sender(sensor.pk, sensor.kind, sensor.tank_id)


@dataclass(frozen=True, slots=True)
class Parcel:
    """One sensor's readings, in rising order of time, each second once.

    `times_s` [n] are epoch seconds, `values` [n] finite, in the sensor's unit. `twice` tells how
    many more there were at a second that has one. `refused` counts those that cannot be, `why`
    says it in words. `replace` lets another value take the place of one that is there.
    """

    sender: Sender
    times_s: NDArray[np.int64]
    values: NDArray[np.float64]
    replace: bool = False
    twice: int = 0
    refused: int = 0
    why: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Taken:
    """What became of a parcel's readings.

    `new` were not there, `same` were there already with that value, `changed` took another's
    place, `clashing` came with another value for a second that has one, and did not. `doubted` of
    the new and changed ones are kept with a doubt. `refused` were not taken; `why` says it.
    """

    new: int = 0
    same: int = 0
    changed: int = 0
    clashing: int = 0
    doubted: int = 0
    refused: int = 0
    why: tuple[str, ...] = ()


def packed(
    sender: Sender,
    times_s: ArrayLike,
    values: ArrayLike,
    *,
    replace: bool = False,
    refused: int = 0,
    why: Sequence[str] = (),
) -> Parcel:
    """Return readings [n] as a parcel, without those that cannot be: no number, no such time.

    Of two at one second the first stays, with `replace` the last. Raises ValueError for unequal
    lengths.
    """
    times = np.atleast_1d(np.asarray(times_s, dtype=np.float64))
    numbers = np.atleast_1d(np.asarray(values, dtype=np.float64))
    if times.shape != numbers.shape or times.ndim != 1:
        raise ValueError(f"{times.size} times but {numbers.size} values")
    good_time = (times >= FIRST_S) & (times <= LAST_S)
    good_value = _possible(sender.kind, numbers)
    fine = good_time & good_value
    told = [*why]
    if not fine.all():
        told += [_no_time(times[~good_time][0])] if not good_time.all() else []
        told += [_no_value(sender.kind, numbers[~good_value][0])] if not good_value.all() else []
        refused += int((~fine).sum())
        times, numbers = times[fine], numbers[fine]
    # whole seconds; half a second is nothing to an aquarium
    seconds = np.floor(times).astype(np.int64)
    seconds, numbers, twice = _each_once(seconds, numbers, last=replace)
    return Parcel(
        sender, seconds, numbers, replace, twice, refused, tuple(dict.fromkeys(told))[:MOST_WHY]
    )


def _possible(kind: str, values: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Return which values a sensor could send, broken or not."""
    least = -273.15 if kind == "temperature" else -MOST
    with np.errstate(invalid="ignore"):
        found: NDArray[np.bool_] = (values >= least) & (values <= MOST)
    return found


def _no_value(kind: str, value: float) -> str:
    unit = SENSORS[kind].unit
    return f"{f'{value:g} {shown_unit(unit)}'.strip()} cannot be a reading of {kind}"


def _no_time(time_s: float) -> str:
    return f"time {quoted(f'{time_s:.15g}')} is not within 2000 to 2199"


def _each_once(
    times_s: NDArray[np.int64], values: NDArray[np.float64], *, last: bool
) -> tuple[NDArray[np.int64], NDArray[np.float64], int]:
    """Return readings in order of time, one at a second, and how many more there were.

    Of the others at a second those with its value are none.
    """
    if (np.diff(times_s) > 0).all():
        return times_s, values, 0
    order = np.argsort(times_s, kind="stable")
    times, numbers = times_s[order], values[order]
    steps = np.diff(times) > 0
    keep = np.append(steps, True) if last else np.append(True, steps)
    group = np.append(0, np.cumsum(steps))
    twice = int((numbers != numbers[keep][group]).sum())
    return times[keep], numbers[keep], twice
