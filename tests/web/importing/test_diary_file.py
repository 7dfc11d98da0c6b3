from datetime import datetime
from zoneinfo import ZoneInfo

import pytest

from leafgill.diary import Entry, Kind
from leafgill.errors import InputError
from leafgill.web.importing.diary_file import key_of, read_file

BERLIN = ZoneInfo("Europe/Berlin")
HEADER = "time,kind,value,unit,note\n"


def read(text, there=(), removed=()):
    return read_file((HEADER + text).encode(), "d.csv", "Europe/Berlin", there, removed)


def entry(clock, kind, value, note=""):
    return Entry(datetime(2025, 3, 4, *clock, tzinfo=BERLIN), kind, value, "", note)


def test_rows_become_entries_by_the_tanks_clock():
    found = read("2025-03-04T12:30,ph,6.8,,\n2025-03-04T13:30Z,kh,4,dKH,\n")
    assert [e.time.isoformat() for e in found.new] == [
        "2025-03-04T12:30:00+01:00",
        "2025-03-04T14:30:00+01:00",
    ]
    assert (found.there, found.removed, found.errors) == (0, 0, ())


def test_the_same_file_again_brings_nothing():
    text = '2025-03-04T12:30,ph,6.8,,\n2025-03-04T12:31,note,,,"two\nlines"\n'
    first = read(text)
    again = read(text, there=first.new)
    assert again.new == ()
    assert again.there == 2


def test_a_row_the_keeper_took_out_stays_out():
    found = read("2025-03-04T12:30,ph,6.8,,\n", removed=[entry((12, 30), Kind.PH, "6.8")])
    assert (found.new, found.there, found.removed) == ((), 0, 1)


def test_another_value_at_the_same_time_is_a_new_row():
    found = read("2025-03-04T12:30,ph,6.9,,\n", there=[entry((12, 30), Kind.PH, "6.8")])
    assert len(found.new) == 1


def test_the_same_moment_written_in_another_zone_is_the_same_thing():
    found = read("2025-03-04T11:30Z,ph,6.80,,\n", there=[entry((12, 30), Kind.PH, "6.8")])
    assert found.there == 1


def test_wrong_rows_are_named_by_line_and_the_others_come_in():
    found = read("2025-03-04T12:30,ph,66,,\n2025-03-04T12:31,ph,6.8,,\nsoon,ph,6.8,,\n")
    assert [finding.line for finding in found.errors] == [2, 4]
    assert "did you mean 6.6?" in found.errors[0].message
    assert len(found.new) == 1


def test_what_was_forgiven_is_told():
    found = read("2025-03-04 12:30,ph,6.8,,\n2025-03-04 12:30,ph,6.8,,\n")
    assert {f.kind for f in found.findings} == {"time-with-space", "repeated-row"}
    assert len(found.new) == 1


def test_another_file_is_refused():
    with pytest.raises(InputError, match="tank file"):
        read_file(b"[tank]\nname = 'x'\n", "d.csv", "UTC", ())
    with pytest.raises(InputError, match="probe file"):
        read_file(b"time,ph\n2025-03-04T12:30,6.8\n", "d.csv", "UTC", ())


def test_a_key_knows_a_note_from_another():
    assert key_of(entry((1, 2), Kind.CARE, "x", "a")) != key_of(entry((1, 2), Kind.CARE, "x", "b"))
