"""Draws of ranges, and figures made of them."""

import numpy as np
import pytest

from leafgill.advise.drawn import drawn, exactly, figure, given, range_of
from leafgill.science.cited import Range


def test_nine_in_ten_draws_lie_in_the_range_and_half_on_each_side():
    values = drawn(Range(2.0, 1.0, 8.0), 2000, "a")
    inside = np.mean((values >= 1.0) & (values <= 8.0))
    assert inside == pytest.approx(0.90, abs=0.005)
    assert np.mean(values < 2.0) == pytest.approx(0.5, abs=0.001)
    assert np.mean(values < 1.0) == pytest.approx(0.05, abs=0.002)


def test_a_range_above_zero_is_drawn_on_the_logarithm_and_another_is_not():
    assert (drawn(Range(1.0, 0.1, 10.0), 500, "a") > 0.0).all()
    other = drawn(Range(0.0, -1.0, 3.0), 500, "a")
    assert other.min() < -1.0
    assert np.median(other) == pytest.approx(0.0, abs=0.02)


def test_one_name_is_one_quantity_and_two_names_are_independent():
    known = Range(1.0, 0.5, 2.0)
    assert np.array_equal(drawn(known, 400, "a"), drawn(known, 400, "a"))
    together = np.corrcoef(drawn(known, 400, "a"), drawn(known, 400, "b"))[0, 1]
    assert abs(together) < 0.15


def test_what_was_measured_has_no_width():
    assert (drawn(exactly(3.0), 50, "a") == pytest.approx(3.0)) is True
    assert set(drawn(exactly(0.0), 50, "a")) == {0.0}


def test_a_figure_of_draws_is_their_median_with_what_holds_nine_in_ten():
    made = figure("x_g", "X", np.arange(101.0), "g", "f", (), "s")
    assert (made.value, made.low, made.high) == pytest.approx((50.0, 5.0, 95.0))
    assert range_of(np.arange(101.0)) == pytest.approx(Range(50.0, 5.0, 95.0))


def test_a_figure_without_width_has_no_ends():
    for sure in (2.5, exactly(2.5), np.full(9, 2.5)):
        made = figure("x_g", "X", sure, "g", "f", (), "s")
        assert (made.value, made.low, made.high) == (2.5, None, None)


@pytest.mark.parametrize("wrong", [np.nan, np.inf, np.array([1.0, np.nan])])
def test_what_is_no_number_is_no_figure(wrong):
    with pytest.raises(ValueError, match="x_g is no figure"):
        figure("x_g", "X", wrong, "g", "f", (), "s")


def test_an_input_tells_its_ends_where_it_has_some():
    assert given("k", Range(0.2, 0.1, 0.4), "1/h", "prior").value == "0.2 (0.1 to 0.4)"
    assert given("k", exactly(0.2), "1/h", "prior").value == 0.2
    assert given("k", 0.2, "1/h", "prior").value == 0.2
