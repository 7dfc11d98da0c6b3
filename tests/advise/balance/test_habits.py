from datetime import timedelta

import pytest

from leafgill.advise.balance.habits import changes_of, habits_of
from leafgill.advise.balance.read_doses import doses_of
from leafgill.diary import Diary, Entry

DAY = 86400.0


def habits(tank, start, *rows, days=21.0):
    diary = Diary([Entry(start + timedelta(days=at), *row) for at, *row in rows]).localised("UTC")
    now_s = (start + timedelta(days=days)).timestamp()
    doses, _ = doses_of(tank, diary)
    return {h.what: h for h in habits_of(tank, changes_of(tank, diary), doses, now_s)}, now_s


def test_what_is_done_weekly_goes_on_weekly(make_tank, start):
    rows = [(7.0 * k + 3.0, "water_change", 40.0) for k in range(3)]
    rows += [(7.0 * k + 1.0, "dose", 1.0, "g", "KNO3") for k in range(3)]
    found, now_s = habits(make_tank(), start, *rows)
    change, dose = found["water change"], found["KNO3"]
    assert (change.every_days, change.part) == pytest.approx((7.0, 0.4))
    assert change.next_s == pytest.approx(now_s + 3.0 * DAY)
    assert dose.next_s == pytest.approx(now_s + 1.0 * DAY)
    assert dose.adds_mg_l["nitrate"] == pytest.approx(6.133, rel=1e-3)
    assert [e.time_s for e in dose.until(now_s + 15.5 * DAY)] == pytest.approx(
        [now_s + d * DAY for d in (1.0, 8.0, 15.0)]
    )


def test_doses_every_other_day_go_on_so(make_tank, start):
    rows = [(2.0 * k, "dose", 0.2, "g", "KNO3") for k in range(10)]
    found, now_s = habits(make_tank(), start, *rows, days=19.0)
    assert found["KNO3"].every_days == pytest.approx(2.0)
    assert found["KNO3"].next_s == pytest.approx(now_s + 1.0 * DAY)


def test_what_has_stopped_has_stopped(make_tank, start):
    rows = [(2.0 * k, "dose", 0.2, "g", "KNO3") for k in range(4)]
    found, _ = habits(make_tank(), start, *rows, days=19.0)
    assert "KNO3" not in found


def test_the_tank_file_stands_in_where_the_diary_is_silent(make_tank, start):
    tank = make_tank(water_change={"percent": 30, "every_days": 10, "tap_percent": 60})
    found, now_s = habits(tank, start)
    change = found["water change"]
    assert (change.every_days, change.part, change.pure) == pytest.approx((10.0, 0.3, 0.4))
    assert change.next_s > now_s
    assert habits(make_tank(), start)[0] == {}


def test_pure_water_is_seen_by_its_note(make_tank, start):
    rows = [(7.0 * k, "water_change", 40.0, "%", "RO water") for k in range(3)]
    found, _ = habits(make_tank(), start, *rows)
    assert found["water change"].pure == 1.0


def test_a_dose_missed_lately_is_not_made_up_for(make_tank, start):
    rows = [(2.0 * k, "dose", 0.2, "g", "KNO3") for k in range(8)]
    found, now_s = habits(make_tank(), start, *rows, days=17.0)
    # last on day 14, due on 16 and not given: the next is on day 18
    assert found["KNO3"].next_s == pytest.approx(now_s + 1.0 * DAY)
