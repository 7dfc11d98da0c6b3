"""The diary as plain data: in order, cheap to grow, never changed behind the caller's back."""

import copy
import pickle
import random
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from leafgill.diary import Diary, Entry, Kind, Stream
from leafgill.errors import InputError

HEADER = "time,kind,value,unit,note\n"
START = datetime(2025, 3, 3, 8, 0)
VIENNA = ZoneInfo("Europe/Vienna")

# an invented week of a keeper's notes, in the form the diary file has
WEEK = HEADER + (
    "2025-03-03T08:00,light_day,12:30-20:00,,\r\n"
    "2025-03-03T08:00,kh,2.0,dKH,rounded up to whole 1.0 dKH drops\r\n"
    "2025-03-03T08:00,cylinder_mass,5931,g,with regulator off\r\n"
    '2025-03-04T08:00,degassed_ph,7.76,,"same probe, indoor air, glass drawn 2025-03-03 08:00"\r\n'
    "2025-03-04T08:00,gas_day,11:30-20:00,,\r\n"
    "2025-03-04T08:00,bubble_rate,1.0,per s,\r\n"
    "2025-03-04T13:30,ph_probe,7.09,,\r\n"
    "2025-03-04T13:30,drop_checker,blue,,\r\n"
    "2025-03-04T13:30,fish,normal,,\r\n"
    "2025-03-04T13:30,bubble_count,1.0,per s over 10 s,\r\n"
    "2025-03-05T13:30,temperature,23.7,C,\r\n"
    "2025-03-08T09:00,water_change,40,%,\r\n"
    "2025-03-09T08:00,cylinder_mass,5902,g,\r\n"
)


def ph(minute: float, value: float = 7.0) -> Entry:
    return Entry(START + timedelta(minutes=minute), Kind.PH, value)


def test_an_ordinary_diary_file_raises_no_finding():
    diary = Diary.read(WEEK)
    assert len(diary) == 13
    assert diary.findings == []
    assert [entry.line for entry in diary] == list(range(2, 15))
    kh = diary.of(Kind.KH)[0]
    assert (kh.number, kh.resolution, kh.rounding) == (2.0, 1.0, "up")
    assert diary.of("degassed_ph")[0].drawn == START
    assert [e.kind for e in diary.of("gas_day", "light_day")] == [Kind.LIGHT_DAY, Kind.GAS_DAY]


def test_entries_are_kept_in_order_of_time_and_then_of_coming():
    diary = Diary()
    minutes = [5, 1, 3, 3, 2, 5, 0, 3]
    for count, minute in enumerate(minutes):
        diary.add(ph(minute, 6.0 + count / 10))
    assert [e.time for e in diary] == [START + timedelta(minutes=m) for m in sorted(minutes)]
    at_three = [e.number for e in diary if e.time == START + timedelta(minutes=3)]
    assert at_three == [6.2, 6.3, 6.7]
    assert diary == Diary([ph(m, 6.0 + c / 10) for c, m in enumerate(minutes)])


def test_a_hundred_thousand_entries_can_be_added():
    one = ph(0)
    entries = [one.at(START + timedelta(minutes=minute)) for minute in range(100_000)]
    random.Random(1).shuffle(entries)
    diary = Diary()
    for entry in entries:
        diary.add(entry)
    assert len(diary) == 100_000
    assert all(a.time < b.time for a, b in zip(diary.entries, diary.entries[1:], strict=False))


def test_of_follows_what_is_added():
    diary = Diary([ph(0)])
    assert len(diary.of(Kind.PH)) == 1
    diary.of(Kind.PH).clear()
    diary.add(ph(1))
    diary.add(Entry(START, "fish", "normal"))
    assert len(diary.of(Kind.PH)) == 2
    assert len(diary.of("fish")) == 1
    with pytest.raises(ValueError, match="no_such_kind"):
        diary.of("no_such_kind")


def test_cautions_of_entries_become_findings():
    doubtful = Entry(START, "bubble_count", 14)
    diary = Diary()
    diary.add(doubtful)
    assert [f.kind for f in diary.findings] == ["count-without-seconds"]
    assert Diary([doubtful]).findings == diary.findings


def test_until_is_what_was_known_then():
    diary = Diary([ph(m) for m in range(10)])
    diary.add_readings("ph", [START + timedelta(minutes=m) for m in range(10)], np.full(10, 7.0))
    then = diary.until(START + timedelta(minutes=4))
    assert len(then) == 5
    assert len(then.streams["ph"]) == 5
    assert then.entries[0] is diary.entries[0]
    assert np.shares_memory(then.streams["ph"].values, diary.streams["ph"].values)


def test_adding_to_a_view_or_to_its_origin_leaves_the_other_alone():
    diary = Diary([ph(m) for m in range(4)])
    diary.add_readings("ph", [START + timedelta(minutes=m) for m in range(4)], [7, 7.1, 7.2, 7.3])
    view = diary.until(START + timedelta(minutes=1))
    before = view.streams["ph"]
    view.add(ph(1.5))
    view.add_readings("ph", [START + timedelta(minutes=2)], [6.0])
    diary.add(ph(0.5))
    diary.add_readings("ph", [START + timedelta(minutes=9)], [8.0])
    assert [len(view), len(diary)] == [3, 5]
    np.testing.assert_array_equal(view.streams["ph"].values, [7.0, 7.1, 6.0])
    np.testing.assert_array_equal(diary.streams["ph"].values, [7.0, 7.1, 7.2, 7.3, 8.0])
    np.testing.assert_array_equal(before.values, [7.0, 7.1])
    assert len(diary.of(Kind.PH)) == 5


def test_a_diary_can_be_copied_and_sent_to_another_process():
    diary = Diary.read(WEEK, "time,ph\n2025-03-03T08:01,7.0\n")
    again = pickle.loads(pickle.dumps(diary))
    assert again == diary
    assert again.entries[1].resolution == 1.0
    other = copy.deepcopy(diary)
    other.add(ph(0))
    assert other != diary
    assert len(diary) == 13


def test_localised_times_are_aware_and_the_original_stays():
    diary = Diary.read(WEEK, "time,ph\n2025-03-03T08:01,7.0\n2025-03-03T08:02,7.1\n")
    before = copy.deepcopy(diary)
    there = diary.localised("Europe/Vienna")
    assert diary == before
    assert diary.timezone is None
    assert there.timezone == "Europe/Vienna"
    assert all(entry.time.tzinfo == VIENNA for entry in there)
    assert there.entries[0].time == datetime(2025, 3, 3, 8, 0, tzinfo=VIENNA)
    assert there.of("degassed_ph")[0].drawn == datetime(2025, 3, 3, 8, 0, tzinfo=VIENNA)
    assert there.of("kh")[0].resolution == 1.0
    assert there.streams["ph"].time(0) == datetime(2025, 3, 3, 7, 1, tzinfo=UTC)
    assert there.findings == []
    assert Diary.read(WEEK, timezone="Europe/Vienna").entries == there.entries


def test_localising_again_moves_nothing():
    once = Diary.read(WEEK, "time,ph\n2025-03-03T08:01,7.0\n").localised("Europe/Vienna")
    twice = once.localised("America/New_York")
    assert twice == once
    assert twice.entries[0].time.tzinfo == ZoneInfo("America/New_York")


def test_clock_changes_are_told():
    rows = "2025-03-30T02:30,ph,6.8,,\n2025-10-26T02:30,ph,6.9,,\n2025-10-27T02:30,ph,6.9,,\n"
    there = Diary.read(HEADER + rows).localised("Europe/Vienna")
    assert [e.time.isoformat() for e in there] == [
        "2025-03-30T03:30:00+02:00",
        "2025-10-26T02:30:00+02:00",
        "2025-10-27T02:30:00+01:00",
    ]
    assert [(f.kind, f.line) for f in there.findings] == [("skipped-hour", 2), ("repeated-hour", 3)]
    assert "ph at 2025-03-30T02:30 Europe/Vienna falls in the hour the clocks skip" in str(
        there.findings[0]
    )


def test_a_probe_logging_through_the_autumn_night_keeps_both_hours():
    start = datetime(2025, 10, 25, 23, 30, tzinfo=UTC)
    real = [start + timedelta(minutes=10 * i) for i in range(18)]
    rows = [f"{t.astimezone(VIENNA):%Y-%m-%dT%H:%M},{7 + i / 100}\n" for i, t in enumerate(real)]
    diary = Diary.read(HEADER, "time,ph\n" + "".join(rows))
    assert [f.kind for f in diary.findings] == ["unsorted-rows"]
    stream = diary.localised("Europe/Vienna").streams["ph"]
    assert stream.times_s.tolist() == [int(t.timestamp()) for t in real]
    np.testing.assert_allclose(stream.values, 7 + np.arange(18) / 100)
    # where clocks did not change that night, it is a file in disorder, and times are as written
    assert len(diary.localised("UTC").streams["ph"]) == 18


def test_a_stream_in_the_hours_the_clocks_change_is_told():
    spring = Diary.read(HEADER, "time,ph\n2025-03-30T02:30,7.0\n2025-03-30T03:10,7.1\n")
    there = spring.localised("Europe/Vienna")
    assert [f.kind for f in there.findings] == ["skipped-hour"]
    assert (np.diff(there.streams["ph"].times_s) >= 0).all()
    autumn = Diary.read(HEADER, "time,ph\n2025-10-26T02:30,7.0\n").localised("Europe/Vienna")
    assert [f.kind for f in autumn.findings] == ["repeated-hour"]
    assert autumn.streams["ph"].time(0) == datetime(2025, 10, 26, 0, 30, tzinfo=UTC)


def test_a_localised_diary_resolves_what_is_added():
    diary = Diary(timezone="Europe/Vienna")
    diary.add(Entry("2025-07-01T12:00", "ph", 6.8))
    diary.add(Entry("2025-07-01T09:00Z", "ph", 6.9))
    diary.add(Entry("2025-03-30T02:30", "ph", 7.0))
    assert [e.time.isoformat() for e in diary] == [
        "2025-03-30T03:30:00+02:00",
        "2025-07-01T11:00:00+02:00",
        "2025-07-01T12:00:00+02:00",
    ]
    assert [f.kind for f in diary.findings] == ["time-with-offset", "skipped-hour"]
    diary.add_readings("ph", [datetime(2025, 7, 1, 12, 0)], [6.8])
    diary.add_readings("ph", ["2025-07-01T10:01Z"], [6.8])
    diary.add_readings("ph", np.array([1751364120]), [6.8])
    assert [diary.streams["ph"].time(i).minute for i in range(3)] == [0, 1, 2]
    assert len(diary.until(datetime(2025, 7, 1, 12, 1))) == 3
    assert len(diary.until(datetime(2025, 7, 1, 10, 1, tzinfo=UTC)).streams["ph"]) == 2


def test_times_that_cannot_be_compared_are_refused():
    with pytest.raises(InputError, match="the diary's times have no time zone; localise"):
        Diary.read(WEEK).until(datetime(2025, 3, 4, tzinfo=UTC))
    aware = Diary([Entry("2025-03-04T12:00Z", "ph", 7)])
    with pytest.raises(InputError, match="the diary's times have a time zone"):
        aware.until(datetime(2025, 3, 4))
    assert len(aware.until(datetime(2025, 3, 5, tzinfo=UTC))) == 1
    assert len(Diary().until(datetime(2025, 3, 4, tzinfo=UTC))) == 0


def test_readings_are_added_in_any_order():
    diary = Diary()
    rng = np.random.default_rng(5)
    minutes = rng.permutation(2000)
    for part in np.array_split(minutes, 40):
        diary.add_readings("ph", [START + timedelta(minutes=int(m)) for m in part], part / 1000 + 6)
    stream = diary.streams["ph"]
    np.testing.assert_array_equal(np.diff(stream.times_s), 60)
    np.testing.assert_allclose(stream.values, np.arange(2000) / 1000 + 6)


def test_readings_may_be_numbers_or_numpy_times():
    diary = Diary()
    diary.add_readings(
        "o2", np.array(["2025-03-03T08:00", "2025-03-03T08:01"], "datetime64[m]"), [8, 8.1]
    )
    diary.add_readings("o2", ["2025-03-03T08:02"], 8.2)
    diary.add_readings("o2", [], [])
    assert diary.streams["o2"].time(2) == datetime(2025, 3, 3, 8, 2)


@pytest.mark.parametrize(
    ("sensor", "times", "values", "said"),
    [
        ("mood", ["2025-03-03T08:00"], [7.0], 'sensor "mood" is not known; accepted: ph, temp'),
        ("ph", ["2025-03-03T08:00"], [7.0, 7.1], "ph: 1 times but 2 values"),
        ("ph", ["2025-03-03T08:00"], [70.0], "ph: value 70 is not accepted; accepted: 3 to 11"),
        ("ph", ["2025-03-03T08:00"], [np.nan], "ph: value nan is not accepted"),
        ("ph", ["2025-03-03T08:00", "2025-03-03T08:00Z"], [7, 7], "some readings have an offset"),
        ("ph", ["8 o'clock"], [7.0], "is not a date and time"),
    ],
)
def test_readings_that_cannot_be_are_refused(sensor, times, values, said):
    diary = Diary()
    with pytest.raises(InputError, match=said):
        diary.add_readings(sensor, times, values)


def test_a_stream_does_not_change_from_wall_to_real_time_midway():
    diary = Diary()
    diary.add_readings("ph", ["2025-03-03T08:00"], [7.0])
    with pytest.raises(InputError, match="the readings so far have no time zone"):
        diary.add_readings("ph", ["2025-03-03T08:01Z"], [7.0])


def test_callers_arrays_stay_their_own():
    times, values = np.array([60, 0, 120]), np.array([7.1, 7.0, 7.2])
    stream = Stream("ph", times, values)
    diary = Diary(streams={"ph": stream})
    diary.add_readings("ph", np.array([30]), np.array([7.05]))
    np.testing.assert_array_equal(diary.streams["ph"].values, [7.0, 7.05, 7.1, 7.2])
    times[0], values[0] = 61, 7.11
    assert times.flags.writeable
    assert values.flags.writeable
    with pytest.raises(ValueError, match="read-only"):
        diary.streams["ph"].values[0] = 1.0


def test_parts_of_a_stream():
    stream = Stream("ph", np.arange(10) * 60, np.arange(10) / 10 + 6)
    assert len(stream.between(60, 180)) == 3
    assert len(stream.until(59)) == 1
    assert len(stream.until(-1)) == 0
    assert stream != stream.until(60)
    assert np.shares_memory(stream.between(60, 180).values, stream.values)


def test_a_diary_shows_what_it_is():
    diary = Diary.read(WEEK, "time,ph\n2025-03-03T08:01,7.0\n")
    assert repr(diary) == "Diary(13 entries; ph x1)"
    assert repr(Diary()) == "Diary(0 entries)"
