from datetime import UTC, datetime
from zoneinfo import ZoneInfo

from leafgill.diary import Diary, Entry, Kind, entries_to_csv
from leafgill.web.wall_times import by_the_clock

BERLIN = ZoneInfo("Europe/Berlin")


def test_a_diary_written_by_the_clock_comes_back_equal_through_the_night_the_clocks_change():
    moments = [
        datetime(2025, 10, 26, 0, 15, tzinfo=UTC),  # 02:15, the first time
        datetime(2025, 10, 26, 1, 15, tzinfo=UTC),  # 02:15 again
        datetime(2025, 10, 26, 2, 15, tzinfo=UTC),
        datetime(2025, 7, 1, 10, 0, 30, tzinfo=UTC),
    ]
    kept = Diary([Entry(at, Kind.PH, f"6.{n}") for n, at in enumerate(moments)]).localised(
        "Europe/Berlin"
    )
    text = entries_to_csv(by_the_clock(kept.entries))
    assert [line.split(",")[0] for line in text.splitlines()[1:]] == [
        "2025-07-01T12:00:30",
        "2025-10-26T02:15",
        "2025-10-26T02:15+01:00",
        "2025-10-26T03:15",
    ]
    assert Diary.read(text, timezone="Europe/Berlin") == kept


def test_when_a_glass_was_drawn_is_told_by_the_same_clock():
    note = "same probe; glass drawn 2025-03-03 08:00"
    entry = Entry(datetime(2025, 3, 4, 8, 0), Kind.DEGASSED_PH, "7.7", "", note)
    (kept,) = Diary([entry]).localised("Europe/Berlin").entries
    (wall,) = by_the_clock([kept])
    assert wall.drawn == datetime(2025, 3, 3, 8, 0)
    assert wall.time == datetime(2025, 3, 4, 8, 0)


def test_a_time_without_a_zone_of_its_own_stays():
    entry = Entry(datetime(2025, 3, 4, 8, 0, tzinfo=UTC), Kind.PH, "7.7")
    assert by_the_clock([entry]) == [entry]
