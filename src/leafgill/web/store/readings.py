"""Sensors' readings: many at once, each moment of a sensor once."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from django.db import connection, transaction
from numpy.typing import ArrayLike, NDArray

from leafgill.diary import SENSORS
from leafgill.errors import InputError, quoted
from leafgill.web.clock import now as clock_now
from leafgill.web.models import ReadingRow, SensorRow, TankRow
from leafgill.web.store.tanks import touch

Times = NDArray[np.int64]
Values = NDArray[np.float64]

TABLE = ReadingRow._meta.db_table
# What is there with the same value stays untouched, so that a file that comes in twice changes
# nothing; a doubt about a reading goes with the value it was about.
_OR_CHANGE = (
    "ON CONFLICT (sensor_id, time_s) DO UPDATE SET value = excluded.value, flag = excluded.flag "
    f"WHERE {TABLE}.value <> excluded.value"
)
_OR_NOTHING = "ON CONFLICT (sensor_id, time_s) DO NOTHING"
# Rows in one statement: four numbers each, well below the 32 766 that every SQLite takes.
_AT_ONCE = 4_000
# Fewer come faster in a plain statement than through a table of the moment.
_COPY_FROM = 500


def sensor_for(row: TankRow, kind: str, name: str = "") -> SensorRow:
    """Return a tank's sensor of a kind, made where there is none.

    Raises InputError for a kind that is not known.
    """
    if kind not in SENSORS:
        raise InputError(f"sensor {quoted(kind)} is not known; accepted: {', '.join(SENSORS)}")
    sensor, _ = SensorRow.objects.get_or_create(
        tank=row,
        name=name or kind,
        defaults={"kind": kind, "unit": SENSORS[kind].unit, "made_at": clock_now()},
    )
    return sensor


def add_readings(sensor: SensorRow, times_s: ArrayLike, values: ArrayLike) -> int:
    """Add readings at epoch seconds [n]; of two at one second the later in order stays.

    Return how many were new or another value. Raises InputError for unequal lengths and for
    values that the sensor cannot send, before anything is written.
    """
    times = np.atleast_1d(np.asarray(times_s, dtype=np.int64))
    numbers = np.atleast_1d(np.asarray(values, dtype=np.float64))
    _refuse(sensor.kind, times, numbers)
    times, numbers = _each_once(times, numbers)
    if not times.size:
        return 0
    sensors, flags = np.full(times.size, sensor.pk), np.zeros(times.size, np.int64)
    with transaction.atomic():
        changed = put(sensors, times, numbers, flags, replace=True)
        if changed:
            touch(sensor.tank)
    return changed


def put(
    sensor_ids: Times, times_s: Times, values: Values, flags: Times, *, replace: bool = False
) -> int:
    """Put readings [n] of any sensors in as they are, within a transaction; return how many.

    Each second of a sensor is there once: another value takes the place of the one that is there
    where `replace`, and is left out otherwise.
    """
    copied = connection.vendor == "postgresql" and times_s.size > _COPY_FROM
    way = _put_copied if copied else _put_rows
    return way(sensor_ids, times_s, values, flags, _OR_CHANGE if replace else _OR_NOTHING)


def _refuse(kind: str, times: Times, values: Values) -> None:
    if times.shape != values.shape:
        raise InputError(f"{kind}: {times.size} times but {values.size} values")
    low, high = SENSORS[kind].accepted
    fine = (values >= low) & (values <= high)
    if not fine.all():
        wrong = values[~fine][0]
        raise InputError(f"{kind}: value {wrong:g} is not accepted; accepted: {low:g} to {high:g}")


def _each_once(times: Times, values: Values) -> tuple[Times, Values]:
    """Return readings in order of time, the later given of two at one second."""
    if (np.diff(times) > 0).all():
        return times, values
    order = np.argsort(times, kind="stable")
    times, values = times[order], values[order]
    last = np.append(np.diff(times) > 0, True)
    return times[last], values[last]


@lru_cache(maxsize=64)
def _statement(count: int, else_what: str, mark: str) -> str:
    rows = ",".join([f"({mark},{mark},{mark},{mark})"] * count)
    return f"INSERT INTO {TABLE} (sensor_id, time_s, value, flag) VALUES {rows} {else_what}"


def _put_rows(
    sensor_ids: Times, times_s: Times, values: Values, flags: Times, else_what: str
) -> int:
    """Put rows in by statements of many rows, straight to the driver."""
    changed = 0
    mark = "?" if connection.vendor == "sqlite" else "%s"
    with connection.cursor() as cursor:
        # Django's own call would look through every statement for its placeholders
        raw = cursor.connection.cursor()
        for start in range(0, times_s.size, _AT_ONCE):
            part = slice(start, start + _AT_ONCE)
            given = times_s[part].tolist()
            flat: list[float | int] = [0] * (4 * len(given))
            flat[0::4] = sensor_ids[part].tolist()
            flat[1::4] = given
            flat[2::4] = values[part].tolist()
            flat[3::4] = flags[part].tolist()
            raw.execute(_statement(len(given), else_what, mark), flat)
            changed += raw.rowcount
        raw.close()
    return changed


def _put_copied(
    sensor_ids: Times, times_s: Times, values: Values, flags: Times, else_what: str
) -> int:
    """PostgreSQL takes a stream into a table of the moment, and the rows from there."""
    rows = zip(sensor_ids.tolist(), times_s.tolist(), values.tolist(), flags.tolist(), strict=True)
    text = "\n".join(
        f"{sensor}\t{time_s}\t{value!r}\t{flag}" for sensor, time_s, value, flag in rows
    )
    with connection.cursor() as cursor:
        cursor.execute(
            "CREATE TEMP TABLE incoming (sensor_id bigint, time_s bigint, value float8, "
            "flag smallint) ON COMMIT DROP"
        )
        with cursor.cursor.copy("COPY incoming FROM STDIN") as copy:
            copy.write(text)
        cursor.execute(
            f"INSERT INTO {TABLE} (sensor_id, time_s, value, flag) "
            f"SELECT sensor_id, time_s, value, flag FROM incoming {else_what}"
        )
        changed = int(cursor.rowcount)
        # two imports may come within one transaction
        cursor.execute("DROP TABLE incoming")
    return changed


def readings_between(
    sensor: SensorRow, first_s: int, last_s: int, *, doubted: bool = False
) -> tuple[Times, Values]:
    """Return a sensor's readings from one moment to another, both included, in order of time.

    Those that are doubted are left out unless `doubted`: what is believed stands on none of them.
    """
    but = "" if doubted else "AND flag = 0 "
    with connection.cursor() as cursor:
        cursor.execute(
            f"SELECT time_s, value FROM {TABLE} "
            f"WHERE sensor_id = %s AND time_s BETWEEN %s AND %s {but}ORDER BY time_s",
            [sensor.pk, int(first_s), int(last_s)],
        )
        rows = cursor.fetchall()
    if not rows:
        return np.zeros(0, np.int64), np.zeros(0)
    times, values = zip(*rows, strict=True)
    return np.array(times, dtype=np.int64), np.array(values, dtype=np.float64)


def readings_of_kind(row: TankRow, kind: str, first_s: int, last_s: int) -> tuple[Times, Values]:
    """Return all readings of a tank's sensor of a kind, none where there is no such sensor."""
    sensor = SensorRow.objects.filter(tank=row, name=kind).first()
    if sensor is None:
        return np.zeros(0, np.int64), np.zeros(0)
    return readings_between(sensor, first_s, last_s, doubted=True)
