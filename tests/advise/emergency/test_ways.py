from datetime import timedelta

import numpy as np
import pytest

from leafgill.advise.air import with_stone
from leafgill.advise.emergency import minutes_below, ways_out
from leafgill.tank.model import THETA

BASE = (
    (0.0, "light_day", "10:00-18:00"),
    (0.0, "gas_day", "09:00-18:00"),
    (1.0, "bubble_rate", 4.0),
)


def test_minutes_until_a_level_is_left_for_good():
    times = np.array([0.0, 600.0, 1200.0, 1800.0])
    co2 = np.array(
        [
            [40.0, 30.0, 20.0, 10.0],  # passes 25 halfway between 10 and 20 min
            [20.0, 20.0, 20.0, 20.0],  # below throughout
            [20.0, 30.0, 20.0, 10.0],  # above for a while only
            [40.0, 40.0, 40.0, 40.0],  # never below
        ]
    )
    assert minutes_below(times, co2, 25.0).tolist() == pytest.approx([15.0, 0.0, 15.0, 30.0])


def test_in_the_dark_it_falls_as_exchange_alone_would(make_tank, make_diary, make_belief):
    """dC/dt = -k (C - rest) of the mean water; buffered water holds most of its carbon as CO2."""
    tank, diary = make_tank(water={"kh_dkh": 2.0}), make_diary(*BASE)
    shift = {"bubble_mass": 2.5, "mixing": 3.0, "uptake": -3.0, "respiration": -3.0,
             "room_excess": -3.0, "exchange_trend": 0.0}  # fmt: skip
    belief = make_belief(tank, diary, 9.98, width=0.02, shift=shift)  # just before 18:00
    now = belief.now
    co2 = belief.at("co2", now).mean()
    limit = 0.5 * co2
    found = ways_out(belief, now, limit)
    k = belief.draws.exchange_per_h.mean() * THETA ** (tank.temperature_c - 20.0)
    expected = 60.0 * np.log((co2 - 0.7) / (limit - 0.7)) / k
    assert found.gas_shut.minutes.mean == pytest.approx(expected, rel=0.12)
    assert found.co2_mg_l.mean == pytest.approx(co2)


def test_air_is_faster_and_new_water_fastest(make_tank, make_diary, make_belief):
    tank, diary = make_tank(), make_diary(*BASE)
    belief = make_belief(tank, diary, 9.0, shift={"bubble_mass": 2.5})
    found = ways_out(belief, belief.now, 20.0)
    shut, air, change = (way.minutes.mean for way in found[2:])
    assert change < air < shut
    assert air == pytest.approx(0.5 * shut, rel=0.25)  # a stone doubles the exchange, or so
    alone = found.gas_shut.co2_mg_l.mean
    assert found.with_change.co2_mg_l.mean < 0.8 * alone


def test_without_gas_it_falls_in_the_middle_of_the_gas_hours(make_tank, make_diary, make_belief):
    tank, diary = make_tank(), make_diary(*BASE)
    belief = make_belief(tank, diary, 5.0, shift={"bubble_mass": 2.5})  # 13:00, gas until 18:00
    found = ways_out(belief, belief.now, 20.0)
    assert 0.0 < found.gas_shut.minutes.mean < 300.0
    assert found.gas_shut.co2_mg_l.mean < found.co2_mg_l.mean


def test_below_already_takes_no_time(make_tank, make_diary, make_belief):
    tank, diary = make_tank(), make_diary(*BASE)
    belief = make_belief(tank, diary, 0.5)
    found = ways_out(belief, belief.now, 30.0)
    assert found.gas_shut.minutes.high == 0.0


def test_the_tank_s_own_air_is_used_where_it_has_some(make_tank, make_diary, make_belief):
    diary = make_diary(*BASE)
    own = make_belief(make_tank(rig={"night_air": True}), diary, 9.0)
    assert with_stone(own) is own.draws
    none = make_belief(make_tank(), diary, 9.0)
    stone = with_stone(none).exchange_air_per_h
    assert np.median(stone / none.draws.exchange_per_h) == pytest.approx(1.0, rel=0.15)


def test_a_change_already_made_is_not_made_twice(make_tank, make_diary, make_belief):
    tank = make_tank()
    diary = make_diary(*BASE, (8.9, "water_change", 50.0))
    belief = make_belief(tank, diary, 9.0, shift={"bubble_mass": 2.5})
    bare = make_belief(tank, make_diary(*BASE), 9.0, shift={"bubble_mass": 2.5})
    after = ways_out(belief, belief.now, 20.0)
    before = ways_out(bare, bare.now, 20.0)
    assert after.co2_mg_l.mean < 0.75 * before.co2_mg_l.mean
    assert after.with_change.co2_mg_l.mean > 0.5 * after.gas_shut.co2_mg_l.mean


def test_figures_shrink_as_time_goes_on(make_tank, make_diary, make_belief):
    tank, diary = make_tank(), make_diary(*BASE)
    belief = make_belief(tank, diary, 9.0, shift={"bubble_mass": 2.5})
    later = ways_out(belief, belief.now + timedelta(hours=4), 20.0)
    assert later.gas_shut.minutes.mean < ways_out(belief, belief.now, 20.0).gas_shut.minutes.mean
