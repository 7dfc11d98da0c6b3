"""Of tanks drawn from the prior and read as the likelihood says, nine in ten are held.

Every tank is another draw of all unknowns, kept four days with a hand pH test and a drop checker,
three looks a day, and one KH test. The bounds are wide: 24 tanks of ten moments are few.
"""

import numpy as np
import pytest

from leafgill.estimate import believe

TANKS, MOMENTS = 24, 10


@pytest.fixture(scope="module")
def judged(player):
    """Return (low, mean, high, truth), each [tanks, moments], of CO2 after the first day."""
    found = []
    for seed in range(TANKS):
        played = player(100 + seed)
        belief = believe(played.tank, played.diary, played.now, count=120, seed=seed)
        rng = np.random.default_rng(seed)
        times = np.sort(rng.uniform(played.edges_s[0] + 86400.0, played.now.timestamp(), MOMENTS))
        shown = belief.band("co2", times)
        found.append([shown.low, shown.mean, shown.high, played.true_co2(times)])
    return np.array(found).transpose(1, 0, 2)


def held(judged, shrink=1.0):
    low, mean, high, truth = judged
    return float(
        np.mean((mean - (mean - low) / shrink <= truth) & (truth <= mean + (high - mean) / shrink))
    )


def test_the_intervals_hold_the_truth_about_nine_times_in_ten(judged):
    assert 0.70 <= held(judged) <= 1.0


def test_intervals_a_third_as_wide_would_be_found_out(judged):
    assert held(judged, shrink=3.0) < 0.70


def test_the_mean_does_not_lean_to_one_side(judged):
    low, _, high, truth = judged
    assert np.mean(truth < low) < 0.2 and np.mean(truth > high) < 0.2


def test_hand_tests_narrow_what_is_believed(judged):
    low, mean, high, _ = judged
    assert np.median((high - low) / mean) < 1.5
