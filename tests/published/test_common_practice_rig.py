"""What keepers report of their rigs, against what is computed: common practice, no source.

A planted tank of 151 L at 4 to 6 counted bubbles a second for about ten hours a day emptied a
9.1 kg cylinder in a bit more than a year. Gas goes on about an hour before the lights. Tanks of
about 150 L and more get two discs, an inline diffuser or a reactor. The silicone hose is the one
not to use. None of it has a publication behind it; each must lie inside the computed interval.
"""

from datetime import datetime

import numpy as np
import pytest

from leafgill.advise.drawn import drawn
from leafgill.advise.rig.counted import bubble_mg
from leafgill.advise.rig.plan import plan_rig
from leafgill.diary import Diary
from leafgill.estimate import believe
from leafgill.science.cited import Range
from leafgill.tank.clock import zone
from leafgill.tank.spec import Tank

YEAR_MONTHS = 12.0
LITTLE_MORE = (12.0, 14.0)
DAYS = (365.0, 425.0)
CYLINDER_G = 9_072.0
TEN_HOURS = {"lights_on": "10:00", "lights_off": "20:00", "gas_on": "09:00", "gas_off": "19:00"}


def plan_of(litres, **sections):
    data = {"tank": {"name": "Invented", "volume_l": litres}, "day": TEN_HOURS}
    for name, keys in sections.items():
        data[name] = {**data.get(name, {}), **keys}
    tank = Tank.from_mapping(data)
    now = datetime(2025, 3, 3, 12, tzinfo=zone(tank.timezone))
    return plan_rig(tank, believe(tank, Diary(), now))


@pytest.fixture(scope="module")
def forty_gallons():
    return plan_of(151.0, rig={"diffuser": "disc", "count": 2})


def test_twenty_pounds_last_151_l_a_bit_more_than_a_year(forty_gallons):
    twenty = next(c for c in forty_gallons.choices if c.size.key == "20lb")
    assert twenty.months.low < LITTLE_MORE[0]
    assert twenty.months.high > LITTLE_MORE[1]
    # and not just because everything would: neither a month nor six years
    assert twenty.months.low > 1.0
    assert twenty.months.high < 72.0


def test_the_gas_a_day_that_follows_is_inside(forty_gallons):
    gas = forty_gallons.use.gas
    for days in DAYS:
        assert gas.low < CYLINDER_G / days < gas.high
    assert gas.high < 20.0 * gas.low


def test_four_to_six_bubbles_a_second_for_ten_hours_give_that_gas(forty_gallons):
    """By the bubbles: tips, liquids and pressures as counters have them."""
    need, pressure = forty_gallons.need, forty_gallons.chosen.used.pressure_bar
    rate = drawn(Range(5.0, 4.0, 6.0), need.belief.count, "counted")
    grams = rate * bubble_mg(need, pressure) * 1e-3 * 3600.0 * 10.0
    low, high = np.quantile(grams, [0.05, 0.95])
    for days in DAYS:
        assert low < CYLINDER_G / days < high
    assert high < 8.0 * low


def test_four_to_six_bubbles_a_second_are_what_the_need_asks_for(forty_gallons):
    rate = forty_gallons.counted.rate
    assert rate.low < 4.0
    assert rate.high > 6.0
    assert rate.low > 0.4
    assert rate.high < 60.0


@pytest.mark.parametrize("litres", [60.0, 151.0, 300.0])
def test_gas_goes_on_about_an_hour_before_the_lights(litres):
    lead = plan_of(litres).lead
    assert lead.fed.low < 1.0 < lead.fed.high
    assert 0.75 <= lead.advised_h <= 2.0


@pytest.mark.parametrize("litres", [150.0, 151.4, 200.0, 300.0, 450.0])
@pytest.mark.parametrize("kinds", ["fish", "shrimp"])
def test_from_150_l_up_one_disc_is_not_enough(litres, kinds):
    advised = plan_of(litres, livestock={"kinds": kinds}).chosen.advised
    assert (advised.kind, advised.count) in {("disc", 2), ("inline", 1), ("reactor", 1)}


@pytest.mark.parametrize("litres", [20.0, 60.0, 100.0])
def test_a_small_tank_does_with_one(litres):
    advised = plan_of(litres).chosen.advised
    assert (advised.kind, advised.count) == ("disc", 1)


def test_a_reactor_dissolves_essentially_all(forty_gallons):
    reactor = next(way for way in forty_gallons.chosen.ways if way.kind == "reactor")
    assert reactor.dissolved.value > 0.98


def test_a_single_stage_regulator_can_dump_at_the_end(forty_gallons):
    single, double = forty_gallons.regulators
    assert single.flow.high > 1.5
    assert double.flow.high < 1.3
