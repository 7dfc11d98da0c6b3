"""How long a thing serves: what the record shows narrows what was taken before."""

import numpy as np
import pytest
from scipy.special import ndtr

from leafgill.advise.care.lifetime import HABIT, SCATTER, Seen, learn
from leafgill.science.cited import Range

PRIOR = Range(28.0, 14.0, 56.0)


def test_nothing_seen_leaves_the_prior():
    found = learn(PRIOR, [])
    assert tuple(found.days) == pytest.approx(tuple(PRIOR), rel=0.01)
    assert found.narrowed == pytest.approx(1.0, abs=0.01)
    assert not found.from_record


def test_two_normals_meet_as_they_must():
    """Work done at an age is a Gaussian on the logarithm, so the answer is known."""
    found = learn(PRIOR, [Seen(14.0, "renewed"), Seen(14.0, "renewed")])
    sd = np.log(2.0) / 1.6449
    precision = sd**-2 + 2.0 * HABIT**-2
    mean = (np.log(28.0) * sd**-2 + 2.0 * np.log(14.0) * HABIT**-2) / precision
    assert np.log(found.days.value) == pytest.approx(mean, abs=0.01)
    width = np.log(found.days.high / found.days.low)
    assert width == pytest.approx(2.0 * 1.6449 / np.sqrt(precision), rel=0.01)
    assert found.from_record


def test_spoiled_early_shortens_and_served_late_lengthens():
    base = learn(PRIOR, []).days.value
    early = learn(PRIOR, 2 * [Seen(10.0, "spoiled")])
    assert early.days.value < 0.75 * base
    assert early.from_record
    assert learn(PRIOR, [Seen(60.0, "served")]).days.value > 1.10 * base
    # what any filling does tells next to nothing
    assert learn(PRIOR, [Seen(5.0, "served")]).days.value == pytest.approx(base, rel=0.03)
    assert learn(PRIOR, [Seen(200.0, "spoiled")]).days.value == pytest.approx(base, rel=0.03)


def test_it_is_the_sum_over_all_middles():
    """Against plain numerical integration of prior times chance."""
    middle = np.linspace(np.log(2.0), np.log(400.0), 20001)
    sd = np.log(2.0) / 1.6449
    weight = np.exp(-0.5 * ((middle - np.log(28.0)) / sd) ** 2)
    weight *= 0.2 + 0.8 * ndtr((np.log(12.0) - middle) / SCATTER)
    weight *= 0.10 + 0.90 * (1.0 - ndtr((np.log(9.0) - middle) / SCATTER))
    total = np.cumsum(weight) / weight.sum()
    expected = np.exp(np.interp([0.5, 0.05, 0.95], total, middle))
    found = learn(PRIOR, [Seen(12.0, "spoiled", 0.2), Seen(9.0, "served")])
    assert tuple(found.days) == pytest.approx(tuple(expected), rel=0.01)


def test_one_that_may_have_another_reason_tells_less():
    sure = learn(PRIOR, [Seen(10.0, "spoiled", 0.0)]).days.value
    unsure = learn(PRIOR, [Seen(10.0, "spoiled", 0.5)]).days.value
    assert sure < unsure < PRIOR.value


@pytest.mark.parametrize("ages", [0.0, -1.0])
def test_no_age_below_a_day_s_start(ages):
    with pytest.raises(ValueError, match="above 0"):
        learn(PRIOR, [Seen(ages, "served")])
    with pytest.raises(ValueError, match="above 0"):
        learn(Range(1.0, 0.0, 2.0), [])
