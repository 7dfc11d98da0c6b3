"""The ledger against the joint normal law worked out at once."""

import numpy as np
import pytest
from scipy.stats import multivariate_normal

from leafgill.estimate.watch.ledger import Ledger

MEMBERS, READINGS = 400, 90


@pytest.fixture(scope="module")
def told():
    """A ledger that took readings, with all it was told: predictions, values, variances, shared."""
    rng = np.random.default_rng(3)
    waves = np.stack([np.ones(READINGS), np.sin(np.arange(READINGS) / 7.0)])
    predicted = 0.1 * rng.standard_normal((MEMBERS, 2)) @ waves + 7.0
    variances = rng.uniform(2e-4, 6e-4, READINGS)
    apart = np.abs(np.subtract.outer(np.arange(READINGS), np.arange(READINGS)))
    shared = 1e-4 * np.exp(-apart / 10.0)
    values = 7.0 + 0.1 * rng.standard_normal(READINGS)
    ledger = Ledger(MEMBERS)
    for k in range(READINGS):
        ledger.add(predicted[:, k], values[k], variances[k], shared[k, :k])
    covariance = np.cov(predicted.T) + shared - np.diag(np.diag(shared)) + np.diag(variances)
    return ledger, predicted, values, covariance


def test_the_innovations_sum_to_the_joint_likelihood(told):
    ledger, predicted, values, covariance = told
    joint = multivariate_normal(predicted.mean(axis=0), covariance).logpdf(values)
    factor = np.linalg.cholesky(covariance)
    ours = -0.5 * np.sum(ledger.innovations**2) - np.log(np.diag(factor)).sum()
    assert ours - 0.5 * READINGS * np.log(2.0 * np.pi) == pytest.approx(joint, abs=1e-6)


def test_a_shift_is_worth_its_likelihood_ratio(told):
    """Σ z·e - z²/2 of whitened shifts is the log ratio of two joint normals."""
    _, predicted, values, covariance = told
    shift = np.where(np.arange(READINGS) > 40, 0.05, 0.0)
    ledger, z = Ledger(MEMBERS), np.zeros((1, 0))
    variances = np.diag(covariance) - np.var(predicted, axis=0, ddof=1)
    shared = covariance - np.cov(predicted.T)
    for k in range(READINGS):
        ledger.add(predicted[:, k], values[k], variances[k], shared[k, :k])
        z = np.column_stack([z, ledger.whiten(z, shift[None, k])])
    mean = predicted.mean(axis=0)
    ratio = multivariate_normal(mean + shift, covariance).logpdf(values)
    ratio -= multivariate_normal(mean, covariance).logpdf(values)
    ours = float(z[0] @ ledger.innovations - 0.5 * z[0] @ z[0])
    assert ours == pytest.approx(ratio, abs=1e-6)


def test_what_was_foreseen_is_the_conditional_normal(told):
    ledger, predicted, values, covariance = told
    before, reading = 30, 70
    known, cross = covariance[:before, :before], covariance[reading, :before]
    mean = predicted.mean(axis=0)
    solved = np.linalg.solve(known, cross)
    at, width = ledger.foreseen(reading, before)
    assert at == pytest.approx(mean[reading] + solved @ (values[:before] - mean[:before]), abs=1e-9)
    assert width**2 == pytest.approx(covariance[reading, reading] - solved @ cross, rel=1e-6)


def test_a_quantity_is_regressed_on_the_readings(told):
    ledger, predicted, values, covariance = told
    rng = np.random.default_rng(4)
    quantity = 3.0 * predicted[:, 20] + 0.01 * rng.standard_normal(MEMBERS)
    cross = np.cov(quantity, predicted.T)[0, 1:]
    weights, left = ledger.regress(quantity, np.zeros(READINGS), 0.02)
    mean = quantity.mean() + weights @ ledger.innovations
    solved = np.linalg.solve(covariance, cross)
    assert mean == pytest.approx(quantity.mean() + solved @ (values - predicted.mean(axis=0)))
    assert left == pytest.approx(quantity.var(ddof=1) + 0.02 - solved @ cross, rel=1e-6)


def test_what_a_quantity_shares_with_the_readings_counts_too(told):
    ledger, predicted, values, covariance = told
    shared = np.full(READINGS, 5e-5)
    weights, left = ledger.regress(np.full(MEMBERS, 2.0), shared, 0.01)
    solved = np.linalg.solve(covariance, shared)
    assert weights @ ledger.innovations == pytest.approx(solved @ (values - predicted.mean(axis=0)))
    assert left == pytest.approx(0.01 - solved @ shared)


def test_a_variance_that_is_none_is_refused():
    with pytest.raises(ValueError, match="variance 0"):
        Ledger(3).add(np.array([1.0, 2.0, 3.0]), 2.0, 0.0, np.zeros(0))
