"""Six tanks kept for six days by the advice, and by common practice: the trial in small.

Tanks of seeds that nothing was tuned on. A fortnight of sixty is `python -m bench.loop.closed`.
"""

import json
from functools import cache

import numpy as np
import pytest
from bench.loop.closed import Job, fault_of, jobs_of, kind_of, play
from bench.loop.report import report
from bench.trial.faults import KINDS
from bench.trial.score import Score
from bench.trial.world import invent

# one process plays them once for all tests
pytestmark = pytest.mark.xdist_group("closed")
SEEDS = range(9100, 9106)
DAYS = 6


@cache
def kept(seed: int, keeper: str = "advice") -> Score:
    return play(Job(seed, probe=seed % 3 != 0, keeper=keeper, days=DAYS))


@pytest.mark.parametrize("seed", SEEDS)
def test_no_tank_comes_to_harm(seed):
    score = kept(seed)
    assert score.peak < 1.25
    assert score.over_min <= 240
    assert score.daily[0] < 0.6  # a first setting on an unknown tank is small


@pytest.mark.parametrize("seed", SEEDS)
def test_every_tank_comes_near_what_is_aimed_at(seed):
    """The rules let it go up by one raise a day in a slow tank."""
    assert 0.3 < max(kept(seed).daily[-3:]) < 1.25
    assert kept(seed).daily[-1] > kept(seed).daily[0]


def test_what_is_believed_is_mostly_so():
    told = np.array([row for seed in SEEDS for row in kept(seed).beliefs])
    true, mean, low, high = told.T
    assert told.shape == (24, 4)
    assert np.mean((true >= low) & (true <= high)) >= 0.75
    assert np.median(np.abs(mean / true - 1.0)) < 0.15


def test_a_drop_of_a_fixed_size_goes_where_it_goes():
    """The floor's keepers never see the limit, so some of their tanks pass it."""
    levels = [kept(seed, "drop of 1.4").level for seed in SEEDS]
    assert max(levels) - min(levels) > 0.2


def test_the_report_names_keepers_beliefs_and_levels():
    scores = [kept(seed) for seed in SEEDS] + [kept(seed, "drop of 1.4") for seed in SEEDS]
    text = report(scores)
    assert text.count("drop of 1.4") == 1
    assert "CO2 now, advice, probe: 16 moments" in text
    assert "CO2 now, advice, none: 8 moments" in text
    json.dumps([s.daily for s in scores])


def test_jobs_are_every_tank_with_every_keeper_and_the_long_ones_first():
    keepers = ["advice", "drop of 1.4", "advice, own readings"]
    jobs = jobs_of(range(5000, 5015), keepers, 14, faults=False)
    assert [sum(job.keeper == name for job in jobs) for name in keepers] == [15, 15, 3]
    assert sum(job.left_out for job in jobs) == 3 and jobs[0].left_out
    assert sum(not job.probe for job in jobs if job.keeper == "advice") == 5
    broken = jobs_of(range(5000, 5015), keepers, 14, faults=True)
    assert len(broken) == 30 and all(job.faulty and not job.left_out for job in broken)


def test_every_kind_of_fault_comes_round():
    assert {kind_of(seed) for seed in range(5000, 5012)} == set(KINDS)
    sound = Job(5001, True, "advice", 14)
    light = invent(5001).light
    assert fault_of(sound, light) is None
    fault = fault_of(sound._replace(faulty=True), light)
    assert fault is not None and fault.kind == kind_of(5001)
    assert 5 * 1440 <= fault.at < 10 * 1440
