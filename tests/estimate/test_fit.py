"""The search and the draws, on posteriors that are known without them."""

from types import SimpleNamespace

import numpy as np
import pytest

from leafgill.estimate.fit import (
    TooFewDrawsError,
    _covariance,
    _linear_start,
    differences,
    find_mode,
    lead,
    move,
    sample,
)
from leafgill.estimate.huber import HUBER

SIZE, READINGS = 4, 9
ROUGH = 1


class Linear:
    """A problem whose errors are A·z - b; "roughness" has no say."""

    def __init__(self, readings=0):
        rng = np.random.default_rng(11)
        self.a = rng.standard_normal((READINGS, SIZE)) * [2.0, 0.0, 0.7, 0.2]
        self.b = self.a @ np.array([0.6, 0.0, -0.5, 0.3]) + 0.3 * rng.standard_normal(READINGS)
        self.size = SIZE
        self.index = {"a": 0, "roughness": ROUGH, "c": 2, "d": 3}
        self.rows = [SimpleNamespace(width=0.5)] * SIZE
        self.evidence = SimpleNamespace(observations=SimpleNamespace(ph=np.zeros(readings)))

    def score(self, z):
        errors = np.atleast_2d(z) @ self.a.T - self.b
        size = np.abs(errors)
        return errors, np.where(size <= HUBER, 0.5 * errors**2, HUBER * (size - 0.5 * HUBER)).sum(
            axis=1
        )

    @property
    def covariance(self):
        return np.linalg.inv(self.a.T @ self.a + np.eye(SIZE))

    @property
    def mean(self):
        return self.covariance @ self.a.T @ self.b


def quiet(_what, _part):
    """Say nothing."""


def test_the_mode_of_a_linear_problem_is_its_least_squares():
    problem = Linear()
    mode, jacobian, best = find_mode(problem, np.zeros(SIZE))
    assert mode == pytest.approx(problem.mean, abs=1e-5)
    assert jacobian == pytest.approx(problem.a, abs=1e-9)
    errors = problem.a @ problem.mean - problem.b
    assert best == pytest.approx(0.5 * (errors @ errors + problem.mean @ problem.mean), abs=1e-8)


def answers(problem, mode, own, disturbed):
    """Return each draw's exact answer, and which of them no error of is far out."""
    own = own.copy()
    own[:, ROUGH] += mode[ROUGH]
    exact = ((problem.b - disturbed) @ problem.a + own) @ problem.covariance
    return exact, np.abs(exact @ problem.a.T - problem.b + disturbed).max(axis=1) < HUBER


@pytest.mark.parametrize("off", [0.0, 0.4])
def test_each_draw_is_led_to_the_exact_answer_to_its_own_readings(off):
    problem = Linear()
    mode, jacobian, _ = find_mode(problem, np.zeros(SIZE))
    # The lead need not start at the mode.
    start = mode + off * np.array([1.0, 0.0, -1.0, 1.0])
    z = lead(
        problem,
        start,
        jacobian,
        _covariance(problem, jacobian),
        400,
        np.random.default_rng(2),
        quiet,
    )
    rng = np.random.default_rng(2)
    own, disturbed = rng.standard_normal((400, SIZE)), rng.standard_normal((400, READINGS))
    exact, near = answers(problem, start, own, disturbed)
    assert near.mean() > 0.99
    assert z.shape == exact.shape
    assert z[near] == pytest.approx(exact[near], abs=1e-5)


def test_the_lead_starts_where_a_linear_problem_would_end():
    problem = Linear()
    mode, jacobian, _ = find_mode(problem, np.zeros(SIZE))
    rng = np.random.default_rng(3)
    own, disturbed = rng.standard_normal((50, SIZE)), rng.standard_normal((50, READINGS))
    z = _linear_start(mode, own, disturbed, jacobian, problem.covariance)
    exact, _ = answers(problem, mode, own, disturbed)
    others = [k for k in range(SIZE) if k != ROUGH]
    assert z[:, others] == pytest.approx(exact[:, others], abs=1e-4)


@pytest.mark.parametrize("moves", [0, 5])
def test_draws_have_the_posterior_s_mean_and_covariance(moves):
    problem, m = Linear(), 6000
    found = sample(problem, np.random.default_rng(7), count=m, moves=moves)
    sd = np.sqrt(np.diag(problem.covariance))
    assert found.effective == found.z.shape[0] > 0.99 * m
    off = (found.z.mean(axis=0) - problem.mean) / sd
    assert np.abs(off).max() < 4.5 / np.sqrt(m)
    off = (np.cov(found.z.T) - problem.covariance) / np.outer(sd, sd)
    assert np.abs(off).max() < 7.0 / np.sqrt(m)
    assert (found.acceptance > 0.5) == (moves > 0)


def test_many_readings_narrow_the_width_of_the_straying():
    m = 4000
    found = sample(Linear(readings=30), np.random.default_rng(7), count=m, moves=0)
    # 1/sd² = 1 + 2·0.5²·30
    assert found.z[:, ROUGH].std() == pytest.approx(1.0 / 4.0, rel=0.05)


class Bent(Linear):
    """One coordinate's error is sinh: the posterior is no Gaussian."""

    def score(self, z):
        z = np.atleast_2d(z)
        errors = np.sinh(1.5 * z[:, :1]) - 1.5
        return errors, 0.5 * errors[:, 0] ** 2


def test_moves_lead_draws_from_the_wrong_place_to_the_exact_posterior():
    rng = np.random.default_rng(5)
    z = 0.7 * rng.standard_normal((4000, SIZE)) + 0.4
    after, acceptance = move(Bent(), z, np.eye(SIZE), 150, rng)
    x = np.linspace(-6.0, 6.0, 4001)
    weight = np.exp(-0.5 * (np.sinh(1.5 * x) - 1.5) ** 2 - 0.5 * x**2)
    weight /= weight.sum()
    mean = weight @ x
    sd = np.sqrt(weight @ (x - mean) ** 2)
    assert 0.1 < acceptance < 0.7
    assert after[:, 0].mean() == pytest.approx(mean, abs=0.1 * sd)
    assert after[:, 0].std() == pytest.approx(sd, rel=0.06)
    assert after[:, 1:].mean(axis=0) == pytest.approx(np.zeros(SIZE - 1), abs=0.08)
    assert after[:, 1:].std(axis=0) == pytest.approx(np.ones(SIZE - 1), rel=0.06)


def test_the_straying_s_column_is_zero():
    errors, jacobian = differences(Linear(), np.ones(SIZE))
    assert errors.shape == (READINGS,)
    assert np.all(jacobian[:, ROUGH] == 0.0)


def test_too_few_draws_are_said():
    with pytest.raises(TooFewDrawsError, match="20 effective draws, too few to advise") as raised:
        sample(Linear(), np.random.default_rng(0), count=20, moves=0)
    assert raised.value.effective == 20.0


def test_progress_is_told_in_rising_parts():
    told = []
    sample(Linear(), np.random.default_rng(0), count=100, progress=lambda *s: told.append(s))
    parts = [part for _, part in told]
    assert parts == sorted(parts) and parts[0] > 0.0 and parts[-1] <= 1.0
    assert all(what for what, _ in told)


def test_the_same_seed_gives_the_same_draws():
    a, b, c = (sample(Linear(), np.random.default_rng(s), count=100).z for s in (1, 1, 2))
    assert np.array_equal(a, b)
    assert not np.array_equal(a, c)
