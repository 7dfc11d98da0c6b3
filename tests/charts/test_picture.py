"""Where a picture's scale ends."""

import numpy as np
import pytest

from leafgill.charts.picture import Mark, round_up


@pytest.mark.parametrize(
    ("value", "rounded"), [(31.0, 35.0), (35.0, 35.0), (50.0, 50.0), (51.0, 60.0), (101.0, 120.0)]
)
def test_round_figures(value, rounded):
    assert round_up(value) == rounded


def test_the_limit_is_always_inside(picture):
    assert picture(limit_mg_l=30.0, marks=()).top_mg_l == 40.0


def test_a_band_above_the_limit_is_inside(picture):
    high = np.full(145, 61.0)
    assert picture(outer_high=high, marks=()).top_mg_l == 70.0


def test_marks_are_inside(picture):
    assert picture(marks=(Mark(3.0, 44.0, 30.0, 90.0, "hand test", "pH 6.2"),)).top_mg_l == 50.0


def test_a_day_without_a_band_has_a_scale(picture):
    none = np.empty(0)
    empty = picture(hours=none, mean=none, outer_low=none, outer_high=none, inner_low=none,
                    inner_high=none, marks=())  # fmt: skip
    assert empty.top_mg_l == 40.0
