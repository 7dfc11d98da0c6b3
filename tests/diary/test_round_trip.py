"""What is written reads back to what it was written from."""

from datetime import UTC, datetime, time, timedelta, timezone

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from leafgill.diary import (
    COLOURS,
    FISH,
    KINDS,
    SENSORS,
    Diary,
    Entry,
    Kind,
    Stream,
    entries_to_csv,
    read_probe,
    streams_to_csv,
)
from leafgill.errors import InputError
from leafgill.tank.schedule import Window

TIMES = st.datetimes(
    datetime(1995, 1, 1),
    datetime(2100, 1, 1),
    timezones=st.sampled_from([None, UTC, timezone(timedelta(hours=-3, minutes=-30))]),
)
NOTES = st.text(max_size=40)
CLOCKS = st.integers(0, 1439).map(lambda m: time(m // 60, m % 60))


@st.composite
def entries(draw: st.DrawFn) -> Entry:
    kind = draw(st.sampled_from(list(Kind)))
    info = KINDS[kind]
    value: object
    if info.form == "number":
        low, high = info.accepted
        high = min(high, 30.0) if kind is Kind.TEST else high
        value = draw(st.floats(low, high))
    elif info.form == "word":
        value = draw(st.sampled_from(info.words))
    elif info.form == "hours":
        on, off = draw(CLOCKS), draw(CLOCKS)
        value = "off" if on == off else Window(on, off)
    else:
        value = draw(st.text(max_size=40))
    unit = draw(st.sampled_from(["", info.unit]))
    note = draw(st.one_of(NOTES, st.sampled_from(["drop 0.5", "kh 3", "nitrate", "same probe"])))
    try:
        return Entry(draw(TIMES), kind, value, unit, note)
    except InputError:
        # free text may be empty, or name an impossible KH of new water
        return Entry(draw(TIMES), "fish", "normal")


@settings(max_examples=300)
@given(st.lists(entries(), max_size=12, unique=True))
def test_entries_written_read_back_the_same(made):
    text = entries_to_csv(made)
    diary = Diary.read(text)
    assert diary == Diary(made)
    assert entries_to_csv(Diary.read(entries_to_csv(diary)).entries) == entries_to_csv(diary)
    for before, after in zip(Diary(made).entries, diary.entries, strict=True):
        for name in ("seconds", "resolution", "rounding", "new_kh_dkh", "substance", "drawn"):
            assert getattr(before, name) == getattr(after, name), name


def test_every_kind_round_trips_through_files(tmp_path):
    text = "time,kind,value,unit,note\n" + "\n".join(info.example for info in KINDS.values())
    diary = Diary.read(text)
    assert {entry.kind for entry in diary} == set(Kind)
    diary.add_readings("ph", ["2025-03-04T12:30", "2025-03-04T12:31"], [6.8, 6.81])
    for version in (diary, diary.localised("Europe/Vienna")):
        version.save(tmp_path / "diary.csv", tmp_path / "probe.csv")
        first = (tmp_path / "diary.csv").read_bytes(), (tmp_path / "probe.csv").read_bytes()
        again = Diary.load(tmp_path / "diary.csv", probe=tmp_path / "probe.csv")
        assert again == version
        again.save(tmp_path / "diary.csv", tmp_path / "probe.csv")
        assert (
            (tmp_path / "diary.csv").read_bytes(),
            (tmp_path / "probe.csv").read_bytes(),
        ) == first


@pytest.mark.parametrize(
    ("kind", "value", "unit", "row"),
    [
        ("ph", 6.80, "", "2025-03-04T12:30,ph,6.8,,"),
        ("kh", "71.392", "ppm", "dKH"),
        ("cylinder_mass", 5931, "g", "2025-03-04T12:30,cylinder_mass,5931,g,"),
        ("bubble_count", 9, "10 s", "2025-03-04T12:30,bubble_count,0.9,per s over 10 s,"),
        ("gas_day", "8:30 - 17:30", "", "2025-03-04T12:30,gas_day,08:30-17:30,,"),
        ("gas_day", "off", "", "2025-03-04T12:30,gas_day,off,,"),
        ("gas_day", "00:00-24:00", "", "2025-03-04T12:30,gas_day,00:00-24:00,,"),
        ("light_day", "22:00-06:00", "", "2025-03-04T12:30,light_day,22:00-06:00,,"),
    ],
)
def test_a_row_as_it_is_written(kind, value, unit, row):
    entry = Entry("2025-03-04T12:30", kind, value, unit)
    assert row in entries_to_csv([entry])
    assert Diary.read(entries_to_csv([entry])).entries == [entry]


@st.composite
def streams(draw: st.DrawFn) -> dict[str, Stream]:
    local = draw(st.booleans())
    result = {}
    for name in draw(st.lists(st.sampled_from(list(SENSORS)), min_size=1, unique=True)):
        times = sorted(draw(st.sets(st.integers(10**9, 10**9 + 500), min_size=1, max_size=20)))
        low, high = SENSORS[name].accepted
        values = [draw(st.floats(low, high)) for _ in times]
        result[name] = Stream(name, np.array(times), np.array(values), local)
    return result


@given(streams())
def test_streams_written_read_back_the_same(made):
    diary = Diary.read("time,kind,value\n", streams_to_csv(made))
    assert diary.streams == made


def test_streams_that_cannot_be_written_are_refused():
    with pytest.raises(InputError, match="no readings to write"):
        streams_to_csv({})
    wall, real = (Stream("ph", np.array([0]), np.array([7.0]), local) for local in (True, False))
    with pytest.raises(InputError, match="localise the diary first"):
        streams_to_csv({"ph": wall, "o2": real})


def test_colours_and_fish_are_what_the_table_says():
    assert KINDS[Kind.DROP_CHECKER].words == COLOURS
    assert KINDS[Kind.FISH].words == FISH


@pytest.mark.parametrize("local", [True, False])
@pytest.mark.parametrize("every_s", [60, 7])
def test_streams_with_one_reading_a_moment_are_written_row_by_row_or_at_once_alike(local, every_s):
    times_s = 1_741_000_020 + every_s * np.arange(40)
    ph = Stream("ph", times_s[:30], 6.5 + 0.01 * np.arange(30), local)
    o2 = Stream("o2", times_s[10:], 8.0 + np.arange(30) / 3.0, local)
    text = streams_to_csv({"ph": ph, "o2": o2})
    # a reading that stands twice keeps the rows from being written at once
    twice = Stream("o2", np.r_[o2.times_s, o2.times_s[-1]], np.r_[o2.values, 9.0], local)
    by_row = streams_to_csv({"ph": ph, "o2": twice}).splitlines()
    assert text.splitlines()[0] == "time,ph,o2"
    assert len(text.splitlines()) == 41
    back, _ = read_probe(text.encode())
    assert back == {"ph": ph, "o2": o2}
    rows, _ = read_probe("\n".join(by_row[:-1]).encode())
    assert rows == back
