"""What one question brings together agrees with the parts it asked."""

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest

from leafgill.advise.forecast import Plan, forecast
from leafgill.answer import said
from leafgill.answer.counsel import _ahead, plan_of
from leafgill.answer.counsel_json import _step
from leafgill.tank.limits import limits_of
from leafgill.tank.schedule import parse_window


def test_the_day_ahead_is_the_forecast(hallway):
    for ahead, plan in ((hallway.as_set, Plan()), (hallway.stepped, hallway.plan)):
        expected = forecast(hallway.tank, hallway.belief, plan, hallway.until)
        assert ahead.peak == pytest.approx(expected.peak)
        assert ahead.o2_min == pytest.approx(expected.o2_min)
        assert ahead.p_over_limit == expected.p_over_limit
        assert ahead.p_over_danger == expected.p_over_danger
        assert ahead.p_low_o2 == expected.p_low_o2


def test_the_chances_are_those_of_passing(hallway):
    tight = limits_of(hallway.tank)
    middle = float(np.median(hallway.as_set.outlook.co2_max.max(axis=1)))
    low = type(tight)(middle, tight.o2_min_mg_l, 0.8 * middle, ())
    ahead = _ahead(hallway.belief, low, Plan(), hallway.now)
    assert ahead.p_over_limit == pytest.approx(0.5, abs=0.01)
    assert ahead.p_over_danger < 0.2
    starved = type(tight)(middle, 99.0, 0.8 * middle, ())
    assert _ahead(hallway.belief, starved, Plan(), hallway.now).p_low_o2 == 1.0


def test_the_peak_comes_when_the_gas_goes_off(hallway):
    assert f"{hallway.as_set.peak_at:%H:%M}" == "17:00"
    assert hallway.as_set.o2_min_at > hallway.as_set.peak_at


def test_the_plan_is_the_steps(hallway):
    assert hallway.plan == Plan(bubble_rate=hallway.step.rate)
    assert hallway.ahead is hallway.stepped
    assert hallway.until - hallway.now == timedelta(hours=24)


def test_a_step_for_later_changes_nothing_before_it(hallway):
    plan = Plan(bubble_rate=3.0)
    act = hallway.now + timedelta(hours=2)
    ahead = _ahead(hallway.belief, hallway.limits, plan, act)

    def at(day, hours):
        return day.outlook.at("co2", (act + timedelta(hours=hours)).timestamp()).mean()

    assert at(ahead, -0.5) == pytest.approx(at(hallway.as_set, -0.5), rel=0.02)
    assert at(ahead, 2.5) > at(hallway.as_set, 2.5) + 1.0


def test_distress_shuts_the_gas_at_once(distress):
    assert distress.plan == Plan(bubble_rate=0.0)
    assert distress.act == distress.now
    assert distress.stepped.peak.mean < distress.as_set.peak.mean


def test_air_a_rate_depends_on_is_planned_said_and_written(hallway):
    aired = replace(hallway, step=replace(hallway.step, air="18:00-10:00", schedule="09:00-17:00"))
    assert plan_of(aired.step) == Plan(
        bubble_rate=hallway.step.rate,
        gas=parse_window("09:00-17:00"),
        air=parse_window("18:00-10:00"),
    )
    assert ("Only with", "Air 18:00-10:00, every night") in said.what_follows(aired)
    assert "Only with" not in dict(said.what_follows(hallway))
    assert _step(aired)["air"] == "18:00-10:00"
