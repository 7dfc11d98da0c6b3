import math

import numpy as np
import pytest

from leafgill.science import light_response as lr


@pytest.mark.parametrize("form", lr.FORMS.values())
def test_number_array_and_nan(form):
    assert type(form(50, 100)) is float
    answer = form(np.array([[0.0, 50.0], [math.nan, 200.0]]), 100.0)
    assert answer.shape == (2, 2)
    assert answer[0, 0] == 0.0
    assert answer[0, 1] == pytest.approx(form(50.0, 100.0), rel=1e-14)
    assert math.isnan(answer[1, 0])


@pytest.mark.parametrize("form", lr.FORMS.values())
def test_all_start_with_slope_one_over_ik_and_end_at_one(form):
    assert form(1e-4, 100.0) == pytest.approx(1e-6, rel=1e-4)
    assert form(1e7, 100.0) == pytest.approx(1.0, rel=1e-4)
    assert (np.diff(form(np.linspace(0.0, 400.0, 50), 100.0)) > 0.0).all()


def test_the_forms_at_ik_and_their_order():
    at_ik = {name: form(100.0, 100.0) for name, form in lr.FORMS.items()}
    assert at_ik == pytest.approx(
        {"tanh": 0.7616, "smith": 0.7071, "monod": 0.5, "exponential": 0.6321}, abs=1e-4
    )
    light = np.linspace(1.0, 1000.0, 60)
    assert (lr.tanh_share(light, 100.0) >= lr.exponential_share(light, 100.0)).all()
    assert (lr.exponential_share(light, 100.0) > lr.monod_share(light, 100.0)).all()


def test_net_is_nothing_at_compensation_and_a_loss_below():
    assert lr.compensated_share(15.0, 100.0, 15.0) == 0.0
    assert lr.compensated_share(0.0, 100.0, 15.0) == pytest.approx(-math.tanh(0.15), rel=1e-12)
    assert type(lr.compensated_share(50, 100, 15)) is float


def test_a_canopy_against_its_closed_form():
    """Monod's form through exp(-k·z): (1/(k·h))·ln((Ik + I0)/(Ik + I0·exp(-k·h)))."""
    top, kd, height, ik = 120.0, 6.0, 0.3, 80.0
    bottom = top * math.exp(-kd * height)
    closed = math.log((ik + top) / (ik + bottom)) / (kd * height)
    assert lr.canopy_share(top, kd, height, ik, form="monod") == pytest.approx(closed, rel=1e-9)


@pytest.mark.parametrize("name", lr.FORMS)
def test_a_canopy_against_small_steps(name):
    top, kd, height, ik = 150.0, 5.0, 0.4, 90.0
    z = (np.arange(4000) + 0.5) / 4000.0 * height
    steps = lr.FORMS[name](top * np.exp(-kd * z), ik).mean()
    assert lr.canopy_share(top, kd, height, ik, form=name) == pytest.approx(steps, rel=1e-6)


def test_a_canopy_of_arrays():
    answer = lr.canopy_share(np.array([[50.0], [math.nan]]), 5.0, np.array([0.0, 0.3]), 100.0)
    assert answer.shape == (2, 2)
    assert answer[0, 0] == pytest.approx(math.tanh(0.5), rel=1e-12)
    assert np.isnan(answer[1]).all()
    assert type(lr.canopy_share(50.0, 5.0, 0.3, 100.0)) is float


def test_carbon_ceiling():
    # 1.44 mol of photons at 0.05 is 0.072 mol of carbon
    assert lr.carbon_ceiling_g_m2_day(1.44, 0.05, 1.0) == pytest.approx(0.072 * 12.011, rel=1e-12)
    assert lr.carbon_ceiling_g_m2_day(1.44, 0.05, 0.5) == pytest.approx(0.036 * 12.011, rel=1e-12)
    assert math.isnan(lr.carbon_ceiling_g_m2_day(math.nan, 0.05, 1.0))


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (lambda: lr.canopy_share(50.0, 5.0, 0.3, 100.0, form="straight"), "accepted: tanh"),
        (lambda: lr.canopy_share(-1.0, 5.0, 0.3, 100.0), "a light of -1"),
        (lambda: lr.canopy_share(50.0, -5.0, 0.3, 100.0), "an attenuation of -5"),
        (lambda: lr.canopy_share(50.0, 5.0, -0.3, 100.0), "a height of -0.3"),
        (lambda: lr.canopy_share(50.0, 5.0, 0.3, 0.0), "an Ik of 0"),
    ],
)
def test_refused(call, said):
    with pytest.raises(ValueError, match=said):
        call()
