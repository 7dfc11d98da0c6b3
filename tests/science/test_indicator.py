import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from leafgill.science import carbonate, indicator

quick = settings(deadline=None, max_examples=60)


def test_reference_is_bicarbonate_water_of_its_own_kh():
    expected = carbonate.ph(30.0, 3.5 * 0.35665, 26.0)
    assert indicator.reference_ph(30.0, 26.0, 3.5) == expected
    assert type(indicator.reference_ph(30.0, 26.0)) is float


def test_reference_broadcasts_and_passes_nan_on():
    answer = indicator.reference_ph([10.0, math.nan], np.array([[20.0], [25.0], [28.0]]))
    assert answer.shape == (3, 2)
    assert answer[1, 0] == indicator.reference_ph(10.0, 25.0)
    np.testing.assert_array_equal(np.isnan(answer), [[False, True]] * 3)


@quick
@given(st.floats(1.0, 100.0), st.floats(15.0, 32.0), st.floats(2.0, 6.0))
def test_co2_comes_back_from_the_reference_ph(co2, temperature, kh):
    ph = indicator.reference_ph(co2, temperature, kh)
    back = carbonate.co2_mg_l(ph, kh * 0.35665, temperature)
    assert back == pytest.approx(co2, rel=1e-10)


def test_dye_is_half_blue_at_its_pka_and_symmetric():
    assert indicator.blue_fraction(7.1) == 0.5
    assert indicator.blue_fraction(7.0, pka=7.0) == 0.5
    both = indicator.blue_fraction(np.array([6.6, 7.6]))
    assert both.sum() == pytest.approx(1.0, rel=1e-14)
    assert math.isnan(indicator.blue_fraction(math.nan))
    assert type(indicator.blue_fraction(7)) is float


def test_boundaries_on_the_card_are_its_own_levels():
    levels = indicator.co2_boundaries_mg_l(25.0, 4.0)
    np.testing.assert_allclose(levels, [10.0, 20.0, 38.0, 60.0], rtol=1e-10)
    assert len(indicator.COLOURS) == len(levels) + 1
    assert np.all(np.diff(indicator.boundaries_ph()) < 0.0)


def test_boundaries_are_the_callers_own_copy():
    indicator.boundaries_ph()[:] = 0.0
    assert indicator.boundaries_ph()[0] > 7.0


def test_boundaries_move_with_temperature_and_reference():
    cold, warm = indicator.co2_boundaries_mg_l(20.0), indicator.co2_boundaries_mg_l(28.0)
    assert np.all(cold > 1.05 * np.array([10, 20, 38, 60]))
    assert np.all(warm < 0.98 * np.array([10, 20, 38, 60]))
    # CO2 at a given pH goes with KH, less a little for ionic strength.
    ratio = indicator.co2_boundaries_mg_l(25.0, 8.0) / indicator.co2_boundaries_mg_l(25.0, 4.0)
    np.testing.assert_allclose(ratio, 1.966, atol=0.005)


def test_boundaries_put_their_axis_last():
    assert indicator.co2_boundaries_mg_l(25.0).shape == (4,)
    grid = indicator.co2_boundaries_mg_l(np.array([[20.0], [25.0]]), np.array([3.5, 4.0, 4.5]))
    assert grid.shape == (2, 3, 4)
    np.testing.assert_array_equal(grid[1, 2], indicator.co2_boundaries_mg_l(25.0, 4.5))
    assert np.all(np.isnan(indicator.co2_boundaries_mg_l(math.nan)))


@pytest.mark.parametrize(
    ("co2", "name"),
    [(5, "blue"), (15, "blue-green"), (30, "green"), (50, "yellow-green"), (80, "yellow")],
)
def test_colour_of_a_level(co2, name):
    assert indicator.colour(indicator.reference_ph(co2, 25.0)) == name


def test_colour_of_nan_is_refused():
    with pytest.raises(ValueError, match="not a number"):
        indicator.colour(math.nan)


def small_steps(times, series, lag, start, parts=4000):
    """The lag by a midpoint rule of very small steps."""
    y, out = start, [start]
    for t0, t1, x0, x1 in zip(times, times[1:], series, series[1:], strict=False):
        dt = (t1 - t0) / parts
        for k in range(parts):
            x = x0 + (x1 - x0) * (k + 0.5) / parts
            half = y + 0.5 * dt * (x - y) / lag
            y += dt * (x - half) / lag
        out.append(y)
    return out


def test_lag_against_small_steps():
    times, series = np.array([0.0, 0.5, 2.0, 2.25, 6.0]), np.array([5.0, 20.0, 18.0, 35.0, 2.0])
    shown = indicator.lagged(times, series, 1.3)
    np.testing.assert_allclose(shown, small_steps(times, series, 1.3, 5.0), rtol=1e-6)


def test_a_ramp_is_followed_one_lag_behind():
    times = np.array([0.0, 3.0, 20.0])
    shown = indicator.lagged(times, 4.0 * times, 1.5)
    assert shown[-1] == pytest.approx(4.0 * (20.0 - 1.5), rel=1e-5)


def test_a_step_is_followed_by_an_exponential():
    shown = indicator.lagged(np.array([0.0, 0.0, 2.0]), np.array([0.0, 10.0, 10.0]), 2.0)
    np.testing.assert_allclose(shown, [0.0, 0.0, 10.0 * (1.0 - math.exp(-1.0))], rtol=1e-12)


def test_no_lag_is_the_series_itself():
    times, series = np.array([0.0, 1.0, 1.0, 4.0]), np.array([3.0, 9.0, 1.0, 2.0])
    np.testing.assert_array_equal(indicator.lagged(times, series, 0.0), series)


@quick
@given(st.lists(st.floats(0.0, 60.0), min_size=2, max_size=8), st.floats(0.01, 5.0))
def test_points_put_between_change_nothing_and_range_is_kept(levels, lag):
    times = np.arange(len(levels), dtype=float)
    shown = indicator.lagged(times, np.array(levels), lag)
    fine = np.arange(0.0, len(levels) - 0.99, 0.25)
    finer = indicator.lagged(fine, np.interp(fine, times, levels), lag)
    np.testing.assert_allclose(finer[::4], shown, rtol=1e-9, atol=1e-9)
    assert shown.min() >= min(levels) - 1e-9
    assert shown.max() <= max(levels) + 1e-9


def test_lag_takes_many_series_lags_and_starts():
    times, series = np.array([0.0, 1.0, 3.0]), np.array([0.0, 10.0, 10.0])
    lags = np.array([[0.5], [1.0], [2.0]])
    shown = indicator.lagged(times, series, lags, start=np.array([0.0, 5.0]))
    assert shown.shape == (3, 2, 3)
    alone = indicator.lagged(times, series, 2.0, start=5.0)
    np.testing.assert_array_equal(shown[2, 1], alone)
    assert alone[0] == 5.0
    np.testing.assert_array_equal(
        indicator.lagged(times, np.stack([series, series + 1.0]), 1.0)[1],
        indicator.lagged(times, series + 1.0, 1.0),
    )


def test_nan_spoils_what_comes_after_it_only():
    shown = indicator.lagged(np.arange(5.0), np.array([1.0, 2.0, math.nan, 3.0, 3.0]), 1.0)
    np.testing.assert_array_equal(np.isnan(shown), [False, False, True, True, True])


def test_nan_in_a_jump_is_not_passed_over():
    shown = indicator.lagged(np.array([0.0, 0.0, 1.0]), np.array([1.0, math.nan, 3.0]), 1.0)
    np.testing.assert_array_equal(np.isnan(shown), [False, True, True])


@pytest.mark.parametrize(
    ("times", "series", "lag", "message"),
    [
        ([0.0, 2.0, 1.0], [1.0, 1.0, 1.0], 1.0, "must rise"),
        ([0.0, math.nan, 1.0], [1.0, 1.0, 1.0], 1.0, "must rise"),
        ([0.0, 1.0], [1.0, 1.0, 1.0], 1.0, "do not fit"),
        ([], [], 1.0, "do not fit"),
        ([0.0, 1.0], [1.0, 1.0], -0.5, "cannot be negative, got -0.5 h"),
    ],
)
def test_lag_refuses(times, series, lag, message):
    with pytest.raises(ValueError, match=message):
        indicator.lagged(np.array(times), np.array(series), lag)
