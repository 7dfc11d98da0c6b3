import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from leafgill.science import electrode

PHS = st.floats(4.0, 10.0)
TEMPERATURES = st.floats(5.0, 40.0)
OFFSETS_MV = st.floats(-40.0, 40.0)
SLOPES = st.floats(0.8, 1.05)


def test_slope_scalar_array_nan():
    assert type(electrode.nernst_slope_mv(25)) is float
    np.testing.assert_allclose(electrode.nernst_slope_mv([0.0, 25.0]), [54.199, 59.159], atol=0.001)
    assert math.isnan(electrode.nernst_slope_mv(math.nan))


@given(PHS, TEMPERATURES, OFFSETS_MV, SLOPES)
def test_voltage_and_ph_are_each_others_inverse(ph, temperature, offset, slope):
    mv = electrode.electrode_mv(ph, temperature, offset, slope)
    assert electrode.ph_from_mv(mv, temperature, offset, slope) == pytest.approx(ph, abs=1e-11)


def test_voltage_by_hand():
    # Three pH below 7 at 25 °C, 95 % of 59.16 mV a pH, 8 mV at pH 7.
    assert electrode.electrode_mv(4.0, 25.0, 8.0, 0.95) == pytest.approx(176.6, abs=0.01)


@given(st.sampled_from([4.01, 9.18, 10.01]), TEMPERATURES, OFFSETS_MV, SLOPES)
def test_calibration_finds_the_electrode_that_gave_the_voltages(far, temperature, offset, slope):
    near_ph = electrode.buffer_ph(7.00, temperature)
    far_ph = electrode.buffer_ph(far, temperature)
    found = electrode.two_point_calibration(
        near_ph,
        electrode.electrode_mv(near_ph, temperature, offset, slope),
        far_ph,
        electrode.electrode_mv(far_ph, temperature, offset, slope),
        temperature,
    )
    assert found.offset_mv == pytest.approx(offset, abs=1e-9)
    assert found.slope_fraction == pytest.approx(slope, rel=1e-10)


@given(PHS, st.floats(-0.5, 0.5), SLOPES)
def test_shown_and_true_ph_are_each_others_inverse(ph, offset, slope):
    shown = electrode.shown_ph(ph, offset, slope)
    assert electrode.true_ph(shown, offset, slope) == pytest.approx(ph, abs=1e-12)


def test_a_meter_is_off_by_its_offset_at_seven_and_stretched_beyond():
    assert electrode.shown_ph(7.0, 0.12, 0.9) == pytest.approx(7.12)
    assert electrode.shown_ph(6.0, 0.12, 0.9) == pytest.approx(6.22)
    assert electrode.shown_ph(6.5) == 6.5


def test_error_from_two_buffers_explains_both_readings():
    error = electrode.error_from_buffers(7.00, 7.08, 4.01, 4.15)
    assert error.offset_ph == pytest.approx(0.08)
    assert error.slope_fraction == pytest.approx(2.93 / 2.99)
    assert electrode.shown_ph(4.01, *error) == pytest.approx(4.15)
    # Away from pH 7 the line is followed to 7: 6.86 shown 6.90 at slope 1 is 0.04 at 7.
    assert electrode.error_from_buffers(6.86, 6.90, 9.18, 9.22).offset_ph == pytest.approx(0.04)


@pytest.mark.parametrize("find", [electrode.error_from_buffers, electrode.two_point_calibration])
def test_two_buffers_too_near_give_no_slope(find):
    more = (25.0,) if find is electrode.two_point_calibration else ()
    with pytest.raises(ValueError, match=r"buffers 6\.86 and 7\.0 are too near"):
        find(6.86, 6.9, 7.0, 7.1, *more)


def test_meter_set_to_the_wrong_temperature():
    assert electrode.uncompensated_slope(25.0) == 1.0
    # (273.15 + 15) / (273.15 + 25)
    assert electrode.uncompensated_slope(15.0) == pytest.approx(288.15 / 298.15, rel=1e-12)


def test_drift_is_steady_and_its_spread_a_walk():
    assert electrode.drifted_offset_ph(0.02, -0.001, 30.0) == pytest.approx(-0.01)
    assert electrode.drift_sd_ph(0.0, 0.03, 0.01) == pytest.approx(0.03)
    np.testing.assert_allclose(
        electrode.drift_sd_ph([16.0, 100.0], 0.03, 0.01), [0.05, math.sqrt(0.0109)], rtol=1e-12
    )


@pytest.mark.parametrize("name", electrode.BUFFERS)
def test_buffers_carry_their_name_at_25_degrees(name):
    assert electrode.buffer_ph(name, 25.0) == pytest.approx(name, abs=0.0051)
    assert type(electrode.buffer_ph(name, 25)) is float


def test_buffers_between_the_steps_and_outside_them():
    assert electrode.buffer_ph(4.01, 22.5) == pytest.approx(4.005, abs=1e-9)
    answer = electrode.buffer_ph(7.00, [[-1.0, 20.0], [41.0, math.nan]])
    np.testing.assert_array_equal(np.isnan(answer), [[True, False], [True, True]])
    assert answer[0, 1] == 7.02


def test_unknown_buffer_is_refused():
    with pytest.raises(ValueError, match=r"no buffer of pH 5\.0; known: 4\.01, 6\.86, 7\.00"):
        electrode.buffer_ph(5.0, 25.0)


@pytest.mark.parametrize(
    "law",
    [
        electrode.electrode_mv,
        electrode.ph_from_mv,
        electrode.shown_ph,
        electrode.true_ph,
        electrode.uncompensated_slope,
    ],
)
def test_laws_in_three_forms_and_nan(law):
    one = law(6.6, 24.0, 0.1) if law is not electrode.uncompensated_slope else law(6.6, 24.0)
    assert type(one) is float
    more = () if law is electrode.uncompensated_slope else (0.1,)
    grid = law(np.array([[6.6], [math.nan]]), np.array([24.0, 25.0, 26.0]), *more)
    assert grid.shape == (2, 3)
    assert grid[0, 0] == one
    assert np.all(np.isnan(grid[1]))
    assert np.all(np.isfinite(grid[0]))
