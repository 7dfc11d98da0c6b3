"""What sensors sent before: looked up for many of them at once, and remembered."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Iterable
from dataclasses import dataclass

from django.db import connection

from leafgill.diary import SENSORS
from leafgill.diary.plausible import JUMP_WITHIN_S, STUCK_LEAST
from leafgill.web.ingest.checks import UNTRUSTED, Before
from leafgill.web.store.readings import TABLE

# A statement of this many pairs stays well below what every SQLite takes.
_AT_ONCE = 2_000
_MOST_RUNS = 20_000


@dataclass(frozen=True, slots=True)
class Run:
    """A figure that a sensor shows: newest at `last_s`, since `since_s`, in `count` readings."""

    last_s: int
    value: float
    since_s: int
    count: int


class Runs:
    """How long each sensor has shown its newest figure, of those seen lately.

    What is remembered holds only as long as the store's newest reading is the remembered one:
    another process may have written since.
    """

    def __init__(self, most: int = _MOST_RUNS) -> None:
        self._most = most
        self._found: OrderedDict[int, Run] = OrderedDict()

    def of(self, sensor_id: int, kind: str, last_s: int, value: float) -> Run:
        """Return the run that the reading before stands in."""
        found = self._found.get(sensor_id)
        if found is None or (found.last_s, found.value) != (last_s, value):
            found = _run_in_store(sensor_id, kind, last_s, value)
        return found

    def note(self, sensor_id: int, run: Run) -> None:
        """Remember a run."""
        self._found[sensor_id] = run
        self._found.move_to_end(sensor_id)
        while len(self._found) > self._most:
            self._found.popitem(last=False)


def before_each(firsts: Iterable[tuple[int, str, int, float]], runs: Runs) -> dict[int, Before]:
    """Return what was sent before, by sensor.

    `firsts` are (sensor, its kind, epoch second and value of the first reading that comes in).
    """
    asked = {sensor_id: (kind, first_s, value) for sensor_id, kind, first_s, value in firsts}
    pairs = [(sensor_id, first_s) for sensor_id, (_, first_s, _) in asked.items()]
    newest = _newest(pairs)
    doubtful = [(i, s) for i, s in pairs if i in newest and newest[i][2] & UNTRUSTED]
    trusted = _newest(doubtful, but=UNTRUSTED)
    found = {}
    for sensor_id, (kind, first_s, value) in asked.items():
        there = newest.get(sensor_id)
        if there is None:
            found[sensor_id] = Before()
            continue
        good = trusted.get(sensor_id) if there[2] & UNTRUSTED else there
        if good is not None and first_s - good[0] > JUMP_WITHIN_S:
            good = None
        # a run is looked up only where the figure goes on
        goes_on = value == there[1]
        run = runs.of(sensor_id, kind, there[0], there[1]) if goes_on else None
        found[sensor_id] = Before(
            None if good is None else (good[0], good[1]),
            there[1],
            there[0] if run is None else run.since_s,
            0 if run is None else run.count,
        )
    return found


def _newest(pairs: list[tuple[int, int]], but: int = 0) -> dict[int, tuple[int, float, int]]:
    """Return each sensor's newest reading before a second: (second, value, flag), by sensor.

    Those with a flag of `but` are passed over; then nothing older than some minutes is sought.
    """
    found: dict[int, tuple[int, float, int]] = {}
    seek = f"AND x.flag & {but} = 0 AND x.time_s >= q.t - {JUMP_WITHIN_S}" if but else ""
    for start in range(0, len(pairs), _AT_ONCE):
        part = pairs[start : start + _AT_ONCE]
        rows = ",".join(["(%s,%s)"] * len(part))
        with connection.cursor() as cursor:
            cursor.execute(
                f"WITH q(s, t) AS (VALUES {rows}) "
                f"SELECT r.sensor_id, r.time_s, r.value, r.flag FROM q JOIN {TABLE} r "
                "ON r.sensor_id = q.s AND r.time_s = (SELECT max(x.time_s) "
                f"FROM {TABLE} x WHERE x.sensor_id = q.s AND x.time_s < q.t {seek})",
                [number for pair in part for number in pair],
            )
            found |= {int(s): (int(t), float(v), int(f)) for s, t, v, f in cursor.fetchall()}
    return found


def _run_in_store(sensor_id: int, kind: str, last_s: int, value: float) -> Run:
    """Return since when a sensor shows its newest figure, as far back as it matters."""
    # an hour more than a working sensor may, so that a longer run is known for one
    first_s = last_s - round(SENSORS[kind].stuck_h * 3600) - 3600
    with connection.cursor() as cursor:
        cursor.execute(
            f"SELECT time_s FROM {TABLE} WHERE sensor_id = %s AND time_s BETWEEN %s AND %s "
            "AND value <> %s ORDER BY time_s DESC LIMIT 1",
            [sensor_id, first_s, last_s, value],
        )
        row = cursor.fetchone()
        changed_s = first_s - 1 if row is None else int(row[0])
        cursor.execute(
            f"SELECT min(time_s) FROM {TABLE} "
            "WHERE sensor_id = %s AND time_s > %s AND time_s <= %s",
            [sensor_id, changed_s, last_s],
        )
        since_s = int(cursor.fetchone()[0])
        # whether there are enough is all that is asked
        cursor.execute(
            f"SELECT count(*) FROM (SELECT 1 FROM {TABLE} WHERE sensor_id = %s "
            f"AND time_s > %s AND time_s <= %s LIMIT {STUCK_LEAST}) AS counted",
            [sensor_id, changed_s, last_s],
        )
        return Run(last_s, value, since_s, int(cursor.fetchone()[0]))
