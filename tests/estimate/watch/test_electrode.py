"""An electrode that lives, one that is flat, one that shows what can be no pH, one that is mute."""

import math

import numpy as np

from leafgill.estimate.watch.electrode import Electrode


def fed(values, step_s=60.0, electrode=None, start_s=0.0):
    electrode = electrode or Electrode()
    used = [electrode.take(start_s + step_s * k, v) for k, v in enumerate(values)]
    return electrode, used


def noisy(count, seed=0):
    return np.round(6.7 + np.random.default_rng(seed).normal(0.0, 0.01, count), 2)


def test_a_live_one_is_used_throughout():
    electrode, used = fed(noisy(1000))
    assert all(used)
    assert electrode.dead == ""


def test_a_figure_that_never_changes_is_flat_from_its_first():
    electrode, _ = fed(noisy(300))
    electrode, used = fed([6.5] * 60, electrode=electrode, start_s=18000.0)
    assert "6.5 without a change" in electrode.dead
    assert electrode.since_s == 18000.0
    assert used[40] and not used[-1]


def test_a_slow_one_that_often_rests_is_given_longer():
    """Twenty minutes of one figure, again and again: forty-five are no fault then, an hour is."""
    resting = np.repeat([6.70, 6.71, 6.70, 6.72], 20)
    electrode, _ = fed(resting)
    electrode, used = fed([6.75] * 50, electrode=electrode, start_s=4800.0)
    assert electrode.dead == "" and all(used)
    fed([6.75] * 20, electrode=electrode, start_s=4800.0 + 3000.0)
    assert "without a change" in electrode.dead


def test_it_lives_again_when_it_moves():
    electrode, _ = fed([6.7] * 60)
    assert electrode.dead
    assert electrode.take(3600.0, 6.72)
    assert electrode.dead == ""


def test_what_can_be_no_ph_is_not_used_and_three_in_a_row_are_a_fault():
    electrode, used = fed([6.7, 14.0, 6.71, 14.0, math.nan])
    assert used == [True, False, True, False, False]
    assert electrode.dead == ""
    assert not electrode.take(300.0, 14.0)
    assert "14, which is no pH" in electrode.dead
    assert electrode.since_s == 180.0


def test_silence_is_noticed_by_the_usual_gap():
    electrode, _ = fed(noisy(100))
    electrode.heard_of(99 * 60.0 + 1800.0)
    assert electrode.dead == ""
    electrode.heard_of(99 * 60.0 + 1801.0)
    assert electrode.dead == "sends nothing"
    seldom, _ = fed([6.7, 6.8, 6.7, 6.75], step_s=900.0)
    seldom.heard_of(2700.0 + 5000.0)
    assert seldom.dead == ""
    seldom.heard_of(2700.0 + 5500.0)
    assert seldom.dead == "sends nothing"


def test_one_that_never_spoke_is_not_mute():
    electrode = Electrode()
    electrode.heard_of(1e9)
    assert electrode.dead == ""
