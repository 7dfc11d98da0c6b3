import numpy as np
import pytest

from leafgill.science.cited import Range
from leafgill.science.gas_course import GasCourse, given_g, spent_days, spread

TIMES = np.array([0.0, 1.0, 2.0, 4.0])
RATE = np.array([2.0, 2.0, 4.0, 0.0])


def test_given_is_the_area_beneath_the_rate():
    np.testing.assert_allclose(given_g(TIMES, RATE), [0.0, 2.0, 5.0, 9.0])


def test_spent_when_95_per_cent_have_come():
    given = np.array([0.0, 50.0, 100.0])
    times = np.array([0.0, 10.0, 20.0])
    assert spent_days(times, given, 100.0) == pytest.approx(19.0)
    assert spent_days(times, given, 50.0) == pytest.approx(9.5)
    assert spent_days(times, given, 200.0) == 20.0
    assert spent_days(times, given, 0.0) == 0.0


def test_spread_keeps_the_first_and_the_outermost():
    assert spread([2.0, 3.0, 1.0]) == Range(2.0, 1.0, 3.0)
    value, low, high = spread([np.array([1.0, 2.0]), np.array([0.0, 3.0])])
    np.testing.assert_array_equal([value, low, high], [[1.0, 2.0], [0.0, 2.0], [1.0, 3.0]])


def test_rate_at_a_day():
    course = GasCourse(
        "yeast", Range(9, 8, 10), Range(4, 3, 5), TIMES, Range(RATE, RATE / 2, RATE * 2), False
    )
    assert course.rate_at(1.5) == (3.0, 1.5, 6.0)
    assert course.rate_at(9.0) == (0.0, 0.0, 0.0)
