"""Intervals, moments and pieces of a belief."""

from datetime import datetime, timedelta

import numpy as np
import pytest

from leafgill.errors import InputError
from leafgill.estimate.belief import band, interval
from leafgill.estimate.believe import days_of
from leafgill.tank.forcing import Course


def test_an_interval_holds_nine_tenths():
    found = interval(np.arange(101.0))
    assert found == pytest.approx((50.0, 5.0, 95.0))


def test_a_band_is_the_interval_of_each_moment():
    values = np.random.default_rng(0).normal(size=(200, 3))
    found = band(values)
    for k in range(3):
        assert (found.mean[k], found.low[k], found.high[k]) == pytest.approx(interval(values[:, k]))


def test_straying_lowers_ph_and_raises_co2_alike():
    rows = [np.full((1, 2), v) for v in (20.0, 10.0, 8.0, 6.0, 6.9, 1.4)]
    course = Course(*rows, np.zeros((1, 2)), np.zeros((1, 5)), np.array([0.25]))
    days = days_of(course, np.array([[0.0, -0.1]]))
    assert days.co2[0] == pytest.approx([17.5, 17.5 * 10**0.1])
    assert days.co2_max[0] == pytest.approx([20.0, 20.0 * 10**0.1])
    assert days.o2[0] == pytest.approx([6.0, 6.0])
    assert days.ph[0] == pytest.approx([6.9, 6.8])


def test_the_grid_runs_from_the_start_to_36_hours_ahead(hand_belief):
    hours = (hand_belief.edges_s[[0, -1]] - hand_belief.now.timestamp()) / 3600.0
    assert hours == pytest.approx([-96.0, 36.0], abs=0.2)
    assert np.all(np.diff(hand_belief.edges_s) > 0.0)


def test_a_moment_between_edges_is_drawn_as_a_line(hand_belief):
    left, right = hand_belief.edges_s[10:12]
    middle = 0.5 * (left + right)
    values = hand_belief.through("co2", np.array([left, middle, right]))
    assert values[:, 1] == pytest.approx(0.5 * (values[:, 0] + values[:, 2]))
    assert values[:, 0] == pytest.approx(hand_belief.days.co2[:, 10])


def test_the_four_quantities(hand_belief):
    now = hand_belief.now
    for what in ("co2", "co2_max", "o2", "ph"):
        found = getattr(hand_belief, what)(now)
        assert found == interval(hand_belief.at(what, now))
        assert found.low < found.mean < found.high
        shown = hand_belief.band(what, np.array([now.timestamp()]))
        assert (shown.mean[0], shown.low[0], shown.high[0]) == pytest.approx(found)
    assert hand_belief.co2_max(now).mean >= hand_belief.co2(now).mean


def test_a_moment_must_be_aware_and_inside(hand_belief):
    with pytest.raises(InputError, match="2025-03-05T12:00 has no time zone"):
        hand_belief.co2(datetime(2025, 3, 5, 12))
    with pytest.raises(InputError, match="covers 2025-03-03T08:00 to 2025-03-08T20:"):
        hand_belief.co2(hand_belief.now + timedelta(hours=40))


def test_unknowns_are_told_with_unit_and_meaning(hand_belief):
    told = hand_belief.unknowns()
    assert list(told) == [row.name for row in hand_belief.problem.rows]
    found, unit, meaning = told["kh"]
    assert (unit, meaning) == ("dKH", "KH as a kit would show it, without rounding")
    assert found.low < found.mean < found.high


def test_some_of_the_draws(hand_belief):
    rows = np.array([3, 1, 4])
    some = hand_belief.take(rows)
    assert some.count == 3
    assert np.array_equal(some.days.co2, hand_belief.days.co2[rows])
    assert np.array_equal(some.draws.flow, hand_belief.draws.flow[rows])
    assert hand_belief.count > 100
