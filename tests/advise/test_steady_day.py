"""The day that repeats itself."""

from datetime import time

import numpy as np
import pytest

from leafgill.advise.steady_day import ALWAYS_ON, SteadyDay
from leafgill.diary import Diary
from leafgill.tank.limits import limits_of
from leafgill.tank.window import Window

GAS = Window(time(9), time(17))


@pytest.fixture(scope="module")
def believed(make_tank, make_belief):
    def make(*, width=0.2, count=40, shift=None, **sections):
        tank = make_tank(**sections)
        return make_belief(
            tank, Diary().localised(tank.timezone), 4.0, width=width, count=count, shift=shift
        )

    return make


def flow(belief, bubbles=4.0):
    return np.full(belief.count, bubbles)


def test_it_repeats_itself(believed):
    belief = believed()
    day = SteadyDay.of(belief)
    settled = day.settle(flow(belief), GAS)
    again = day.once(flow(belief), GAS, settled)
    assert np.abs(again.co2 - settled.co2).max() < 0.02
    assert settled.co2[:, 0] == pytest.approx(settled.co2[:, -1], abs=0.02)
    assert settled.o2[:, 0] == pytest.approx(settled.o2[:, -1], abs=0.02)


def test_what_is_given_goes_through_the_surface_or_into_plants(believed):
    belief = believed()
    cycle = SteadyDay.of(belief).settle(flow(belief), GAS)
    breathed = 24.0 * belief.draws.respiration_mg_l_h
    assert cycle.given + breathed == pytest.approx(cycle.lost + cycle.fixed, abs=0.2)
    assert (cycle.fixed > 0.0).all()
    hours = GAS.hours - belief.draws.line_lag_h
    draws, start_s = belief.draws, belief.problem.evidence.start_s
    days = (SteadyDay.of(belief).midnight_s - start_s) / 86400.0 + 0.5
    gain = draws.gain_mg_l * np.exp(draws.gain_trend_per_day * days)
    assert cycle.given == pytest.approx(gain * 4.0 * 3600.0 * hours, rel=0.01)


def test_more_gas_is_more_carbon_dioxide_everywhere_and_at_all_times(believed):
    belief = believed()
    day = SteadyDay.of(belief)
    less, more = (day.settle(flow(belief, bubbles), GAS) for bubbles in (2.0, 4.0))
    assert (more.co2 >= less.co2 - 1e-6).all()
    assert (more.lit_co2 > less.lit_co2).all()
    assert (more.co2_max >= more.co2 - 1e-9).all()


def test_the_plants_day_begins_two_hours_after_lights_and_gas(believed):
    day = SteadyDay.of(believed())  # lights 10:00-18:00
    assert day.lit_hours(GAS)[[0, -1]].tolist() == [12.0, 17.5]
    late = Window(time(13), time(17))
    assert day.lit_hours(late)[[0, -1]].tolist() == [15.0, 17.5]
    assert day.lit_hours(ALWAYS_ON)[[0, -1]].tolist() == [12.0, 17.5]
    assert day.lit_hours(Window(time(19), time(9)))[[0, -1]].tolist() == [12.0, 17.5]
    always = SteadyDay.of(believed(day={"lights_on": "00:00", "lights_off": "24:00"}))
    assert always.lit_hours(ALWAYS_ON)[[0, -1]].tolist() == [0.0, 23.5]


def test_where_light_is_short_all_of_it_counts_and_without_light_noon(believed):
    day = SteadyDay.of(believed(day={"lights_on": "10:00", "lights_off": "11:30"}))
    assert day.lit_hours(GAS).tolist() == [10.0, 10.5, 11.0]
    dark = SteadyDay.of(believed(day={"lights_on": "10:00", "lights_off": "10:00"}))
    assert dark.lit_hours(GAS).tolist() == [12.0]


def test_a_zone_off_the_half_hour_has_its_hours_right(believed):
    cycle = SteadyDay.of(believed(tank={"timezone": "Asia/Kathmandu"})).settle(
        np.full(40, 6.0), GAS
    )
    middle = np.median(cycle.co2, axis=0)
    lowest = cycle.hours[np.argmin(middle)]
    assert 8.0 <= lowest <= 9.5
    assert 15.0 <= cycle.hours[np.argmax(middle)] <= 17.5


def test_air_at_night_takes_it_out_by_morning(believed):
    slow = {"exchange": -2.0}
    still = believed(shift=slow)
    aired = believed(shift=slow, rig={"diffuser": "disc", "night_air": True})
    dawn = [SteadyDay.of(b).settle(flow(b), GAS).at("co2", 8.5).mean() for b in (still, aired)]
    assert dawn[1] < 0.5 * dawn[0]


def test_risks_are_counted_among_the_draws(believed, make_tank):
    belief = believed(width=0.5)
    cycle = SteadyDay.of(belief).settle(flow(belief, 20.0), GAS)
    limits = limits_of(make_tank())
    risks = cycle.risks(limits)
    peaks = cycle.co2_max.max(axis=1)
    assert 0.0 < risks.p_over_limit == np.mean(peaks > 30.0)
    assert risks.p_over_danger == np.mean(peaks > 37.5)
    assert risks.peak.mean == pytest.approx(peaks.mean())
