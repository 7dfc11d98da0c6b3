"""Gas hours of a running tank: moved where it is worth it, and never past a rule."""

from dataclasses import replace

import numpy as np
import pytest

from leafgill.advise.beside.settled_day import SettledDay
from leafgill.advise.beside.timing import hours_step, move_to, wanted
from leafgill.advise.case import case_of
from leafgill.advise.forecast import Plan, forecast
from leafgill.advise.rules import judge
from leafgill.tank.schedule import parse_window

LATE = "09:00-18:00"


@pytest.fixture(scope="module")
def late(settled):
    """Gas an hour before the lights and until lights-off: late in the morning, wasted at night."""
    return settled(LATE)


@pytest.fixture(scope="module")
def step(late, advised):
    return advised(late)


def figures(step):
    note = next(note for note in step.beside if note.about == "hours")
    return {one.name: one.value for one in note.figures}


def test_gas_comes_on_earlier_and_goes_off_earlier(step, late):
    _, _, belief = late
    assert step.action == "hours" and step.rate is None
    assert step.schedule == "07:00-17:00"
    assert step.act_at == belief.now
    assert all(row.passed for row in step.reasons)


def test_its_figures_are_of_the_settled_day(step, late, around):
    day = SettledDay.of(around(late))
    said = figures(step)
    new = parse_window(step.schedule)
    assert said["co2_at_lights_on_now"].mean == pytest.approx(8.2, abs=0.3)
    assert said["co2_at_lights_on_then"].mean == pytest.approx(15.9, abs=0.5)
    assert said["co2_at_lights_on_then"].mean == pytest.approx(
        day.day.settle(day.flow, new).at("co2", 10.0).mean(), rel=0.005
    )
    assert said["chance_met_at_lights_on_now"] == 0.0
    assert said["chance_met_at_lights_on_then"] > 0.5
    # nine hours become ten
    assert said["gas_saved_a_day"].mean == pytest.approx(-day.gas_g_h.mean())
    assert said["gas_saved_a_day"].low <= said["gas_saved_a_day"].mean <= 0.0


def test_somebody_looks_an_hour_after_the_earlier_gas(step):
    assert (step.look_at.day, step.look_at.hour, step.look_at.minute) == (6, 8, 0)
    assert "set the gas hours back to 09:00-18:00" in step.close_back_if
    assert "look at the animals again" in step.cautions[0]


def test_with_the_new_hours_there_is_nothing_to_move(step, settled, around, held):
    again = settled(step.schedule)
    assert wanted(SettledDay.of(around(again))) == []
    assert hours_step(around(again), held(again)) == (None, None)


def test_gas_wasted_in_the_evening_is_saved(settled, advised, around):
    step = advised(settled("07:00-18:00"))
    assert (step.action, step.schedule) == ("hours", "07:00-17:00")
    said = figures(step)
    day = SettledDay.of(around(settled("07:00-18:00")))
    assert said["gas_saved_a_day"].mean == pytest.approx(day.gas_g_h.mean())
    assert said["gas_saved_a_day"].low > 0.0
    late_now, late_then = (said[f"co2_an_hour_before_lights_off_{w}"] for w in ("now", "then"))
    assert late_then.mean >= 0.95 * late_now.mean
    # less gas needs nobody to watch for it
    assert step.look_at.hour == 17


def test_gas_that_comes_on_needlessly_early_comes_on_later(settled, advised):
    told = settled("06:00-17:00", shift={"exchange": 1.0, "bubble_mass": 2.05})
    step = advised(told)
    assert step.action == "hours"
    new = parse_window(step.schedule)
    assert 8 <= new.on.hour < 10 and new.off.hour in (16, 17)
    said = figures(step)
    assert said["co2_at_lights_on_then"].mean >= 0.88 * 17.5
    assert said["gas_saved_a_day"].low > 0.0


def test_less_than_half_an_hour_is_not_worth_a_walk(settled, around, held):
    told = settled("07:15-17:15")
    assert hours_step(around(told), held(told)) == (None, None)


def test_what_is_worth_it(late, around):
    day = SettledDay.of(around(late))
    nothing = move_to(day, parse_window("08:55-18:00"))
    assert nothing.gained < 0.10 and nothing.saved_part < 0.05 and not nothing.worth_it
    assert move_to(day, parse_window("08:00-18:00")).gained > 0.10
    assert move_to(day, parse_window("09:00-17:30")).saved_part == pytest.approx(0.5 / 9.0)
    assert move_to(day, parse_window("09:00-17:30")).worth_it
    assert not move_to(day, parse_window("09:00-17:45")).worth_it


@pytest.mark.parametrize(
    "rows",
    [
        [(50.5, "fish", "fast-breathing")],
        [(50.9, "bubble_rate", 3.9)],  # the last change has not shown
        [(50.5, "water_change", 40.0)],  # nothing was read since
        [(49.0, "gas_day", "08:30-18:00")],  # hours moved two hours ago
    ],
)
def test_hours_wait_for_their_moment(settled, around, held, rows):
    hours = "07:30-18:00" if rows[0][1] == "gas_day" else LATE
    told = settled(hours, *rows)
    assert hours_step(around(told), held(told)) == (None, None)


def test_hours_wait_until_the_target_is_met(settled, around, held):
    told = settled(LATE, target={"co2_mg_l": 20.0})
    assert abs(held(told).lit_co2.mean / 20.0 - 1.0) > 0.10
    assert hours_step(around(told), held(told)) == (None, None)


def test_hours_wait_for_a_fresh_reading(settled, around, held, late):
    situation = around(late)
    old = replace(situation, reading=situation.fresh_since.replace(hour=1))
    assert hours_step(old, replace(held(late), situation=old)) == (None, None)


def test_earlier_gas_that_nobody_could_look_at_is_not_advised(late, advised):
    # nobody about before three in the afternoon: only the end moves
    step = advised(late, awake=(15, 22))
    assert (step.action, step.schedule) == ("hours", "09:00-17:00")
    assert advised(late, awake=(11, 22)).schedule == "07:00-17:00"


def test_earlier_gas_that_breaks_a_rule_is_told_and_not_advised(late, around, held):
    awake = (16, 22)  # nobody about before CO2 stands at its height
    situation = around(late, awake)
    ended = replace(situation, gas=parse_window("09:00-17:00"))
    hold = replace(held(late, awake), situation=ended)
    step, note = hours_step(ended, hold)
    assert step is None
    assert "Not now: gas that comes on earlier can be looked at" in note.text
    assert {one.name: one.value for one in note.figures}["gas_saved_a_day"].mean < 0.0


def test_each_new_window_is_held_against_rule_1(settled, around):
    """A limit between the peaks of old and new hours lets only the old pass."""
    calm = settled(LATE, shift={"exchange": -1.5}, width=0.02)
    situation = around(calm)
    old, new = (case_of(situation, None, gas=parse_window(g)) for g in (LATE, "07:00-18:00"))
    between = float(np.quantile(old.peak, 0.95) + np.quantile(new.peak, 0.85)) / 2.0
    assert np.quantile(new.peak, 0.85) > np.quantile(old.peak, 0.95)
    tight = replace(situation, limits=replace(situation.limits, co2_mg_l=between))
    first, second = (replace(case, situation=tight) for case in (old, new))
    assert next(r for r in judge(first) if r.about == "limit").passed
    assert not next(r for r in judge(second) if r.about == "limit").passed


def test_whatever_the_hours_no_rule_is_broken_by_the_new(settled, advised):
    met = 0
    for gas in ("09:30-18:00", "10:00-17:30", "08:00-19:00", "07:30-15:30"):
        for mass in (0.7, 0.9):
            told = settled(gas, shift={"bubble_mass": mass}, width=0.15)
            tank, _, belief = told
            step = advised(told)
            if step.action != "hours":
                continue
            met += 1
            until = belief.now + (belief.now.replace(hour=18) - belief.now.replace(hour=12)) * 4
            ahead = forecast(tank, belief, Plan(gas=parse_window(step.schedule)), until)
            assert ahead.p_over_limit <= 0.10 and ahead.p_over_danger <= 0.01
            assert ahead.p_low_o2 <= 0.01
            old, new = parse_window(gas), parse_window(step.schedule)
            assert new.hours - new.overlap_h(old) <= 2.0
    assert met >= 3


def test_a_raise_comes_before_the_hours(settled, advised):
    step = advised(settled(LATE, target={"co2_mg_l": 20.0}))
    assert step.action == "raise" and step.schedule is None


def test_the_same_draws_give_the_same_hours(late, advised, step):
    assert advised(late) == step
    assert np.isfinite(figures(step)["gas_saved_a_day"].mean)
