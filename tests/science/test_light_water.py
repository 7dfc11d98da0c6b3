import math

import numpy as np
import pytest

from leafgill.science import light_water


@pytest.mark.parametrize(
    ("law", "known"),
    [
        (light_water.pure_water_absorption_per_m, (550.0,)),
        (light_water.tint_absorption_per_m, (550.0, 0.5)),
        (light_water.left_at_depth, (0.3, 0.8)),
        (light_water.kd_per_m, (0.8, 0.3)),
        (light_water.par_left, (0.3,)),
    ],
)
def test_number_array_and_nan(law, known):
    assert type(law(*known)) is float
    answer = law(np.array([[known[0], math.nan]]), *known[1:])
    assert answer.shape == (1, 2)
    assert answer[0, 0] == pytest.approx(law(*known), rel=1e-14)
    assert math.isnan(answer[0, 1])


def test_attenuation_there_and_back():
    assert light_water.kd_per_m(light_water.left_at_depth(0.4, 0.7), 0.4) == pytest.approx(0.7)
    assert math.isnan(light_water.kd_per_m(1.0, 0.0))


def test_outside_the_table_nothing_is_known():
    assert math.isnan(light_water.pure_water_absorption_per_m(399.0))
    assert math.isnan(light_water.pure_water_absorption_per_m(701.0))
    assert light_water.pure_water_absorption_per_m(545.0) == pytest.approx(0.5 * (0.0474 + 0.0565))


def test_spectra_are_shares():
    for spectrum in light_water.SPECTRA.values():
        assert spectrum.shares.sum() == pytest.approx(1.0, rel=1e-12)
        assert (spectrum.shares >= 0.0).all()


def test_water_takes_red_and_tint_takes_blue():
    assert light_water.par_left(0.0) == pytest.approx(1.0, rel=1e-12)
    shallow = light_water.par_left(np.array([0.1, 0.2, 0.4]))
    assert (np.diff(shallow) < 0.0).all()
    # the red-heavy lamp loses more in clear water, less where the water is brown
    clear = [light_water.par_left(0.4, spectrum=name) for name in ("white", "planted")]
    assert clear[1] < clear[0]
    brown = light_water.par_left(0.4, tint_440_per_m=2.0)
    grey = light_water.par_left(0.4, grey_per_m=1.0)
    assert brown < light_water.par_left(0.4)
    assert grey == pytest.approx(light_water.par_left(0.4) * math.exp(-1.2 * 0.4), rel=1e-12)


def test_tint_falls_with_wavelength():
    assert light_water.tint_absorption_per_m(440.0, 0.7) == pytest.approx(0.7)
    halved = light_water.tint_absorption_per_m(440.0 + math.log(2.0) / 0.0145, 0.7)
    assert halved == pytest.approx(0.35, rel=1e-9)


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (lambda: light_water.par_left(0.3, spectrum="violet"), "accepted: even, white"),
        (lambda: light_water.par_left(-0.3), "a depth of -0.3 m"),
        (lambda: light_water.kd_per_m(-0.1, 0.3), "a share of -0.1"),
    ],
)
def test_refused(call, said):
    with pytest.raises(ValueError, match=said):
        call()
