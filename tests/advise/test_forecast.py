from datetime import timedelta

import numpy as np
import pytest

from leafgill.advise.forecast import Plan, bent, forecast, look_ahead, set_flow
from leafgill.estimate.flow import SETTING_SD
from leafgill.tank.schedule import NEVER, parse_window


def hours(belief, h):
    return belief.now + timedelta(hours=h)


def test_with_nothing_changed_it_is_the_belief_s_own_day(learnt, tank):
    ahead = forecast(tank, learnt, Plan(), hours(learnt, 24))
    own = learnt.band("co2", ahead.times_s)
    assert np.abs(ahead.co2.mean - own.mean).max() < 0.02
    assert np.abs(ahead.ph.low - learnt.band("ph", ahead.times_s).low).max() < 0.01
    assert np.abs(ahead.o2.mean - learnt.band("o2", ahead.times_s).mean).max() < 0.02


def test_it_begins_now_and_ends_when_asked(learnt, tank):
    ahead = forecast(tank, learnt, Plan(), hours(learnt, 20))
    assert ahead.times_s[0] == learnt.now.timestamp()
    assert ahead.times_s[-1] == hours(learnt, 20).timestamp()
    assert ahead.co2.mean[0] == pytest.approx(learnt.co2(learnt.now).mean, rel=1e-3)


def test_trends_and_new_water_go_on_through_now(make_tank, make_diary, make_belief):
    """A water change just now, drifting alkalinity and acid: the run still joins the belief's."""
    diary = make_diary(
        (0.0, "gas_day", "09:00-18:00"),
        (1.0, "bubble_rate", 1.0),
        (30.0, "water_change", 40.0),
        (52.1, "water_change", 30.0),
    )
    tank = make_tank()
    shift = {"alkalinity_trend": 1.0, "non_carbonate": 1.5, "new_kh_1": -3.0}
    belief = make_belief(tank, diary, 52.2, width=0.3, shift=shift)
    ahead = look_ahead(belief, Plan(), belief.now.timestamp(), hours(belief, 30).timestamp())
    # The kernel renews trends every two hours, in steps of 1 % of CO2 where CO2 is low.
    assert np.allclose(ahead.co2, belief.through("co2", ahead.times_s), rtol=0.025)
    assert np.allclose(ahead.ph, belief.through("ph", ahead.times_s), atol=0.008)


def test_the_straying_goes_on(make_belief, tank, running):
    straight = make_belief(tank, running, 51.0)
    strayed = make_belief(tank, running, 51.0, straying=-0.1)
    at = hours(straight, 6)
    a = forecast(tank, straight, Plan(), at).co2.mean
    b = forecast(tank, strayed, Plan(), at).co2.mean
    assert np.allclose(b / a, 10.0**0.1)


def test_more_bubbles_more_co2_and_none_without(morning, tank):
    until = hours(morning, 24)
    rates = (0.0, 1.0, 2.0, 4.0)
    peaks = [forecast(tank, morning, Plan(bubble_rate=r), until).peak.mean for r in rates]
    assert peaks == sorted(peaks)
    shut = forecast(tank, morning, Plan(bubble_rate=0.0), until)
    never = forecast(tank, morning, Plan(gas=NEVER), until)
    assert np.allclose(shut.co2.mean[-5:], never.co2.mean[-5:], rtol=1e-3)


def test_a_named_rate_has_an_error_of_its_own_and_the_rate_at_hand_has_not(morning):
    kept = bent(morning, Plan(), morning.now.timestamp())[1]
    assert np.array_equal(kept, morning.draws.flow)
    timeline, flow = bent(morning, Plan(bubble_rate=1.0), morning.now.timestamp())
    assert timeline.setting_s[-1] == morning.now.timestamp()
    assert flow.shape[1] == len(timeline.setting_s)
    assert np.array_equal(flow[:, :-1], morning.draws.flow[:, : flow.shape[1] - 1])
    problem, z = morning.problem, morning.z
    exponent = 1.0 + problem.value(z, "swell") - problem.value(z, "bend")
    assert np.std(np.log(flow[:, -1]) / exponent) == pytest.approx(SETTING_SD, rel=0.02)


def test_large_bubbles_dissolve_worse(morning):
    problem, z = morning.problem, morning.z
    bend = problem.value(z, "bend") - problem.value(z, "swell")
    ratio = np.log(set_flow(morning, 8.0) / set_flow(morning, 2.0)) / np.log(4.0)
    assert np.allclose(ratio, 1.0 - bend, atol=1e-9)


def test_other_gas_hours_and_air(make_tank, make_belief, running):
    tank = make_tank(rig={"night_air": True})
    belief = make_belief(tank, running, 51.0)
    until = hours(belief, 24)
    usual = forecast(tank, belief, Plan(), until)
    early = forecast(tank, belief, Plan(gas=parse_window("09:00-12:00")), until)
    airless = forecast(tank, belief, Plan(air=NEVER), until)
    evening = np.searchsorted(usual.times_s, hours(belief, 6.9).timestamp())
    assert early.co2.mean[evening] < 0.5 * usual.co2.mean[evening]
    assert airless.co2.mean[-20:].max() > usual.co2.mean[-20:].max()


def test_chances_are_parts_of_the_draws(morning, tank, make_tank):
    until = hours(morning, 24)
    plan = Plan(bubble_rate=3.0)
    peaks = look_ahead(morning, plan, morning.now.timestamp(), until.timestamp()).co2_max.max(1)
    level = float(np.median(peaks))
    strict = make_tank(livestock={"co2_limit_mg_l": level})
    ahead = forecast(strict, morning, plan, until)
    assert ahead.p_over_limit == pytest.approx(0.5, abs=0.02)
    assert ahead.p_over_danger == pytest.approx(np.mean(peaks > 1.25 * level))
    assert ahead.peak.low < level < ahead.peak.high
    assert ahead.p_low_o2 == 0.0 and ahead.o2_min.low > 5.0


def test_the_same_belief_gives_the_same_forecast(morning, tank):
    plan = Plan(bubble_rate=2.0)
    one = forecast(tank, morning, plan, hours(morning, 10))
    other = forecast(tank, morning, plan, hours(morning, 10))
    assert np.array_equal(one.co2.high, other.co2.high)


def test_a_plan_may_begin_later(morning):
    now = morning.now.timestamp()
    end = now + 12 * 3600.0
    later = look_ahead(morning, Plan(bubble_rate=4.0), now, end, act_s=now + 3 * 3600.0)
    kept = look_ahead(morning, Plan(), now, end)
    before = now + 2.9 * 3600.0
    assert np.allclose(later.at("co2", before), kept.at("co2", before), rtol=1e-3)
    assert later.at("co2", now + 5 * 3600.0).mean() > 1.3 * kept.at("co2", now + 5 * 3600.0).mean()


def test_a_time_without_zone_or_before_now_is_refused(morning, tank):
    with pytest.raises(ValueError, match="no zone"):
        forecast(tank, morning, Plan(), hours(morning, 5).replace(tzinfo=None))
    with pytest.raises(ValueError, match="rise"):
        forecast(tank, morning, Plan(), hours(morning, -1))
