"""Minute by minute: against closed forms where there are some, and in their order."""

from datetime import timedelta

import numpy as np
import pytest

from leafgill.advise.emergency import CHANGE_PART, WAYS, rescue_of
from leafgill.advise.emergency.minutes import AT_MIN, FILLED_MIN
from leafgill.errors import InputError
from leafgill.science.gases import o2_to_co2_exchange_ratio
from leafgill.tank.limits import limits_of
from leafgill.tank.model import THETA

BASE = (
    (0.0, "light_day", "10:00-18:00"),
    (0.0, "gas_day", "09:00-18:00"),
    (1.0, "bubble_rate", 4.0),
)
# Little lives in it, and the two zones are one.
STILL = {"bubble_mass": 2.5, "mixing": 4.0, "uptake": -5.0, "respiration": -4.0,
         "room_excess": -3.0}  # fmt: skip
DARK_H = 9.98  # just before 18:00, when light and gas go off


@pytest.fixture(scope="module")
def found(make_tank, make_diary, make_belief):
    tank = make_tank(water={"kh_dkh": 1.0})
    belief = make_belief(tank, make_diary(*BASE), DARK_H, width=0.02, shift=STILL)
    return belief, rescue_of(belief, belief.now, limits_of(tank))


@pytest.fixture(scope="module")
def living(make_tank, make_diary, make_belief):
    """A tank in full light and gas, 13:00."""
    tank = make_tank()
    belief = make_belief(tank, make_diary(*BASE), 5.0, shift={"bubble_mass": 2.5})
    return rescue_of(belief, belief.now, limits_of(tank))


def co2(rescue, key):
    return np.array([minute.co2_mg_l.mean for minute in rescue.way(key).minutes])


def o2(rescue, key):
    return np.array([minute.o2_mg_l.mean for minute in rescue.way(key).minutes])


def test_every_way_begins_where_the_tank_is(found):
    belief, rescue = found
    assert [way.key for way in rescue.ways] == list(WAYS)
    for way in rescue.ways:
        assert tuple(minute.minute for minute in way.minutes) == AT_MIN
        first = way.minutes[0]
        assert tuple(first.co2_mg_l) == pytest.approx(tuple(belief.co2(belief.now)), rel=0.02)
        assert tuple(first.o2_mg_l) == pytest.approx(tuple(belief.o2(belief.now)), rel=0.02)


def test_carbon_leaves_a_soft_dark_tank_as_exchange_alone_would(found):
    """dC/dt = -k (C - rest), where nearly all of the carbon is CO2."""
    belief, rescue = found
    k = belief.draws.exchange_per_h.mean() * THETA**5
    start = co2(rescue, "gas_shut")[0]
    expected = 0.7 + (start - 0.7) * np.exp(-k * np.array(AT_MIN) / 60.0)
    assert co2(rescue, "gas_shut") == pytest.approx(expected, rel=0.05)


def test_oxygen_comes_back_by_its_own_exchange(make_tank, make_diary, make_belief):
    """Far below saturation in the dark: d(O2)/dt = k_O2 (saturation - O2)."""
    tank = make_tank(water={"kh_dkh": 1.0})
    shift = {**STILL, "start_o2": -8.0, "exchange": -3.0}
    belief = make_belief(tank, make_diary(*BASE), 10.5, width=0.02, shift=shift)
    rescue = rescue_of(belief, belief.now, limits_of(tank))
    before = o2(rescue, "gas_shut")
    assert before[0] < 7.0
    k = belief.draws.exchange_per_h * THETA**5 * o2_to_co2_exchange_ratio(25.0)
    k = (k * belief.draws.o2_exchange).mean()
    full = 8.263  # mg/L at 25 °C and 1 atm, Benson & Krause 1984
    expected = full - (full - before[0]) * np.exp(-k * np.array(AT_MIN) / 60.0)
    assert before == pytest.approx(expected, rel=0.02)


def test_filling_thins_to_the_part_that_stays(found):
    """Once the last bucket is in, seven tenths of the old water are left, and exchange went on."""
    belief, rescue = found
    at = AT_MIN.index(30)
    fresh = belief.draws.new_co2_mg_l.mean()
    ratio = (co2(rescue, "with_change")[at] - fresh) / (co2(rescue, "gas_shut")[at] - fresh)
    assert FILLED_MIN < 30
    assert ratio == pytest.approx(1.0 - CHANGE_PART, abs=0.03)
    assert co2(rescue, "with_change")[:4] == pytest.approx(co2(rescue, "gas_shut")[:4], rel=1e-6)


def test_all_three_are_faster_than_each_alone(living):
    hour = AT_MIN.index(60)
    each = [co2(living, key)[hour] for key in ("gas_shut", "with_air", "with_change")]
    assert co2(living, "all")[hour] < min(each)
    assert max(each) < co2(living, "left")[hour]
    times = [living.way(key).co2_min.mean for key in ("gas_shut", "with_air", "all")]
    assert times == sorted(times, reverse=True)
    assert times[0] > times[1]


def test_the_surface_is_moved_after_the_valve(living):
    """Within the first two minutes air does nothing yet."""
    assert living.way("with_air").minutes[0] == living.way("gas_shut").minutes[0]
    assert co2(living, "with_air")[1] < co2(living, "gas_shut")[1]


def test_air_acts_from_its_own_minute_on(make_tank, make_diary, make_belief):
    """Of five minutes the stone runs three: its exchange alone is the difference."""
    tank = make_tank(water={"kh_dkh": 1.0}, rig={"night_air": True})
    shift = {**STILL, "exchange_air": 1.5}
    belief = make_belief(tank, make_diary(*BASE), DARK_H - 1.0, width=0.02, shift=shift)
    rescue = rescue_of(belief, belief.now, limits_of(tank))
    k_air = belief.draws.exchange_air_per_h.mean() * THETA**5
    ratio = (co2(rescue, "with_air")[1] - 0.7) / (co2(rescue, "gas_shut")[1] - 0.7)
    assert k_air > 1.0
    assert ratio == pytest.approx(np.exp(-k_air * 3.0 / 60.0), abs=0.008)


def test_ph_rises_as_the_gas_leaves(living):
    rise = living.way("all").ph_rise
    assert 0.0 < rise.low < rise.mean < rise.high
    assert living.way("left").ph_rise.mean < 0.1 * rise.mean


def test_oxygen_that_is_enough_takes_no_time(living):
    assert living.way("gas_shut").o2_min.high == 0.0


def test_no_moment_outside_the_belief(make_tank, make_diary, make_belief):
    tank = make_tank()
    belief = make_belief(tank, make_diary(*BASE), 5.0)
    with pytest.raises(InputError):
        rescue_of(belief, belief.now + timedelta(days=30), limits_of(tank))
