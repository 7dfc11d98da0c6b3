from datetime import date, datetime
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from leafgill.answer.record import ends_of, not_normal, picture_of, ranges, within
from leafgill.diary import Diary, Entry
from leafgill.tank.spec import Tank

BERLIN = ZoneInfo("Europe/Berlin")
TANK = Tank("Den", 60.0, timezone="Europe/Berlin")
NOW = datetime(2025, 3, 5, 12, 0, tzinfo=BERLIN)


def diary(*rows):
    return Diary([Entry(*row) for row in rows]).localised("Europe/Berlin")


KEPT = diary(
    ("2025-03-01T08:00", "bubble_rate", "1.0", "per s"),
    ("2025-03-03T08:00", "kh", "4", "dKH"),
    ("2025-03-03T12:00", "ph_probe", "6.9"),
    ("2025-03-04T12:00", "ph_probe", "6.7"),
    ("2025-03-04T18:00", "bubble_rate", "1.5", "per s"),
    ("2025-03-04T18:00", "fish", "normal"),
    ("2025-03-04T19:00", "fish", "gasping"),
    ("2025-03-05T09:00", "water_change", "40", "%"),
    ("2025-03-06T09:00", "ph_probe", "7.1"),
)


def test_days_end_at_midnight_by_the_tanks_clock_also_when_it_changes():
    begin, end = ends_of(date(2025, 3, 30), date(2025, 3, 30), "Europe/Berlin")
    assert (end.timestamp() - begin.timestamp()) / 3600.0 == 23.0


def test_only_what_falls_into_the_days_is_counted():
    begin, end = ends_of(date(2025, 3, 3), date(2025, 3, 4), "Europe/Berlin")
    entries = within(KEPT, begin, end)
    assert [entry.time.day for entry in entries] == [3, 3, 4, 4, 4, 4]
    rows = {row.what: row for row in ranges(entries)}
    assert rows["pH, electrode"][1:] == (6.7, 6.9, 6.7, "", 2)
    assert rows["Carbonate hardness"][1:] == (4.0, 4.0, 4.0, "dKH", 1)
    assert "pH, hand test" not in rows
    assert [entry.value for entry in not_normal(entries)] == ["gasping"]


def test_the_picture_holds_what_was_read_and_set_up_to_now():
    shown = picture_of(TANK, KEPT, date(2025, 3, 3), date(2025, 3, 6), NOW)
    assert shown.length_days == 4.0
    assert [r.day for r in shown.readings] == pytest.approx([0.5, 1.5, 3.375])
    # the rate in force before the first day goes on into it, the last one ends at the present
    assert shown.rates == ((0.0, 1.75, 1.0), (1.75, 2.5, 1.5))
    assert shown.changes == ((2.375, 40.0),)
    assert [text for _, text in shown.ticks] == ["3 Mar", "4 Mar", "5 Mar", "6 Mar"]


def test_a_long_stretch_names_few_days():
    shown = picture_of(TANK, KEPT, date(2025, 1, 1), date(2025, 12, 31), NOW)
    # midnights of summer come an hour earlier, counted in days that pass
    hour = 1.0 / 24.0
    assert [day for day, _ in shown.ticks] == pytest.approx(
        [0.0, 56.0, 112.0 - hour, 168.0 - hour, 224.0 - hour, 280.0 - hour, 336.0]
    )
    assert [text for _, text in shown.ticks][:3] == ["1 Jan", "26 Feb", "23 Apr"]


def test_a_logged_stream_is_drawn_in_real_time():
    kept = Diary()
    kept.add_readings(
        "ph", np.array([datetime(2025, 3, 3, 6, 0, tzinfo=BERLIN).timestamp()]), [6.5]
    )
    shown = picture_of(TANK, kept.localised("UTC"), date(2025, 3, 3), date(2025, 3, 3), NOW)
    assert shown.logged_low.tolist() == [6.5]
    assert shown.logged_from[0] <= 0.25 <= shown.logged_to[0]


def test_nothing_is_no_picture():
    assert picture_of(TANK, KEPT, date(2024, 3, 3), date(2024, 3, 4), NOW) is None
