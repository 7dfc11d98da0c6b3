from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from leafgill.advise.hours import gas_hours, lead_time_h
from leafgill.advise.situation import look_around
from leafgill.tank.schedule import NEVER, parse_window


def situation_of(tank, diary, belief):
    return look_around(tank, diary, belief, belief.now, (8, 22))


def test_lead_time_against_the_equation_itself():
    rest, gas, k, target = 1.5, 9.0, 0.4, 20.0
    lead = lead_time_h(target, np.array([rest]), np.array([gas]), np.array([k]))[0]
    course = solve_ivp(lambda _, c: gas - k * (c - rest), (0.0, lead), [rest], rtol=1e-9)
    assert course.y[0, -1] == pytest.approx(target, rel=1e-6)


def test_lead_time_that_never_or_already_is():
    one = np.ones(1)
    assert lead_time_h(20.0, one, 5.0 * one, one)[0] == np.inf
    assert lead_time_h(0.5, one, 5.0 * one, one)[0] == 0.0


def test_slower_surfaces_need_a_longer_lead(make_tank, make_diary, make_belief):
    tank, diary = make_tank(), make_diary((0.0, "light_day", "10:00-18:00"), (0.0, "kh", 4.0))
    leads = []
    for shift in (1.5, 0.8, 0.1):
        belief = make_belief(tank, diary, 2.0, width=0.05, shift={"exchange": shift})
        hours = gas_hours(situation_of(tank, diary, belief))
        assert hours.off == parse_window("10:00-18:00").off
        leads.append(hours.hours - 8.0)
    assert leads == sorted(leads) and leads[0] < leads[-1]
    assert min(leads) >= 0.5 and max(leads) <= 4.0


def test_light_around_the_clock_or_unknown_gives_no_hours(make_tank, make_diary, make_belief):
    tank, diary = make_tank(), make_diary((0.0, "light_day", "10:00-18:00"), (0.0, "kh", 4.0))
    belief = make_belief(tank, diary, 2.0)
    situation = situation_of(tank, diary, belief)
    for light in (None, NEVER, NEVER.rest):
        assert gas_hours(replace(situation, light=light)) is None


def test_a_long_day_leaves_the_night_a_quarter_of_an_hour(make_tank, make_diary, make_belief):
    tank, diary = make_tank(), make_diary((0.0, "light_day", "10:00-18:00"), (0.0, "kh", 4.0))
    belief = make_belief(tank, diary, 2.0)
    situation = replace(situation_of(tank, diary, belief), light=parse_window("04:00-03:00"))
    hours = gas_hours(situation)
    assert str(hours) == "03:15-03:00"
