import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from leafgill.science.bubble_life import dissolved_share
from leafgill.science.plume import plume_share, volume_median_mm

MEDIANS = np.array([0.3, 0.6, 1.0, 1.5, 2.0, 3.0])[:, None, None]
SPREADS = np.array([0.1, 0.3, 0.5, 0.7])[:, None]
DEPTHS = np.array([0.2, 0.4])
quick = settings(deadline=None, max_examples=60)


@pytest.mark.parametrize("surface", ["dirty", "clean"])
def test_nodes_are_enough(surface):
    """Against 1500 sizes evenly spaced in ln(d), weighted by the normal density."""
    places = np.linspace(-5.5, 5.5, 1500)
    weights = np.exp(-0.5 * places**2)
    sizes = MEDIANS[..., None] * np.exp(SPREADS[..., None] * places)
    many = dissolved_share(sizes, DEPTHS[:, None], 25.0, surface=surface) @ (
        weights / weights.sum()
    )
    ours = plume_share(MEDIANS, SPREADS, DEPTHS, 25.0, surface=surface)
    np.testing.assert_allclose(ours, many, atol=1e-3)
    few = plume_share(MEDIANS, SPREADS, DEPTHS, 25.0, surface=surface, nodes=6)
    assert np.abs(few - many).max() > 3.0 * np.abs(ours - many).max()


def test_bubbles_all_alike_are_one_bubble():
    one = dissolved_share(1.3, 0.3, 24.0, co2_mg_l=20.0, surface="clean", hold_s=0.2)
    same = plume_share(1.3, 0.0, 0.3, 24.0, co2_mg_l=20.0, surface="clean", hold_s=0.2)
    assert same == pytest.approx(one, rel=1e-12)


def test_a_cloud_counts_by_gas_not_by_heads():
    """Two ways to one share: sizes by number weighted by their volume, and the median by volume."""
    places = np.linspace(-6.0, 6.0, 2000)
    sizes = 0.8 * np.exp(0.4 * places)
    heads = np.exp(-0.5 * places**2)
    gas = heads * sizes**3
    by_heads = dissolved_share(sizes, 0.3, 25.0) @ (gas / gas.sum())
    median = volume_median_mm(0.8, 0.4)
    assert median == pytest.approx(0.8 * math.exp(0.48), rel=1e-12)
    assert plume_share(median, 0.4, 0.3, 25.0) == pytest.approx(by_heads, abs=1e-3)


@quick
@given(st.floats(0.3, 4.0), st.floats(0.0, 0.7), st.floats(0.05, 0.8))
def test_a_share_grows_with_depth_and_falls_with_size(median, spread, depth):
    share = plume_share(median, spread, depth, 25.0, co2_mg_l=20.0)
    assert 0.0 < share <= 1.0
    assert plume_share(median, spread, 1.2 * depth, 25.0, co2_mg_l=20.0) >= share - 1e-3
    assert plume_share(1.2 * median, spread, depth, 25.0, co2_mg_l=20.0) <= share + 1e-3
    assert plume_share(median, spread, depth, 25.0, co2_mg_l=20.0, hold_s=2.0) >= share - 1e-3


def test_scalar_array_and_nan():
    one = plume_share(1, 0.3, 0.2, 25)
    assert type(one) is float
    answer = plume_share(np.array([[1.0], [math.nan]]), 0.3, np.array([0.2, 0.4]), 25.0)
    assert answer.shape == (2, 2)
    assert answer[0, 0] == pytest.approx(one, rel=1e-12)
    np.testing.assert_array_equal(np.isnan(answer), [[False, False], [True, True]])
    assert math.isnan(plume_share(1.0, math.nan, 0.2, 25.0))
    assert type(volume_median_mm(1, 0.3)) is float
    assert volume_median_mm(np.array([1.0, 2.0]), 0.3).shape == (2,)
    assert math.isnan(volume_median_mm(math.nan, 0.3))


def test_refusals():
    with pytest.raises(ValueError, match=r"spread of -0\.1"):
        plume_share(1.0, -0.1, 0.3, 25.0)
    with pytest.raises(ValueError, match="one size at least, got 0"):
        plume_share(1.0, 0.3, 0.3, 25.0, nodes=0)
    with pytest.raises(ValueError, match="diameter of -1 mm"):
        plume_share(-1.0, 0.0, 0.3, 25.0, nodes=1)
    with pytest.raises(ValueError, match='"soft"'):
        plume_share(1.0, 0.3, 0.3, 25.0, surface="soft")
