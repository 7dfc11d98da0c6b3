"""The calendar's file, read by the library and by the letter of RFC 5545."""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from icalendar import Calendar

from leafgill.web.calendar_events import Planned
from leafgill.web.calendar_file import TanksPlan, calendar_of

HERE = ZoneInfo("Europe/Berlin")
MADE = datetime(2025, 3, 8, 11, 10, 3, 99, tzinfo=UTC)
LOOK = Planned("look", datetime(2025, 3, 30, 12, 10, tzinfo=HERE), "Look again",
               "Read: pH, and; the\\colour\nExpect ü 6.87", MADE)  # fmt: skip
CARE = Planned("care-4", date(2025, 3, 13), "Trim", "", MADE)


def den(*plans, name="Den"):
    return TanksPlan("abc23", name, "http://tank.local/tank/abc23/", plans)


def events(data):
    (calendar,) = [Calendar.from_ical(data)]
    return {str(event["uid"]): event for event in calendar.walk("VEVENT")}


def test_a_look_is_at_its_time_and_care_fills_its_day():
    found = events(calendar_of([den(LOOK, CARE)]))
    look, trim = found["look.abc23@leafgill"], found["care-4.abc23@leafgill"]
    assert look.decoded("dtstart") == datetime(2025, 3, 30, 10, 10, tzinfo=UTC)
    assert look.decoded("dtend") - look.decoded("dtstart") == timedelta(minutes=15)
    assert trim.decoded("dtstart") == date(2025, 3, 13)
    assert trim.decoded("dtend") == date(2025, 3, 14)
    assert str(look["summary"]) == "Look again: Den"
    assert str(look["description"]) == LOOK.words
    assert "description" not in trim
    assert look.decoded("dtstamp") == datetime(2025, 3, 8, 11, 10, 3, tzinfo=UTC)
    assert str(trim["url"]) == "http://tank.local/tank/abc23/"
    assert str(trim["transp"]) == "TRANSPARENT"


def test_only_a_look_rings():
    found = events(calendar_of([den(LOOK, CARE)]))
    (alarm,) = found["look.abc23@leafgill"].walk("VALARM")
    assert alarm.decoded("trigger") == timedelta(0)
    assert str(alarm["action"]) == "DISPLAY"
    assert found["care-4.abc23@leafgill"].walk("VALARM") == []


def test_the_same_plans_make_the_same_file():
    assert calendar_of([den(LOOK, CARE)]) == calendar_of([den(LOOK, CARE)])


def test_a_calendar_without_anything_is_one():
    told = Calendar.from_ical(calendar_of([]))
    assert str(told["version"]) == "2.0"
    assert str(told["prodid"]) == "-//Leaf & Gill//Calendar//EN"
    assert told.walk("VEVENT") == []


@pytest.mark.parametrize(
    "name",
    ["Den", "x" * 80, "Ä" * 80, "a;b,c\\d", "BEGIN:VEVENT", "END:VCALENDAR\r\nBEGIN:VEVENT",
     "🐟" * 40],
)  # fmt: skip
def test_whatever_a_tank_is_called_the_file_is_by_the_letter(name):
    data = calendar_of([den(LOOK, CARE, name=name)])
    assert data.endswith(b"\r\n")
    lines = data[:-2].split(b"\r\n")
    # RFC 5545, 3.1: lines end in CR LF, none is longer than 75 octets, each is UTF-8 once unfolded
    assert all(0 < len(line) <= 75 for line in lines)
    assert not any(b"\n" in line or b"\r" in line for line in lines)
    whole = data.replace(b"\r\n ", b"").decode().split("\r\n")
    assert whole.count("BEGIN:VEVENT") == whole.count("END:VEVENT") == 2
    assert whole.count("BEGIN:VALARM") == 1
    assert whole[0] == "BEGIN:VCALENDAR" and whole[-2:] == ["END:VCALENDAR", ""]
    shown = str(events(data)["care-4.abc23@leafgill"]["summary"])
    assert shown.replace("\n", "") == f"Trim: {name}".replace("\r", "").replace("\n", "")
    assert "REFRESH-INTERVAL;VALUE=DURATION:PT1H" in whole
