import numpy as np
import pytest
from django.db import connection

from leafgill.errors import InputError
from leafgill.tank.spec import Tank
from leafgill.web.models import Keeper, ReadingRow, SensorRow
from leafgill.web.store import readings as store
from leafgill.web.store.readings import (
    add_readings,
    readings_between,
    readings_of_kind,
    sensor_for,
)
from leafgill.web.store.tanks import create_tank

pytestmark = pytest.mark.django_db
FIRST = 1_741_000_000


@pytest.fixture
def row(db):
    keeper = Keeper.objects.create(username="ada")
    return create_tank(keeper, Tank.from_mapping({"tank": {"name": "Den", "volume_l": 60}}))


@pytest.fixture
def sensor(row):
    return sensor_for(row, "ph")


def version(row):
    row.refresh_from_db()
    return row.version


def minutes(count):
    return FIRST + 60 * np.arange(count), 6.5 + 0.001 * (np.arange(count) % 500)


def there(sensor):
    times_s, values = readings_between(sensor, 0, 2**40, doubted=True)
    return times_s.tolist(), values.tolist()


@pytest.mark.parametrize("count", [1, 3999, 4000, 4001, 9000])
def test_what_goes_in_comes_out(sensor, count):
    times_s, values = minutes(count)
    assert add_readings(sensor, times_s, values) == count
    assert there(sensor) == (times_s.tolist(), values.tolist())
    assert ReadingRow.objects.filter(sensor=sensor).count() == count


def test_the_same_again_changes_nothing_and_makes_no_answer_older(row, sensor):
    add_readings(sensor, *minutes(5000))
    before = version(row)
    assert add_readings(sensor, *minutes(5000)) == 0
    assert version(row) == before
    assert add_readings(sensor, *minutes(5002)) == 2
    assert version(row) == before + 1


def test_another_value_at_a_second_takes_its_place_and_its_doubt_away(row, sensor):
    add_readings(sensor, [FIRST, FIRST + 60], [6.5, 6.6])
    ReadingRow.objects.filter(sensor=sensor).update(flag=1)
    before = version(row)
    assert add_readings(sensor, [FIRST, FIRST + 60], [6.5, 6.7]) == 1
    assert there(sensor)[1] == [6.5, 6.7]
    flags = ReadingRow.objects.filter(sensor=sensor).order_by("time_s")
    assert list(flags.values_list("flag", flat=True)) == [1, 0]
    assert version(row) == before + 1


def test_what_is_doubted_is_left_out_unless_asked_for(sensor):
    add_readings(sensor, [FIRST, FIRST + 60], [6.5, 6.6])
    ReadingRow.objects.filter(sensor=sensor, time_s=FIRST).update(flag=2)
    assert readings_between(sensor, 0, 2**40)[1].tolist() == [6.6]
    assert readings_between(sensor, 0, 2**40, doubted=True)[1].tolist() == [6.5, 6.6]


def test_of_two_at_one_second_the_later_stays(sensor):
    add_readings(sensor, [FIRST, FIRST + 60, FIRST], [6.5, 6.6, 6.7])
    assert there(sensor) == ([FIRST, FIRST + 60], [6.7, 6.6])


def test_a_file_with_two_at_one_second_changes_nothing_when_it_comes_again(row, sensor):
    given = [FIRST, FIRST + 60, FIRST], [6.5, 6.6, 6.7]
    assert add_readings(sensor, *given) == 2
    before = version(row)
    assert add_readings(sensor, *given) == 0
    assert version(row) == before


def test_order_does_not_matter(sensor):
    add_readings(sensor, [FIRST + 60, FIRST], [6.6, 6.5])
    assert there(sensor) == ([FIRST, FIRST + 60], [6.5, 6.6])


@pytest.mark.parametrize(
    ("times_s", "values", "words"),
    [
        ([FIRST, FIRST + 60], [6.5], "2 times but 1 values"),
        ([FIRST, FIRST + 60], [6.5, 14.0], "value 14 is not accepted; accepted: 3 to 11"),
        ([FIRST], [float("nan")], "value nan is not accepted"),
        ([FIRST], [float("inf")], "value inf is not accepted"),
    ],
)
def test_what_a_sensor_cannot_send_is_refused_before_anything_is_written(
    row, sensor, times_s, values, words
):
    before = version(row)
    with pytest.raises(InputError, match=words):
        add_readings(sensor, times_s, values)
    assert there(sensor) == ([], [])
    assert version(row) == before


def test_nothing_given_is_nothing_written(row, sensor):
    before = version(row)
    assert add_readings(sensor, [], []) == 0
    assert version(row) == before


def test_two_imports_fit_into_one_transaction(sensor):
    add_readings(sensor, [FIRST], [6.5])
    add_readings(sensor, [FIRST + 60], [6.6])
    assert len(there(sensor)[0]) == 2


def test_a_sensor_is_made_once_and_has_its_kinds_unit(row):
    first, second = sensor_for(row, "temperature"), sensor_for(row, "temperature")
    assert first.pk == second.pk
    assert (first.name, first.kind, first.unit) == ("temperature", "temperature", "degC")
    with pytest.raises(InputError, match='sensor "salt" is not known; accepted: ph, temp'):
        sensor_for(row, "salt")


def test_looking_at_a_kind_makes_no_sensor(row, sensor):
    assert [part.size for part in readings_of_kind(row, "o2", 0, 2**40)] == [0, 0]
    assert SensorRow.objects.filter(tank=row).count() == 1
    add_readings(sensor, [FIRST], [6.5])
    assert readings_of_kind(row, "ph", FIRST, FIRST)[1].tolist() == [6.5]


def test_both_ends_of_a_span_belong_to_it(sensor):
    times_s, values = minutes(10)
    add_readings(sensor, times_s, values)
    found = readings_between(sensor, int(times_s[2]), int(times_s[5]))
    assert found[0].tolist() == times_s[2:6].tolist()
    assert (found[0].dtype, found[1].dtype) == (np.int64, np.float64)
    assert readings_between(sensor, 0, int(times_s[0]) - 1)[0].size == 0


def test_sensors_do_not_mix(row, sensor):
    other = sensor_for(row, "temperature")
    add_readings(sensor, [FIRST], [6.5])
    add_readings(other, [FIRST], [25.0])
    assert there(sensor)[1] == [6.5]
    assert there(other)[1] == [25.0]


def test_a_sensors_readings_go_with_it(row, sensor):
    add_readings(sensor, *minutes(10))
    sensor.delete()
    assert not ReadingRow.objects.exists()


def test_a_statement_stays_below_what_every_sqlite_takes():
    assert 4 * store._AT_ONCE < 32_766


def test_readings_lie_by_their_key_where_the_database_can():
    if connection.vendor != "sqlite":
        # an index of the key alone, in that order
        with connection.cursor() as cursor:
            cursor.execute("SELECT indexdef FROM pg_indexes WHERE tablename = 'web_readingrow'")
            assert [d.split(" USING ")[1] for (d,) in cursor.fetchall()] == [
                "btree (sensor_id, time_s)"
            ]
        return
    with connection.cursor() as cursor:
        cursor.execute("SELECT sql FROM sqlite_master WHERE name = 'web_readingrow'")
        made = cursor.fetchone()[0]
    assert made.replace('"', "").endswith("PRIMARY KEY (sensor_id, time_s)) WITHOUT ROWID")
