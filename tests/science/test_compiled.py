import numpy as np
import pytest

from leafgill.science.compiled import compiled, everyday, flat, like


@everyday
def _double(x, y=1.0):
    return 2.0 * x * y


@compiled
def _four_times(x):
    return _double(_double(x), y=1.0)


def test_everyday_gives_a_float_for_numbers():
    assert type(_double(3)) is float
    assert _double(3, y=2) == 12.0


def test_everyday_broadcasts_arrays_and_lists():
    answer = _double([[1.0], [2.0]], np.array([1.0, 10.0]))
    np.testing.assert_array_equal(answer, [[2.0, 20.0], [4.0, 40.0]])


def test_everyday_law_can_be_called_in_compiled_code():
    assert _four_times(2.5) == 10.0


def test_flat_keeps_single_values_single_and_fills_the_rest():
    shape, (a, b, c) = flat(1.0, np.array([[1.0], [2.0]]), np.array([5.0, 6.0, 7.0]))
    assert shape == (2, 3)
    np.testing.assert_array_equal(a, [1.0])
    np.testing.assert_array_equal(b, [1, 1, 1, 2, 2, 2])
    np.testing.assert_array_equal(c, [5, 6, 7, 5, 6, 7])


@pytest.mark.parametrize(
    "array", [np.arange(10.0)[::2], np.broadcast_to(np.arange(5.0), (1, 5)), np.arange(5)]
)
def test_flat_makes_every_array_contiguous_and_writable(array):
    _, (result,) = flat(array)
    assert result.dtype == np.float64
    assert result.flags.c_contiguous
    assert result.flags.writeable


def test_flat_leaves_the_callers_array_alone():
    mine = np.array([1.0, 2.0])
    mine.flags.writeable = False
    flat(mine)
    assert not mine.flags.writeable


def test_flat_refuses_shapes_that_do_not_fit():
    with pytest.raises(ValueError, match="shape mismatch"):
        flat(np.zeros(2), np.zeros(3))


def test_like_returns_a_float_only_for_a_scalar_shape():
    assert type(like(np.array([2.0]), ())) is float
    assert like(np.array([2.0]), (1,)).shape == (1,)
    assert like(np.arange(6.0), (2, 3)).shape == (2, 3)
