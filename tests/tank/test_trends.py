"""A trend of so much a day, in the kernel and for draws at once."""

import numpy as np
import pytest

from leafgill.tank.trends import grown, growth


def test_a_hundredth_a_day_is_a_tenth_in_ten_days_and_never_beyond_a_factor_e():
    assert growth(0.01, 240.0) == pytest.approx(np.exp(0.1))
    assert growth(0.5, 240.0) == pytest.approx(np.e)
    assert growth(-0.5, 240.0) == pytest.approx(1.0 / np.e)


def test_draws_at_once_are_the_kernel_s_one_by_one():
    trends = np.array([-0.4, -0.01, 0.0, 0.02, 0.3])
    hours = np.array([0.0, 50.0, 600.0])
    one_by_one = [[growth(t, h) for h in hours] for t in trends]
    np.testing.assert_allclose(grown(trends[:, None], hours), one_by_one, rtol=1e-14)
