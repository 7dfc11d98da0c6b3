"""Probe files: fast when plain, forgiving when not, and the same either way."""

import subprocess
import sys
from datetime import datetime, timedelta

import numpy as np
import pytest

from leafgill.diary import Diary, read_probe
from leafgill.diary.probe_fast import read_fast
from leafgill.errors import InputError

START = datetime(2025, 3, 3, 8, 1)


def minutes(values, start=START, sensor="ph") -> str:
    rows = (
        f"{(start + timedelta(minutes=i)).isoformat(timespec='minutes')},{value}"
        for i, value in enumerate(values)
    )
    return f"time,{sensor}\n" + "\n".join(rows) + "\n"


def kinds(findings) -> list[str]:
    return [finding.kind for finding in findings]


PLAIN = minutes(["7.58", "7.59", "7.57"])


@pytest.mark.parametrize("year", ["1989", "2200", "9999"])
def test_a_year_that_cannot_be_meant_is_named_also_in_a_plain_file(year):
    with pytest.raises(InputError, match=f"line 5.*is in the year {year}; accepted: 1990 to 2199"):
        read_probe(f"{PLAIN}{year}-12-31T23:59,7.58\n".encode())


def test_a_plain_file_is_read_all_at_once():
    streams, findings = read_probe(PLAIN.encode())
    stream = streams["ph"]
    assert findings == []
    assert read_fast(PLAIN.encode(), "probe.csv") is not None
    assert stream.local
    assert stream.time(0) == START
    np.testing.assert_array_equal(np.diff(stream.times_s), [60, 60])
    np.testing.assert_array_equal(stream.values, [7.58, 7.59, 7.57])


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (PLAIN.replace("\n", "\r\n"), []),
        (PLAIN.rstrip("\n"), []),
        (PLAIN.replace("time,ph", "Time,pH"), []),
        (PLAIN.replace("time,ph", "timestamp,ph_probe"), []),
        ("\ufeff" + PLAIN, ["bom"]),
        (PLAIN.replace("T", " "), ["time-with-space"]),
        (PLAIN.replace(",", ";"), ["separator"]),
        (PLAIN.replace(",", ";").replace(".", ","), ["separator", "decimal-comma"]),
        (PLAIN.replace(".", ","), ["decimal-comma"]),
        (PLAIN.replace(",", "\t"), ["separator"]),
        (PLAIN + "\n\n", ["blank-line"]),
        (PLAIN.replace("7.59", '"7.59"'), []),
        (PLAIN + "2025-03-03T08:03,7.57\n", ["repeated-row"]),
        ("time,ph\n2025-03-03T08:03,7.57\n" + PLAIN[8:50], ["unsorted-rows"]),
        (PLAIN.replace("2025-03-03T", "03.03.2025 "), ["day-first-date"]),
        (PLAIN + "2025-03-03T08:04,--\n", ["not-a-number"]),
        (PLAIN + "2025-03-03T08:04,\n", ["not-a-number"]),
        (PLAIN + "2025-03-03T08:04,NaN\n", ["not-a-number"]),
        (PLAIN + "2025-03-03T08:04,0.00\n", ["probe-outside"]),
        (PLAIN + "# battery changed\n", ["comment-line"]),
    ],
)
def test_odd_files_hold_the_same_readings(text, said):
    if said == ["unsorted-rows"]:
        text = "time,ph\n" + "\n".join(reversed(PLAIN.splitlines()[1:])) + "\n"
    streams, findings = read_probe(text.encode())
    assert kinds(findings) == said
    assert streams == read_probe(PLAIN.encode())[0]


def test_what_is_left_out_is_counted_and_listed_by_line():
    values = ["7.5", "err", "7.5", "", "14.2", "7.5", "err"]
    _, findings = read_probe(minutes(values).encode())
    words = [str(finding) for finding in findings]
    assert words[0] == (
        'probe.csv line 3: 3 rows have no number for ph (first: "err"; lines 3, 5, 8); left out'
    )
    assert words[1] == (
        "probe.csv line 6: 1 reading of ph cannot be (first: 14.2; line 6); left out; "
        "accepted: 3 to 11"
    )
    assert findings[0].lines == (3, 5, 8)


def test_several_sensors_and_units():
    text = "time,ph,temperature (°F),O2\n2025-03-03T08:00,7.0,77,8.1\n2025-03-03T08:05,,78.8,\n"
    streams, findings = read_probe(text.encode())
    assert findings == []
    assert {name: len(s) for name, s in streams.items()} == {"ph": 1, "temperature": 2, "o2": 1}
    np.testing.assert_allclose(streams["temperature"].values, [25.0, 26.0])


def test_fast_and_forgiving_agree_on_empty_cells_among_several_sensors():
    text = "time,ph,o2\n2025-03-03T08:00,7.0,8.1\n2025-03-03T08:05,7.1,\n2025-03-03T08:06,,8.0\n"
    assert read_fast(text.encode(), "") is not None
    slow = text.replace("T", " ")
    assert read_fast(slow.encode(), "") is None
    assert read_probe(text.encode())[0] == read_probe(slow.encode())[0]


def test_a_row_with_no_reading_at_all_is_told():
    text = "time,ph,o2\n2025-03-03T08:00,7.0,8.1\n2025-03-03T08:05,,\n"
    _, findings = read_probe(text.encode())
    assert kinds(findings) == ["not-a-number", "not-a-number"]


@pytest.mark.parametrize("mark", ["Z", "+00:00"])
def test_times_with_an_offset_are_real_time(mark):
    text = PLAIN.replace(",7", mark + ",7")
    streams, findings = read_probe(text.encode())
    assert not streams["ph"].local
    assert streams["ph"].time(0).isoformat() == "2025-03-03T08:01:00+00:00"
    assert kinds(findings) == ["time-with-offset"]


def test_seconds_are_kept():
    text = "time,ph\n2025-03-03T08:00:05,7.0\n2025-03-03T08:00:35,7.1\n"
    assert np.diff(read_probe(text.encode())[0]["ph"].times_s) == 30


def test_two_readings_at_one_time_are_both_kept():
    text = "time,ph\n2025-03-03T08:00,7.0\n2025-03-03T08:00,7.1\n2025-03-03T08:00,7.0\n"
    streams, findings = read_probe(text.encode())
    np.testing.assert_array_equal(streams["ph"].values, [7.0, 7.1])
    assert kinds(findings) == ["repeated-row"]


def test_an_unknown_column_is_told_and_the_rest_read():
    text = "time,ph,mood\n2025-03-03T08:00,7.0,good\n"
    streams, findings = read_probe(text.encode())
    assert list(streams) == ["ph"]
    assert str(findings[0]) == 'probe.csv line 1: column "mood" is no known sensor; not read'


def test_a_fortnight_is_read_whole():
    values = 7.0 + np.random.default_rng(3).normal(0.0, 0.01, 20_160).round(3)
    streams, findings = read_probe(minutes(values).encode())
    assert findings == []
    np.testing.assert_array_equal(streams["ph"].values, values)


def test_a_stuck_probe_is_told_with_its_times():
    values = [7.0 + 0.01 * (i % 2) for i in range(60)] + [7.0] * 400 + [7.01]
    _, findings = read_probe(minutes(values).encode())
    assert kinds(findings) == ["probe-stuck"]
    assert "7 without a change for 6.7 h from 2025-03-03T09:01 to 2025-03-03T15:40" in str(
        findings[0]
    )
    assert findings[0].line == 62
    assert kinds(read_probe(minutes(values[150:]).encode())[1]) == []


JUMPING = minutes([7.80, 7.81, 7.30, 7.31])


def test_a_jump_is_told_with_its_time_unless_a_water_change_explains_it():
    head = "time,kind,value,unit,note\n"
    diary = Diary.read(head, JUMPING)
    assert kinds(diary.findings) == ["probe-jump"]
    assert "ph jumps by -0.51 at 2025-03-03T08:03" in str(diary.findings[0])
    assert diary.findings[0].time == datetime(2025, 3, 3, 8, 3)
    assert len(diary.streams["ph"]) == 4
    for said in ("water_change,40,%,", "calibration,7.00,,"):
        explained = Diary.read(head + f"2025-03-03T08:00,{said}\n", JUMPING)
        assert kinds(explained.findings) == []
    noted_late = Diary.read(head + "2025-03-03T08:20,water_change,40,%,\n", JUMPING)
    assert kinds(noted_late.findings) == []
    for elsewhere in ("2025-03-03T05:00", "2025-03-03T12:00"):
        diary = Diary.read(head + f"{elsewhere},water_change,40,%,\n", JUMPING)
        assert kinds(diary.findings) == ["probe-jump"]


def test_a_slow_change_is_no_jump():
    assert kinds(Diary.read("time,kind,value\n", minutes(np.linspace(7.8, 6.6, 60))).findings) == []


def test_reading_a_diary_without_a_probe_file_does_not_load_polars():
    code = (
        "import sys; from leafgill.diary import Diary; "
        "Diary.read('time,kind,value\\n2025-03-04T12:30,ph,6.8\\n'); "
        "sys.exit('polars' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
