"""Water that was changed and not written is believed after a while, and what comes then is new."""

from math import log

import numpy as np
import pytest

from leafgill.estimate.watch.branches import LANES
from leafgill.estimate.watch.hypotheses import Hypothesis
from leafgill.estimate.watch.members import ALKALINITY, PH
from leafgill.estimate.watch.settle import best_change, settle
from leafgill.estimate.watch.tracker import Tracker

SOFTER = Hypothesis("kh changed", "any", 0.01, kh=log(0.55), change=0.55)
CHANGE = Hypothesis("water change", "any", 0.01, change=0.45)
HOUR = 3600.0


@pytest.fixture(scope="module")
def after_change(probed, probed_belief, made):
    """A tracker that was given fourteen hours, with water changed in the fifth."""
    rows = made(probed, probed_belief, 14.0, CHANGE, 4.5)
    tracker = Tracker.of(probed.tank, probed.diary, probed_belief)
    told = []
    for at_s, ph in rows:
        told.append((at_s, tracker.take(at_s, ph).alerts))
    return tracker, told


def test_a_change_is_told_once_and_then_believed(after_change):
    tracker, told = after_change
    assert any(alerts for _, alerts in told)
    assert len(tracker.alerts) == 1  # what was told stays told
    assert {"water change", "kh changed"} & set(tracker.alerts[0].kinds)
    assert tracker.verdict.as_believed > 0.5
    onsets = tracker.pursuit.branches.onsets_s
    assert onsets.min() > tracker.alerts[0].since.timestamp() + HOUR


def test_after_it_the_members_are_where_the_fault_s_lanes_were(probed, probed_belief, made):
    tracker = Tracker.of(probed.tank, probed.diary, probed_belief)
    rows = made(probed, probed_belief, 7.0, SOFTER, 4.5)
    for row in rows:
        tracker.take(*row)
    pursuit = tracker.pursuit
    branch = best_change(pursuit)
    theirs = pursuit.branches.state[branch * LANES : (branch + 1) * LANES].copy()
    shift = pursuit.branches.shifts[branch, : pursuit.ledger.count].copy()
    before = pursuit.ledger.innovations.copy()
    settle(pursuit, branch)
    chosen = pursuit.branches.chosen
    np.testing.assert_allclose(pursuit.state[chosen, PH].mean(), theirs[:, PH].mean())
    np.testing.assert_allclose(
        np.log(pursuit.state[chosen, ALKALINITY]).mean(), np.log(theirs[:, ALKALINITY]).mean()
    )
    np.testing.assert_allclose(pursuit.ledger.innovations, before - shift)
    assert np.sum((before - shift) ** 2) < 0.7 * np.sum(before**2)
    assert not pursuit.branches.all


def test_where_no_water_was_changed_there_is_nothing_to_believe(probed, probed_belief):
    tracker = Tracker.of(probed.tank, probed.diary, probed_belief)
    assert best_change(tracker.pursuit) is None
