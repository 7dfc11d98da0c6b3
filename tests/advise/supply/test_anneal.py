"""The annealed draws against posteriors that can be written down."""

import numpy as np
import pytest

from leafgill.advise.supply.anneal import anneal


def test_a_gaussian_posterior():
    # prior N(0, 1), reading 2 with error 0.1: N(2/1.01, 0.1/√1.01)
    found = anneal(lambda z: 0.5 * ((z[:, 0] - 2.0) / 0.1) ** 2, 3, np.random.default_rng(0), 2000)
    assert found.z[:, 0].mean() == pytest.approx(2.0 / 1.01, abs=0.01)
    assert found.z[:, 0].std() == pytest.approx(0.1 / np.sqrt(1.01), rel=0.1)
    # what no reading speaks of stays as it was
    assert found.z[:, 1].mean() == pytest.approx(0.0, abs=0.12)
    assert found.z[:, 1].std() == pytest.approx(1.0, rel=0.12)


def test_two_explanations_keep_their_share():
    # |z| = 1.5 either way, and the right one three times as likely
    def loss(z):
        first = z[:, 0]
        side = np.where(first < 0.0, np.log(3.0), 0.0)
        return 0.5 * ((np.abs(first) - 1.5) / 0.05) ** 2 + side

    z = anneal(loss, 2, np.random.default_rng(1), 3000).z[:, 0]
    assert np.mean(z > 0.0) == pytest.approx(0.75, abs=0.05)


def test_a_thin_ridge():
    # only the sum is read: z1 + z2 = 1 within 0.02, so each is N(0.5, ~0.71)
    found = anneal(
        lambda z: 0.5 * ((z[:, 0] + z[:, 1] - 1.0) / 0.02) ** 2, 2, np.random.default_rng(2), 2000
    ).z
    assert found.sum(axis=1).std() == pytest.approx(0.02, rel=0.15)
    assert found[:, 0].mean() == pytest.approx(0.5, abs=0.08)
    assert found[:, 0].std() == pytest.approx(np.sqrt(0.5), rel=0.12)


def test_what_cannot_be_is_never_drawn():
    z = anneal(lambda z: np.where(z[:, 0] > 0.3, 0.0, np.inf), 2, np.random.default_rng(3)).z
    assert (z[:, 0] > 0.3).all()


def test_nothing_read_is_the_prior():
    found = anneal(lambda z: np.zeros(len(z)), 4, np.random.default_rng(4), 2000)
    assert found.z.mean(axis=0) == pytest.approx(np.zeros(4), abs=0.08)
    assert found.z.std(axis=0) == pytest.approx(np.ones(4), abs=0.07)


def test_the_same_seed_gives_the_same_draws():
    a, b = (
        anneal(lambda z: (z**2).sum(axis=1), 2, np.random.default_rng(5), 200).z for _ in range(2)
    )
    assert (a == b).all()


def test_an_impossible_reading_is_said():
    with pytest.raises(ValueError, match="no draw"):
        anneal(lambda z: np.full(len(z), np.inf), 2, np.random.default_rng(6), 50)
