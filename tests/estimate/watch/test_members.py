"""Members set out as the draws have it: what wanders has no direction of its own."""

import numpy as np
import pytest

from leafgill.estimate.watch.members import GAIN_WANDER, Drift
from leafgill.estimate.watch.tracker import Tracker


def test_a_diffuser_s_clogging_is_the_draws_own_and_not_counted_twice():
    drift = Drift(20_000, np.random.default_rng(2))
    for _ in range(60):
        drift.step(1.0 / 24.0)
    assert drift.gain.mean() == pytest.approx(0.0, abs=0.001)
    assert drift.gain.std() == pytest.approx(GAIN_WANDER[0], rel=0.03)


def test_the_draws_trend_of_dissolving_acts_after_the_fit(probed, probed_belief):
    co2 = []
    for trend in (0.0, -0.1):
        tracker = Tracker.of(probed.tank, probed.diary, probed_belief)
        members = tracker.pursuit.members
        flat = np.full(members.count, trend)
        members.draws = members.draws._replace(gain_trend_per_day=flat)
        tracker.rest(probed.now.timestamp() + 8.0 * 3600.0)
        co2.append(tracker.co2().mean)
    days = (probed.now.timestamp() - probed_belief.problem.evidence.start_s) / 86400.0
    assert co2[1] < co2[0] * np.exp(-0.1 * days * 0.7)
