"""When tuning stops: what has to hold, what ends it, and when somebody looks again."""

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest

from leafgill.advise.beside.drift import alkalinity_ratio, drift, kh_days, safe_days
from leafgill.advise.beside.leave import last_look
from leafgill.advise.beside.settled_day import SettledDay
from leafgill.advise.beside.telling import chance_of_change, no_reading_would_change_it
from leafgill.advise.candidates import Candidate
from leafgill.advise.situation import look_around
from leafgill.estimate.belief import Misfit


@pytest.fixture(scope="module")
def left(settled, advised):
    return advised(settled())


def test_a_settled_tank_is_left_alone_for_up_to_three_days(left, settled):
    _, _, belief = settled()
    assert left.action == "leave"
    assert left.rate is None and left.schedule is None and left.act_at is None
    assert all(row.passed for row in left.reasons)
    # the height of the day is 17:00; three days on is 11:00, so two are left
    assert left.look_at == belief.now.replace(hour=17) + timedelta(days=2)
    assert left.look_at - belief.now <= timedelta(days=3)
    assert "until then only the animals" in left.measure
    assert "a water change" in left.later and "animals" in left.later


def test_it_expects_the_drifted_day(left, settled, held, around):
    hold = held(settled())
    coming = drift(SettledDay.of(around(settled())), hold)
    at = hold.situation.now.replace(hour=17).timestamp()
    expected = hold.ahead.at("co2", at) * coming[1].ratio
    assert left.expect.co2.mean == pytest.approx(expected.mean(), rel=1e-6)
    figures = {one.name: one.value for one in left.beside[0].figures}
    assert figures["drift_a_day"].mean == pytest.approx(-0.8, abs=0.2)
    assert figures["days_left_alone"] == pytest.approx(2.25)


def test_drift_is_what_the_trends_make_of_the_day(settled, held, around):
    tank, diary, belief = settled()
    still = belief.draws._replace(
        **{
            name: np.zeros(belief.count)
            for name in belief.draws._fields
            if name.endswith("_trend_per_day")
        }
    )
    calm = replace(belief, draws=still)
    told = (tank, diary, calm)
    coming = drift(SettledDay.of(around(told)), held(told))
    assert [one.days for one in coming] == [1, 2, 3]
    for one in coming:
        assert one.ratio == pytest.approx(1.0, abs=2e-3)
    clogging = replace(
        belief, draws=still._replace(gain_trend_per_day=np.full(belief.count, -0.06))
    )
    told = (tank, diary, clogging)
    hold, coming = held(told), drift(SettledDay.of(around(told)), held(told))
    means = [float(one.ratio.mean()) for one in coming]
    # CO2 above the room's follows the gas: a little less than 6 % a day
    assert means[0] == pytest.approx(0.945, abs=0.01) and means[2] == pytest.approx(0.85, abs=0.02)
    level = hold.lit_co2.mean / 17.5
    assert safe_days(hold, coming) == sum(level * ratio >= 0.9 for ratio in means)
    assert safe_days(hold, coming) < 3


def test_rule_1_ends_it_sooner(settled, held, around):
    told = settled()
    hold, coming = held(told), drift(SettledDay.of(around(told)), held(told))
    assert safe_days(hold, coming) == 3
    high = [replace(one, peak=one.peak + (20.0 if one.days == 3 else 0.0)) for one in coming]
    assert safe_days(hold, high) == 2
    low = [replace(one, least_o2=one.least_o2 - (9.0 if one.days >= 2 else 0.0)) for one in coming]
    assert safe_days(hold, low) == 1


def test_the_hour_of_the_look_is_the_same_and_never_past_its_end(settled):
    now = settled()[2].now
    first = now.replace(hour=17)
    assert last_look(first, now, 3, None) == first + timedelta(days=2)
    assert last_look(first, now, 2, None) == first + timedelta(days=1)
    assert last_look(first, now.replace(hour=17), 3, None) == first + timedelta(days=3)
    assert last_look(first, now, 3, now + timedelta(days=2)) == first + timedelta(days=1)
    assert last_look(first, now, 3, now) == first


@pytest.mark.parametrize(
    "more",
    [
        [(50.9, "bubble_rate", 3.9)],  # not shown
        [(50.5, "water_change", 40.0)],  # not read since
        [(50.8, "gas_day", "06:45-17:00")],  # hours just moved
    ],
)
def test_it_is_no_time_to_leave_it(settled, advised, more):
    assert advised(settled("07:00-17:00", *more)).action == "hold"


def test_a_wide_belief_a_misfit_or_a_crept_valve_is_not_left(settled, advised):
    tank, diary, belief = settled()
    assert advised(settled(width=0.15)).action != "leave"
    odd = Misfit(belief.now, "ph_probe", "7.1", 4.0, "ph_probe 7.1 does not fit the rest")
    assert advised((tank, diary, replace(belief, misfits=(odd,)))).action != "leave"
    counted = settled("07:00-17:00", (50.5, "bubble_count", 3.2))
    situation = look_around(counted[0], counted[1], counted[2], belief.now, (8, 22))
    assert situation.crept == (advised(counted).action != "leave")


def test_off_the_target_it_is_not_left(settled, advised):
    assert advised(settled(target={"co2_mg_l": 20.0})).action == "raise"


def test_a_planned_water_change_ends_it(settled, advised):
    soon = settled(
        "07:00-17:00", (24.0 - 5 * 24.0, "water_change", 40.0),
        water_change={"percent": 40, "every_days": 7},
    )  # fmt: skip
    step = advised(soon)
    assert step.action == "leave"
    assert step.look_at.day == 6 and step.look_at.hour == 17


def test_a_reading_that_tells_the_draws_apart_may_change_the_step(settled, held):
    told = settled()
    hold = held(told)
    row = no_reading_would_change_it(hold, told[1])
    assert row.passed and row.figure <= 0.10
    # the target as far off as the middle of the draws allows: half the readings put it outside
    level = hold.lit_draws
    edge = replace(hold.situation.limits, target_mg_l=float(np.median(level)) / 0.9)
    off = replace(hold, situation=replace(hold.situation, limits=edge))
    sharp = Candidate("test", "sharp", "", hold.situation.now, shows=level, sd=1e-3)
    assert chance_of_change(off, sharp) == pytest.approx(0.5, abs=0.1)
    blind = Candidate("test", "blind", "", hold.situation.now, shows=level, sd=1e3)
    assert chance_of_change(hold, blind) == 0.0
    assert chance_of_change(hold, Candidate("test", "nothing", "", hold.situation.now)) == 0.0


def test_kh_is_tested_as_often_as_it_may_drift(settled, held):
    tank, diary, belief = settled()
    for trend, days in ((0.0, 28), (0.005, 20), (-0.01, 10), (0.1, 7)):
        draws = belief.draws._replace(alkalinity_trend_per_day=np.full(belief.count, trend))
        hold = held((tank, diary, replace(belief, draws=draws)))
        assert kh_days(hold) == days
        assert alkalinity_ratio(hold, 2.0) == pytest.approx(np.exp(2.0 * trend), rel=1e-9)
