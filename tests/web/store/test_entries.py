from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from leafgill import examples
from leafgill.diary import Diary, Entry, Kind, written
from leafgill.diary.localised import localised_entries
from leafgill.estimate.evidence import LOOK_BACK_DAYS
from leafgill.tank.clock import zone
from leafgill.tank.spec import Tank
from leafgill.web.models import EntryRow, Keeper
from leafgill.web.store.entries import (
    add_entries,
    add_entry,
    diary_of,
    edit_entry,
    entry_of,
    recent_diary,
    remove_entry,
    restore_entry,
)
from leafgill.web.store.readings import add_readings, sensor_for
from leafgill.web.store.tanks import create_tank

pytestmark = pytest.mark.django_db
ZONE = "Europe/Berlin"
NOW = datetime(2025, 3, 8, 11, 10, tzinfo=UTC)
# One of every kind, as a keeper would write them.
EVERY = [
    ("2025-03-04T08:00", "ph", "6.8", "", "read to 0.2"),
    ("2025-03-04T08:01", "ph_probe", "6.71"),
    ("2025-03-04T08:02", "degassed_ph", "7.6", "", "glass drawn 2025-03-03 08:00, same probe"),
    ("2025-03-04T08:03", "kh", "4.5", "dKH", "drop 0.5, rounded up"),
    ("2025-03-04T08:04", "gh", "120", "ppm"),
    ("2025-03-04T08:05", "drop_checker", "yellow-green"),
    ("2025-03-04T08:06", "bubble_rate", "1.5"),
    ("2025-03-04T08:07", "bubble_count", "42", "30 s"),
    ("2025-03-04T08:08", "gas_day", "08:30-17:30"),
    ("2025-03-04T08:09", "light_day", "off"),
    ("2025-03-04T08:10", "air_day", "22:00-06:00"),
    ("2025-03-04T08:11", "temperature", "77", "°F"),
    ("2025-03-04T08:12", "cylinder_mass", "4.31", "kg"),
    ("2025-03-04T08:13", "cylinder_pressure", "58", "bar"),
    ("2025-03-04T08:14", "working_pressure", "30", "psi"),
    ("2025-03-04T08:15", "water_change", "40", "", "new water kh 6"),
    ("2025-03-04T08:16", "dose", "5", "mL", "iron"),
    ("2025-03-04T08:17", "test", "10", "mg/L", "nitrate"),
    ("2025-03-04T08:18", "fish", "fast-breathing"),
    ("2025-03-04T08:19", "calibration", "", "", "7.00 and 4.01"),
    ("2025-03-04T08:20", "care", "diffuser cleaned"),
    ("2025-03-04T08:21", "note", "", "", 'a, "b"\nc; ünïcode 水'),
]
READ_INTO = (
    "time", "kind", "value", "unit", "note", "seconds", "resolution", "rounding", "instrument",
    "air", "drawn", "new_kh_dkh", "substance", "buffers",
)  # fmt: skip


@pytest.fixture(autouse=True)
def _now(monkeypatch):
    monkeypatch.setenv("LEAFGILL_NOW", NOW.isoformat())


@pytest.fixture
def ada(db):
    return Keeper.objects.create(username="ada")


@pytest.fixture
def row(ada):
    tank = {"tank": {"name": "Den", "volume_l": 60, "timezone": ZONE}}
    return create_tank(ada, Tank.from_mapping(tank))


def local(*rows):
    return localised_entries([Entry(*row) for row in rows], ZONE)[0]


def test_every_kind_is_here():
    assert {row[1] for row in EVERY} == {kind.value for kind in Kind}


@pytest.mark.parametrize("told", EVERY, ids=lambda row: row[1])
def test_an_entry_comes_back_as_it_was_read(row, ada, told):
    (entry,) = local(told)
    pk = add_entry(row, entry, ada).pk
    back = entry_of(EntryRow.objects.get(pk=pk), zone(ZONE))
    for name in READ_INTO:
        assert getattr(back, name) == getattr(entry, name), name


def test_who_wrote_it_and_when_is_kept(row, ada):
    at = add_entry(row, local(EVERY[0])[0], ada)
    at.refresh_from_db()
    assert (at.made_by, at.made_at, at.removed_at) == (ada, NOW, None)
    assert at.time == datetime(2025, 3, 4, 7, 0, tzinfo=UTC)


def test_a_time_without_a_zone_is_nobodys(row, ada):
    with pytest.raises(ValueError, match="has no zone"):
        add_entry(row, Entry(*EVERY[0]), ada)
    assert not EntryRow.objects.exists()


def test_each_change_makes_what_was_worked_out_older(row, ada):
    first, second = local(EVERY[0], EVERY[1])
    at = add_entry(row, first, ada)
    assert row.version == 2
    at = EntryRow.objects.get(pk=at.pk)
    for version, change in enumerate(
        (
            lambda: edit_entry(at, second, ada),
            lambda: remove_entry(at, ada),
            lambda: restore_entry(at, ada),
            lambda: add_entries(row, local(*EVERY[2:5]), ada),
        ),
        start=3,
    ):
        change()
        row.refresh_from_db()
        assert row.version == version
    assert add_entries(row, [], ada) == 0
    row.refresh_from_db()
    assert row.version == 6


def test_an_entry_that_is_edited_says_something_else(row, ada):
    bo = Keeper.objects.create(username="bo")
    at = add_entry(row, local(EVERY[0])[0], ada)
    edit_entry(at, local(EVERY[3])[0], bo)
    (found,) = diary_of(row).entries
    assert (found.kind, written(found), found.resolution) == (Kind.KH, "4.5", 0.5)
    assert EntryRow.objects.get().made_by == bo


def test_what_is_taken_out_is_not_in_the_diary_until_it_is_put_back(row, ada):
    at = add_entry(row, local(EVERY[0])[0], ada)
    remove_entry(at, ada)
    assert len(diary_of(row)) == 0
    assert EntryRow.objects.get().removed_at == NOW
    restore_entry(at, ada)
    assert len(diary_of(row)) == 1


@pytest.mark.parametrize("example", examples.EXAMPLES, ids=lambda e: e.folder.name)
def test_a_whole_diary_comes_back_equal(ada, example):
    row = create_tank(ada, Tank.from_mapping({"tank": {"name": "Den", "volume_l": 60}}))
    diary = Diary.load(example.diary, example.probe, "UTC")
    assert add_entries(row, diary.entries, ada) == len(diary)
    for name, stream in diary.streams.items():
        add_readings(sensor_for(row, name), stream.times_s, stream.values)
    assert diary_of(row) == diary
    assert diary_of(row).timezone == "UTC"


def test_the_order_of_one_moment_is_the_order_of_writing(row, ada):
    rows = [("2025-03-04T08:00", "note", "", "", f"n{n}") for n in range(5)]
    add_entries(row, local(*rows), ada)
    assert [entry.note for entry in diary_of(row)] == ["n0", "n1", "n2", "n3", "n4"]


def test_the_hour_that_comes_twice_keeps_both_passes(row, ada):
    rows = [
        ("2025-10-26T02:30+02:00", "ph", "6.8"),
        ("2025-10-26T02:30+01:00", "ph", "6.9"),
    ]
    add_entries(row, local(*rows), ada)
    first, second = diary_of(row).entries
    assert (first.time.fold, second.time.fold) == (0, 1)
    assert (second.time.timestamp() - first.time.timestamp()) == 3600.0


def test_entries_and_readings_are_cut_each_where_it_is_asked(row, ada):
    add_entries(row, local(*EVERY), ada)
    seconds = int(NOW.timestamp()) - 60 * np.arange(100)[::-1]
    add_readings(sensor_for(row, "ph"), seconds, np.full(100, 6.8))
    assert len(diary_of(row, streams=False).streams) == 0
    middle = datetime(2025, 3, 4, 7, 10, tzinfo=UTC)
    assert len(diary_of(row, since=middle)) == 12
    assert len(diary_of(row, until=middle)) == 11
    some = diary_of(row, streams_since=NOW - timedelta(minutes=9))
    assert (len(some), len(some.streams["ph"])) == (22, 10)


def test_a_belief_is_given_all_entries_and_the_readings_it_looks_back_on(row, ada):
    old = NOW - timedelta(days=400)
    add_entries(row, [Entry(old, "bubble_rate", "1.5"), Entry(NOW, "ph", "6.8")], ada)
    seconds = int(NOW.timestamp()) - 86_400 * np.arange(60)[::-1]
    add_readings(sensor_for(row, "ph"), seconds, np.full(60, 6.8))
    later = np.array([int(NOW.timestamp()) + 60])
    add_readings(sensor_for(row, "ph"), later, [6.9])
    found = recent_diary(row, NOW)
    assert [entry.kind for entry in found] == [Kind.BUBBLE_RATE, Kind.PH]
    ages_days = (NOW.timestamp() - found.streams["ph"].times_s) / 86_400.0
    assert ages_days.max() == LOOK_BACK_DAYS + 1.0
    assert ages_days.min() == 0.0


def test_of_two_sensors_of_a_kind_one_speaks(row):
    first, second = sensor_for(row, "ph"), sensor_for(row, "ph", "other probe")
    add_readings(first, [1_741_000_000], [6.5])
    assert diary_of(row).streams["ph"].values.tolist() == [6.5]
    add_readings(second, [1_741_000_060], [6.7])
    assert diary_of(row).streams["ph"].values.tolist() == [6.7]


def test_the_number_of_queries_does_not_grow_with_the_diary(
    row, ada, django_assert_max_num_queries
):
    rows = [
        (f"2025-03-04T{8 + n // 60:02d}:{n % 60:02d}", "degassed_ph", "7.6", "",
         "glass drawn 07:00, same probe") for n in range(200)
    ]  # fmt: skip
    add_entries(row, local(*rows), ada)
    with django_assert_max_num_queries(3):
        found = diary_of(row)
    assert {entry.drawn.hour for entry in found} == {7}
