from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from django.db import OperationalError, connection
from django.test.utils import CaptureQueriesContext

from leafgill.web.ingest import taking
from leafgill.web.ingest.checks import AHEAD, CLASH, RANGE, RATE, STUCK
from leafgill.web.ingest.failing import StoreError
from leafgill.web.ingest.parcel import Taken, packed, sender_of
from leafgill.web.ingest.taking import Desk, doubt_ahead, take
from leafgill.web.models import ReadingRow, SensorRow
from leafgill.web.store.entries import diary_of
from leafgill.web.store.readings import sensor_for

pytestmark = pytest.mark.django_db


@pytest.fixture
def t(now):
    """An hour before now, in epoch seconds."""
    return int(now.timestamp()) - 3600


def version(row):
    row.refresh_from_db()
    return row.version


def test_what_comes_in_is_kept_and_told(sensor, now, t, kept):
    assert take(sensor, [t, t + 60], [6.8, 6.81], now) == Taken(new=2)
    assert kept(sensor) == [(t, 6.8, 0), (t + 60, 6.81, 0)]


def test_sent_again_it_is_there_once(sensor, row, now, t, kept):
    take(sensor, [t, t + 60], [6.8, 6.81], now)
    before = version(row)
    assert take(sensor, [t, t + 60, t + 120], [6.8, 6.81, 6.8], now) == Taken(new=1, same=2)
    assert len(kept(sensor)) == 3
    assert take(sensor, [t, t + 60, t + 120], [6.8, 6.81, 6.8], now) == Taken(same=3)
    assert version(row) == before + 1


def test_another_value_for_a_second_does_not_take_its_place(sensor, now, t, kept):
    take(sensor, t, 6.8, now)
    assert take(sensor, t, 6.9, now) == Taken(clashing=1)
    assert kept(sensor) == [(t, 6.8, 0)]
    # two sensors that send as one: neither is believed
    assert take(sensor, t, 7.5, now) == Taken(clashing=1)
    assert kept(sensor) == [(t, 6.8, CLASH)]


def test_with_replace_it_does_and_is_looked_at_anew(sensor, now, t, kept):
    take(sensor, [t, t + 60], [6.8, 9.8], now)
    assert kept(sensor)[1][2] == RATE
    assert take(sensor, [t, t + 60], [6.8, 6.9], now, replace=True) == Taken(same=1, changed=1)
    assert kept(sensor) == [(t, 6.8, 0), (t + 60, 6.9, 0)]


def test_what_is_replaced_is_no_measure_for_what_takes_its_place(sensor, now, t, kept):
    take(sensor, t, 6.8, now)
    assert take(sensor, t, 7.5, now, replace=True) == Taken(changed=1)
    assert kept(sensor) == [(t, 7.5, 0)]


def test_the_doubted_is_kept_as_it_was_sent_and_not_believed(sensor, row, now, t, kept):
    told = take(sensor, [t, t + 60, t + 120], [6.8, 14.2, 6.79], now)
    assert told == Taken(new=3, doubted=1)
    assert kept(sensor) == [(t, 6.8, 0), (t + 60, 14.2, RANGE), (t + 120, 6.79, 0)]
    assert diary_of(row).streams["ph"].values.tolist() == [6.8, 6.79]


def test_the_impossible_is_not_kept_and_the_keeper_can_see_why(sensor, now, t, kept):
    told = take(sensor, [t, t + 60, 0], [6.8, np.nan, 6.8], now)
    assert (told.new, told.refused) == (1, 2)
    assert kept(sensor) == [(t, 6.8, 0)]
    sensor.refresh_from_db()
    assert sensor.refused == "; ".join(told.why)
    assert "nan cannot be a reading of ph" in sensor.refused
    assert (sensor.refused_at, sensor.refused_count) == (now, 2)


@pytest.mark.parametrize("one_by_one", [True, False])
def test_a_stray_value_and_a_step_are_told_alike_one_by_one(sensor, now, t, kept, one_by_one):
    values = [6.8, 7.9, 6.81, *[7.4] * 7]
    times = [t + 60 * n for n in range(10)]
    desk = Desk(lambda: now)
    if one_by_one:
        for time_s, value in zip(times, values, strict=True):
            desk.take_all([packed(sender_of(sensor), time_s, value)])
    else:
        take(sensor, times, values, now)
    flags = [flag for _, _, flag in kept(sensor)]
    assert flags == [0, RATE, 0, RATE, RATE, RATE, RATE, RATE, 0, 0]


@pytest.mark.parametrize("fresh", [True, False])
def test_a_figure_that_stands_is_stuck_whoever_remembers(sensor, now, kept, fresh):
    start = int(now.timestamp()) - 40 * 600
    desk = Desk(lambda: now)
    for n in range(40):
        desk = Desk(lambda: now) if fresh else desk
        desk.take_all([packed(sender_of(sensor), start + 600 * n, 6.8)])
    assert [flag for _, _, flag in kept(sensor)] == [0] * 36 + [STUCK] * 4


def test_what_another_process_wrote_in_between_is_seen(sensor, now, kept):
    start = int(now.timestamp()) - 40 * 600
    desk = Desk(lambda: now)
    for n in range(20):
        desk.take_all([packed(sender_of(sensor), start + 600 * n, 6.8)])
    take(sensor, [start + 600 * 20, start + 600 * 21], [6.9, 6.8], now)
    for n in range(22, 40):
        desk.take_all([packed(sender_of(sensor), start + 600 * n, 6.8)])
    assert {flag for _, _, flag in kept(sensor)} == {0}


def test_later_than_now_is_kept_and_doubted(sensor, now, t, kept):
    late = int(now.timestamp()) + 301
    assert take(sensor, [late - 1, late], [6.8, 6.8], now) == Taken(new=2, doubted=1)
    assert [flag for _, _, flag in kept(sensor)] == [0, AHEAD]


def test_many_sensors_go_in_together_each_to_its_own(row, now, t, kept):
    sensors = [sensor_for(row, kind) for kind in ("ph", "temperature", "o2")]
    values = [6.8, 24.0, 8.0]
    parcels = [
        packed(sender_of(sensor), t, value) for sensor, value in zip(sensors, values, strict=True)
    ]
    again = [packed(sender_of(sensors[0]), t + 60, 6.9), packed(sender_of(sensors[0]), t, 6.8)]
    told = Desk(lambda: now).take_all([*parcels, *again])
    assert told == [Taken(new=1)] * 4 + [Taken(same=1)]
    assert kept(sensors[0]) == [(t, 6.8, 0), (t + 60, 6.9, 0)]
    assert kept(sensors[1]) == [(t, 24.0, 0)]


def test_two_parcels_of_one_sensor_are_looked_at_one_after_the_other(sensor, now, t, kept):
    parcels = [packed(sender_of(sensor), t + n, v) for n, v in enumerate((6.8, 7.9, 6.8))]
    told = Desk(lambda: now).take_all(parcels)
    assert [one.doubted for one in told] == [0, 1, 0]


def test_a_few_hundred_sensors_cost_a_few_statements(row, now, t):
    sensors = SensorRow.objects.bulk_create(
        SensorRow(tank=row, name=f"s{n}", kind="ph", made_at=now) for n in range(300)
    )
    desk = Desk(lambda: now, live=True)
    for n in range(3):
        parcels = [packed(sender_of(sensor), t + n, 6.8 + 0.01 * n) for sensor in sensors]
        with CaptureQueriesContext(connection) as queries:
            assert desk.take_all(parcels) == [Taken(new=1)] * 300
    assert len(queries) < 8
    assert ReadingRow.objects.count() == 900


def test_large_parcels_are_compared_by_their_span(sensor, now, t, kept):
    times = t + np.arange(120)
    values = 6.8 + 0.001 * np.arange(120)
    assert take(sensor, times[::2], values[::2], now).new == 60
    assert take(sensor, times, values, now) == Taken(new=60, same=60)
    assert len(kept(sensor)) == 120


@pytest.mark.django_db(transaction=True)
def test_a_sensor_that_is_gone_takes_nobody_elses_readings_with_it(sensor, row, now, t, kept):
    gone = sensor_for(row, "o2")
    parcels = [packed(sender_of(gone), t, 8.0), packed(sender_of(sensor), t, 6.8)]
    gone.delete()
    told = Desk(lambda: now).take_all(parcels)
    assert told[0].why == ("this sensor is not there any more",)
    assert told[1] == Taken(new=1)
    assert kept(sensor) == [(t, 6.8, 0)]


def test_live_readings_make_an_answer_older_every_five_minutes(
    sensor, row, now, t, django_capture_on_commit_callbacks
):
    steady = [1000.0]
    clock = lambda: now + timedelta(seconds=steady[0])  # noqa: E731
    desk = Desk(clock, live=True, steady=lambda: steady[0])
    seen = []
    for second in range(0, 700, 100):
        steady[0] = 1000.0 + second
        with django_capture_on_commit_callbacks(execute=True):
            desk.take_all([packed(sender_of(sensor), t + second, 6.8 + 0.0001 * second)])
        seen.append(version(row))
    first = seen[0]
    assert [v - first for v in seen] == [0, 0, 0, 1, 1, 1, 2]


def test_before_the_clock_is_set_nothing_is_taken_and_nothing_lost(sensor, t, kept):
    early = datetime(1970, 1, 1, 0, 3, tzinfo=UTC)
    with pytest.raises(StoreError, match="clock shows 1970-01-01; it has to be set first"):
        take(sensor, t, 6.8, early)
    assert kept(sensor) == []


def test_a_clock_put_back_doubts_what_it_has_sent_into_the_future(sensor, now, kept):
    clock, steady = [now + timedelta(days=1)], [0.0]
    desk = Desk(lambda: clock[0], live=True, steady=lambda: steady[0])

    def send(value):
        desk.take_all([packed(sender_of(sensor), int(clock[0].timestamp()), value)])

    send(6.8)
    assert kept(sensor)[0][2] == 0
    clock[0], steady[0] = now + timedelta(seconds=10), 10.0
    send(6.81)
    assert [(v, f) for _, v, f in kept(sensor)] == [(6.81, 0), (6.8, AHEAD)]
    # a correction of some seconds is none
    steady[0] = 20.0
    clock[0] = now - timedelta(seconds=30)
    send(6.82)
    assert [f for _, _, f in kept(sensor)] == [0, 0, AHEAD]


def test_doubting_what_lies_ahead_twice_is_once(sensor, now, kept):
    late = int(now.timestamp()) + 301
    sensor_rows = [ReadingRow(sensor=sensor, time_s=late + n, value=6.8, flag=n) for n in (0, 2)]
    ReadingRow.objects.bulk_create(sensor_rows)
    assert doubt_ahead(now) == 2
    assert [f for _, _, f in kept(sensor)] == [AHEAD, AHEAD | 2]
    assert doubt_ahead(now) == 0


def test_what_the_store_refuses_is_told_in_words_and_nothing_is_kept(sensor, now, t, monkeypatch):
    def full(*_rows, **_more):
        raise OperationalError("database or disk is full")

    monkeypatch.setattr(taking, "put", full)
    with pytest.raises(StoreError, match="the disk is full or fails"):
        take(sensor, t, 6.8, now)
    assert not ReadingRow.objects.exists()
