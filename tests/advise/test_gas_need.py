"""Grams a day: what it takes to hold a target while the plants are lit."""

from datetime import time

import numpy as np
import pytest

from leafgill.advise.forecast import set_flow
from leafgill.advise.gas_need import (
    bubble_rate,
    dissolved_share,
    gas_need,
    in_hours,
    surged,
    usual_hours,
)
from leafgill.advise.steady_day import ALWAYS_ON
from leafgill.diary import Diary
from leafgill.estimate.flow import SETTING_SD
from leafgill.science.gases import co2_equilibrium_mg_l
from leafgill.tank.model import exchange_now_per_h
from leafgill.tank.window import Window


@pytest.fixture(scope="module")
def bare(make_tank, make_belief):
    """Return a maker of needs of a tank without a diary."""

    def make(*, width=0.5, count=60, shift=None, aim=None, **sections):
        tank = make_tank(**sections)
        belief = make_belief(
            tank, Diary().localised(tank.timezone), 4.0, width=width, count=count, shift=shift
        )
        return gas_need(tank, belief, aim)

    return make


@pytest.mark.parametrize("target", [10.0, 24.0, 30.0])
def test_every_draw_holds_the_target_while_lit(bare, target):
    need = bare(aim=target, width=1.0, count=200)
    given = need.flow > 0.0
    assert need.cycle.lit_co2[given] == pytest.approx(target, rel=0.02)
    assert (need.cycle.lit_co2[~given] >= target).all()


def test_plants_that_could_take_all_of_it_do_not_make_it_swing(bare):
    need = bare(width=1.0, count=300, shift={"uptake": 2.0}, plants={"density": "high"})
    assert need.belief.draws.uptake_mg_l_h.max() > 40.0
    assert need.cycle.lit_co2 == pytest.approx(need.target_mg_l, rel=0.02)


def test_the_target_is_the_tanks_own_unless_told(bare):
    assert bare().target_mg_l == 24.0
    assert bare(target={"co2_mg_l": 18}).target_mg_l == 18.0
    assert bare(aim=12.0).target_mg_l == 12.0


def test_around_the_clock_without_plants_it_is_exchange_times_difference(bare):
    """At rest dC/dt = 0: gas = k·(C - Ceq) - respiration, all through the day."""
    need = in_hours(
        bare(width=0.0, count=2, shift={"uptake": -6.0, "room_cos": -0.1 / 0.35 * 1.0}), ALWAYS_ON
    )
    draws = need.belief.draws
    k = exchange_now_per_h(draws, 25.0, 0.0)
    rest = co2_equilibrium_mg_l(draws.room_co2_ppm, 25.0)
    # the surface belongs to the open water, which stands above the mean by what mixes away
    open_water = need.cycle.course.co2_mg_l.mean(axis=1)
    expected = 24.0 * (k * (open_water - rest) - draws.respiration_mg_l_h)
    assert need.cycle.given == pytest.approx(expected, rel=0.02)
    assert need.given_g == pytest.approx(need.cycle.given * need.volume_l * 1e-3)


def test_a_livelier_surface_and_more_plants_take_more(bare):
    usual = np.median(bare().given_g)
    assert np.median(bare(shift={"exchange": 1.0}).given_g) > 1.5 * usual
    assert np.median(bare(shift={"uptake": 2.0}).given_g) > 1.1 * usual
    assert np.median(bare(aim=12.0).given_g) < 0.6 * usual


def test_twice_the_water_as_deep_takes_twice_the_gas(bare):
    box = {"length_cm": 80, "width_cm": 35, "height_cm": 40, "volume_l": 100}
    small = bare(tank=box)
    large = bare(tank={**box, "length_cm": 160, "volume_l": 200})
    assert large.given_g == pytest.approx(2.0 * small.given_g, rel=1e-3)


def test_water_that_breathes_enough_needs_no_gas(bare):
    need = bare(width=0.0, count=3, shift={"respiration": 5.0, "exchange": -2.0}, aim=3.0)
    assert (need.flow == 0.0).all()
    assert (need.given_g == 0.0).all()
    assert np.isfinite(need.gas_g).all()


def test_hours_of_gas_are_those_written_or_the_usual_ones(bare):
    assert bare().assumed
    assert str(bare().gas) == "09:00-17:00"
    written = bare(day={"lights_on": "10:00", "lights_off": "18:00", "gas_on": "08:00",
                        "gas_off": "16:30"})  # fmt: skip
    assert not written.assumed
    assert str(written.gas) == "08:00-16:30"


@pytest.mark.parametrize(
    ("light", "gas"),
    [
        (Window(time(10), time(18)), "09:00-17:00"),
        (Window(time(0, 30), time(9)), "23:30-08:00"),
        (Window(time(18), time.max), "17:00-23:00"),
        (Window(time(10), time(11, 30)), "10:00-11:30"),
        (ALWAYS_ON, "00:00-24:00"),
        (Window(time(8), time(8)), "09:00-17:00"),
    ],
)
def test_the_usual_hours_begin_and_end_an_hour_before_the_lights(light, gas):
    assert str(usual_hours(light)) == gas


def test_other_hours_keep_tank_and_target(bare):
    need = bare()
    other = in_hours(need, ALWAYS_ON)
    assert other.target_mg_l == need.target_mg_l
    assert other.belief is need.belief
    assert np.median(other.given_g) > 1.5 * np.median(need.given_g)


def test_the_rate_that_gives_a_flow_is_the_rate_a_valve_was_set_to(bare):
    belief = bare(width=0.2).belief
    found = bubble_rate(belief, set_flow(belief, 3.0))
    # set_flow adds the error of counting
    assert np.median(found) == pytest.approx(3.0, rel=0.02)
    assert found.std() == pytest.approx(SETTING_SD * 3.0, rel=0.2)
    assert bubble_rate(belief, np.zeros(belief.count)).tolist() == [0.0] * belief.count


def test_part_of_the_gas_dissolves_and_never_more_than_all(bare):
    need = bare(width=1.5, count=100)
    share = dissolved_share(need.belief, need.flow)
    assert ((share > 0.0) & (share <= 1.0)).all()
    assert need.gas_g == pytest.approx(need.given_g / share)


def test_a_surge_makes_more_dissolve_but_less_than_in_proportion(bare):
    need = bare(width=0.0, count=2)
    assert surged(need.belief, need.flow, 1.0) == pytest.approx(need.flow)
    twice = surged(need.belief, need.flow, 2.0) / need.flow
    assert ((twice > 1.7) & (twice < 2.0)).all()


def test_a_diary_is_told_from_none(bare, learnt, tank, make_belief, make_diary):
    assert not bare().learnt
    assert gas_need(tank, learnt).learnt
    weighed = make_diary((0.0, "bubble_rate", 1.0), (1.0, "cylinder_mass", 5200.0),
                         (40.0, "cylinder_mass", 5100.0))  # fmt: skip
    assert gas_need(tank, make_belief(tank, weighed, 50.0)).learnt
    hours_only = make_diary((0.0, "light_day", "10:00-18:00"))
    assert not gas_need(tank, make_belief(tank, hours_only, 50.0)).learnt
