from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from leafgill.advise.rates import between, countable, most_after, nearest_countable


def test_slow_rates_go_by_tenths_then_quarters_then_halves():
    rates = countable(7.0)
    assert rates[:3] == [0.0, 0.1, 0.2]
    assert [r for r in rates if 2.8 <= r <= 3.6] == [2.8, 2.9, 3.0, 3.25, 3.5]
    assert [r for r in rates if 5.4 <= r <= 7.0] == [5.5, 5.75, 6.0, 6.5, 7.0]


def test_rates_rise():
    assert all(a < b for a, b in pairwise(countable()))


@pytest.mark.parametrize(
    ("rate", "nearest"), [(0.0, 0.0), (0.04, 0.0), (1.234, 1.2), (3.1, 3.0), (4.6, 4.5), (7.7, 7.5)]
)
def test_a_rate_is_rounded_to_what_can_be_counted(rate, nearest):
    assert nearest_countable(rate) == nearest


@pytest.mark.parametrize(
    ("rate", "most"),
    [(None, 1.0), (0.3, 0.6), (1.0, 2.0), (1.2, 2.0), (1.6, 2.4), (2.0, 3.0), (4.0, 6.0)],
)
def test_a_step_doubles_below_two_and_adds_half_above(rate, most):
    assert most_after(rate) == pytest.approx(most)


def test_after_a_shut_valve_it_starts_again_from_one_or_what_ran_before():
    assert most_after(0.0, 8.0) == 4.0
    assert most_after(0.0, 1.5) == 1.0
    assert most_after(0.0, 0.4) == 0.4
    assert most_after(0.0) == 1.0


@given(st.floats(0.05, 30.0))
def test_no_step_passes_either_reading_of_the_rule(rate):
    most = most_after(rate)
    assert most > rate
    assert most <= (2.0 * rate if rate < 2.0 else 1.5 * rate)
    assert most <= max(2.0, 1.5 * rate)


def test_between_leaves_out_the_lower_end_and_keeps_the_upper():
    assert between(1.0, 1.3) == [1.1, 1.2, 1.3]
    assert between(0.0, 0.05) == []
