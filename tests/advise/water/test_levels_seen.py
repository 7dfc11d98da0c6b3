from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from leafgill.advise.water.levels_seen import levels_seen
from leafgill.diary import Diary, Entry

NOW = datetime(2025, 3, 8, 12, tzinfo=ZoneInfo("UTC"))


def diary(*rows):
    return Diary([Entry(NOW - timedelta(days=days), "test", value, "mg/L", note)
                  for days, value, note in rows]).localised("UTC")  # fmt: skip


def test_the_newest_of_each_substance():
    kept = diary((9.0, 40.0, "nitrate"), (2.0, 10.0, "nitrate"), (3.0, 0.5, "phosphate"))
    seen = levels_seen(kept, NOW)
    assert seen.levels["nitrate"].value == 10.0
    assert (seen.levels["phosphate"].low, seen.levels["phosphate"].high) == (0.375, 0.625)
    assert seen.origins["nitrate"] == "diary, 6 March"


def test_what_is_old_later_or_no_level_is_left_out():
    kept = diary((40.0, 40.0, "nitrate"), (-1.0, 5.0, "iron"), (1.0, 8.0, "oxygen"),
                 (1.0, 5.0, "something"))  # fmt: skip
    assert levels_seen(kept, NOW).levels == {}
