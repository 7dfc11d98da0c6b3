"""The one way by which every reading comes in: looked at, kept once, doubts written beside it."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Sequence
from datetime import UTC, datetime

import numpy as np
from django.db import Error, IntegrityError, connection, transaction
from django.db.models import Exists, F, OuterRef
from numpy.typing import ArrayLike, NDArray

from leafgill.diary import SENSORS
from leafgill.web.ingest import there
from leafgill.web.ingest.before import Run, Runs, before_each
from leafgill.web.ingest.checks import AHEAD, AHEAD_S, CLASH, Before, doubts
from leafgill.web.ingest.failing import StoreError, words_of
from leafgill.web.ingest.parcel import Parcel, Taken, packed, sender_of
from leafgill.web.ingest.refusals import Refusals
from leafgill.web.models import ReadingRow, SensorRow, TankRow
from leafgill.web.store.readings import put
from leafgill.web.store.tanks import touch

# A machine whose clock is before this shows no time at all: it was just switched on.
MADE = datetime(2025, 1, 1, tzinfo=UTC)
# Readings that keep coming make what was worked out older no more often than this.
LIVE_EVERY_S = 300.0
# A clock that was put back by so much has sent its readings into the future.
_BACK_S = 60.0


def take(
    sensor: SensorRow,
    times_s: ArrayLike,
    values: ArrayLike,
    now: datetime,
    *,
    replace: bool = False,
) -> Taken:
    """Take readings of a sensor in, at epoch seconds [n], and return what became of each.

    All of them are kept or none: raises StoreError where the store cannot keep them now.
    """
    parcel = packed(sender_of(sensor), times_s, values, replace=replace)
    return Desk(lambda: now).take_all([parcel])[0]


class Desk:
    """Takes parcels in, many in one transaction. Not for two threads at once.

    `clock` gives now, aware. `live` readings make the answer about their tank older only every
    five minutes, or every new one would have it worked out again.
    """

    def __init__(
        self,
        clock: Callable[[], datetime],
        *,
        live: bool = False,
        steady: Callable[[], float] = time.monotonic,
    ) -> None:
        self._clock, self._live, self._steady = clock, live, steady
        self._runs = Runs()
        self._refusals = Refusals()
        self._touched: dict[int, float] = {}
        self._offset_s: float | None = None

    def take_all(self, parcels: Sequence[Parcel]) -> list[Taken]:
        """Take parcels in, in one transaction; return what became of each.

        Raises StoreError where nothing can be kept now; nothing of them is kept then.
        """
        now = self._clock()
        if now < MADE:
            raise StoreError(f"this machine's clock shows {now:%Y-%m-%d}; it has to be set first")
        try:
            with transaction.atomic():
                self._look_at_clock(now)
                return self._within(parcels, now)
        except IntegrityError:
            # one of the sensors was taken away meanwhile
            if len(parcels) > 1:
                return [self.take_all([parcel])[0] for parcel in parcels]
            count = parcels[0].times_s.size + parcels[0].refused
            return [Taken(refused=count, why=("this sensor is not there any more",))]
        except Error as wrong:
            if not connection.in_atomic_block:
                connection.close()
            raise StoreError(words_of(wrong)) from wrong

    def _look_at_clock(self, now: datetime) -> None:
        """Doubt what lies ahead of now, at the start and whenever the clock was put back."""
        offset_s = now.timestamp() - self._steady()
        if self._live and (self._offset_s is None or offset_s < self._offset_s - _BACK_S):
            doubt_ahead(now)
            self._touched.clear()
        self._offset_s = offset_s

    def _within(self, parcels: Sequence[Parcel], now: datetime) -> list[Taken]:
        taken: list[Taken] = [Taken()] * len(parcels)
        for wave in _waves(parcels):
            group = [parcels[index] for index in wave]
            for index, found in zip(wave, self._wave(group, now.timestamp()), strict=True):
                taken[index] = found
        self._touch(
            {p.sender.tank_id for p, t in zip(parcels, taken, strict=True) if t.new + t.changed}
        )
        self._refusals.note(parcels, now)
        return taken

    def _wave(self, parcels: Sequence[Parcel], now_s: float) -> list[Taken]:
        """Take parcels of different sensors in."""
        compared = [
            there.compared(p, old) for p, old in zip(parcels, there.old(parcels), strict=True)
        ]
        comes = [c.new | (c.changed & p.replace) for p, c in zip(parcels, compared, strict=True)]
        firsts = [
            (p.sender.sensor_id, p.sender.kind, int(p.times_s[i][0]), float(p.values[i][0]))
            for p, i in zip(parcels, comes, strict=True)
            if i.any()
        ]
        before = before_each(firsts, self._runs)
        rows: list[tuple[Parcel, NDArray[np.bool_], NDArray[np.int64]]] = []
        taken = []
        for parcel, found, incoming in zip(parcels, compared, comes, strict=True):
            flags = self._doubts(parcel, incoming, before, now_s)
            rows.append((parcel, incoming, flags))
            clashes = found.changed & ~incoming
            taken.append(
                Taken(
                    new=int(found.new.sum()),
                    same=int(found.same.sum()),
                    changed=int((found.changed & incoming).sum()),
                    clashing=int(clashes.sum()) + parcel.twice,
                    doubted=int((flags != 0).sum()),
                    refused=parcel.refused,
                    why=parcel.why,
                )
            )
            _doubt_clashes(parcel, clashes, found.off)
        _put(rows)
        return taken

    def _doubts(
        self,
        parcel: Parcel,
        incoming: NDArray[np.bool_],
        before: dict[int, Before],
        now_s: float,
    ) -> NDArray[np.int64]:
        sender = parcel.sender
        if not incoming.any():
            return np.zeros(0, np.int64)
        times_s, values = parcel.times_s[incoming], parcel.values[incoming]
        was = before[sender.sensor_id]
        self._runs.note(sender.sensor_id, _run_after(times_s, values, was))
        return doubts(sender.kind, times_s, values, was, now_s)

    def _touch(self, tanks: Iterable[int]) -> None:
        """Make what was worked out of these tanks older."""
        steady = self._steady()
        for tank_id in sorted(tanks):
            last = self._touched.get(tank_id)
            if self._live and last is not None and steady - last < LIVE_EVERY_S:
                continue
            row = TankRow.objects.filter(pk=tank_id).first()
            if row is not None:
                touch(row)
                # noted only when the transaction ends well
                transaction.on_commit(lambda t=tank_id: self._touched.update({t: steady}))  # type: ignore[misc]


def _waves(parcels: Sequence[Parcel]) -> list[list[int]]:
    """Return the places of parcels in groups that have each sensor once, in their order."""
    waves: list[list[int]] = []
    count: dict[int, int] = {}
    for index, parcel in enumerate(parcels):
        nth = count.get(parcel.sender.sensor_id, 0)
        count[parcel.sender.sensor_id] = nth + 1
        if nth == len(waves):
            waves.append([])
        waves[nth].append(index)
    return waves


def _run_after(times_s: NDArray[np.int64], values: NDArray[np.float64], before: Before) -> Run:
    """Return the run that the last of some readings stands in."""
    changes = np.flatnonzero(np.diff(values) != 0)
    start = int(changes[-1]) + 1 if changes.size else 0
    since_s, count = int(times_s[start]), values.size - start
    if start == 0 and before.run_count and before.run_value == values[0]:
        since_s, count = before.run_since_s, count + before.run_count
    return Run(int(times_s[-1]), float(values[-1]), since_s, count)


def _doubt_clashes(parcel: Parcel, clashes: NDArray[np.bool_], off: NDArray[np.float64]) -> None:
    """Doubt readings for whose second a quite different value came: two sensors send as one."""
    apart = clashes & (off > SENSORS[parcel.sender.kind].jump)
    if not apart.any():
        return
    rows = ReadingRow.objects.filter(
        sensor=parcel.sender.sensor_id, time_s__in=parcel.times_s[apart].tolist()[:500]
    )
    rows.update(flag=F("flag").bitor(CLASH))


def _put(rows: Sequence[tuple[Parcel, NDArray[np.bool_], NDArray[np.int64]]]) -> None:
    """Put what comes in into the store; by sensor, so that two processes wait and do not block."""
    for replace in (False, True):
        chosen = [row for row in rows if row[0].replace is replace and row[1].any()]
        if not chosen:
            continue
        chosen.sort(key=lambda row: row[0].sender.sensor_id)
        counts = [int(incoming.sum()) for _, incoming, _ in chosen]
        put(
            np.repeat([parcel.sender.sensor_id for parcel, _, _ in chosen], counts),
            np.concatenate([parcel.times_s[incoming] for parcel, incoming, _ in chosen]),
            np.concatenate([parcel.values[incoming] for parcel, incoming, _ in chosen]),
            np.concatenate([flags for _, _, flags in chosen]),
            replace=replace,
        )


def doubt_ahead(now: datetime) -> int:
    """Doubt every reading that lies ahead of now; return how many.

    They came while the clock here was ahead, and would else be believed when it gets there.
    """
    late_s = int(now.timestamp()) + AHEAD_S
    ahead = ReadingRow.objects.filter(sensor=OuterRef("pk"), time_s__gt=late_s)
    found = 0
    for sensor_id in SensorRow.objects.filter(Exists(ahead)).values_list("pk", flat=True):
        rows = ReadingRow.objects.filter(sensor=sensor_id, time_s__gt=late_s)
        new = rows.annotate(had=F("flag").bitand(AHEAD)).filter(had=0)
        found += new.update(flag=F("flag").bitor(AHEAD))
    return found
