import pytest

from leafgill.advise.water.habit import habit_of
from leafgill.advise.water.series import step_by_step
from leafgill.science.cited import Range


def sure(value):
    return Range(value, value, value)


def test_levels_over_a_series(water):
    new = water(kh=8.0, gh=12.0, nitrate=2.0)
    told = habit_of(0.3, 7.0, new, {"KH": sure(4.0), "GH": sure(6.0), "nitrate": sure(40.0)})
    trends = {trend.name: trend for trend in told.trends}
    assert set(trends) == {"KH", "GH", "nitrate"}
    kh = trends["KH"]
    counts = dict(kh.later)
    by_hand = step_by_step(4.0, 8.0, 0.3, 0.0, 4).after
    assert (kh.now.value, kh.end.value) == pytest.approx((4.0, 8.0))
    assert counts[1].value == pytest.approx(by_hand[1])
    assert counts[4].value == pytest.approx(by_hand[4])
    assert kh.changes == 7  # 0.7^7 is the first below a tenth
    assert trends["nitrate"].end.unit == "mg/L"
    assert kh.end.unit == "dKH"


def test_what_comes_in_a_day_holds_it_up(water):
    gain = {"nitrate": sure(1.5)}
    told = habit_of(0.5, 7.0, water(nitrate=2.0), {"nitrate": sure(10.0)}, gain)
    (trend,) = told.trends
    assert trend.end.value == pytest.approx(2.0 + 1.5 * 7.0 * 0.5 / 0.5)
    eaten = habit_of(0.5, 7.0, water(nitrate=2.0), {"nitrate": sure(10.0)},
                     {"nitrate": sure(-5.0)})  # fmt: skip
    assert eaten.trends[0].end.value == 0.0


def test_a_range_at_the_start_is_forgotten_and_that_of_the_new_water_stays(water):
    from dataclasses import replace

    new = replace(water(), kh_dkh=Range(8.0, 7.0, 9.0))
    told = habit_of(0.5, 7.0, new, {"KH": Range(4.0, 2.0, 6.0)}, shown=(1, 9))
    first, last = (figure for _, figure in told.trends[0].later)
    assert last.high - last.low == pytest.approx(2.0, rel=0.02)
    assert first.high - first.low > last.high - last.low


def test_what_the_new_water_does_not_know_is_left_out(water):
    told = habit_of(0.5, 7.0, water(), {"nitrate": sure(10.0)})
    assert told.trends == ()
    assert told.figures == ()


def test_figures_have_their_own_keys(water):
    told = habit_of(0.5, 7.0, water(nitrate=1.0), {"KH": sure(4.0), "nitrate": sure(10.0)})
    keys = [one.key for one in told.figures]
    assert len(keys) == len(set(keys)) == 8
