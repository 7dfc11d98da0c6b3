import math

import numpy as np
import pytest

from leafgill.science import light


@pytest.mark.parametrize(
    ("law", "two"),
    [
        (light.daily_light_integral_mol_m2, (50.0, 8.0)),
        (light.ppfd_of_integral, (1.44, 8.0)),
    ],
)
def test_number_array_and_nan(law, two):
    assert type(law(*two)) is float
    answer = law(np.array([[two[0]], [math.nan]]), np.array([4.0, two[1]]))
    assert answer.shape == (2, 2)
    assert answer[0, 1] == pytest.approx(law(*two), rel=1e-14)
    assert np.isnan(answer[1]).all()


def test_there_and_back():
    assert light.ppfd_of_integral(light.daily_light_integral_mol_m2(73.0, 9.5), 9.5) == (
        pytest.approx(73.0, rel=1e-12)
    )


def test_beams():
    assert light.beam_exponent(120.0) == pytest.approx(1.0, rel=1e-12)
    # half of the intensity at half of the angle, by definition
    for beam in (30.0, 90.0, 150.0):
        half = math.cos(math.radians(0.5 * beam)) ** light.beam_exponent(beam)
        assert half == pytest.approx(0.5, rel=1e-12)
    assert light.beam_exponent(180.0) == pytest.approx(0.0, abs=0.03)


def test_entry_into_water():
    # straight down ((n - 1)/(n + 1))² comes back, flat along the surface everything
    assert light.entry_share(1.0) == pytest.approx(1.0 - (0.333 / 2.333) ** 2, rel=1e-12)
    assert light.entry_share(0.0) == pytest.approx(0.0, abs=1e-12)
    assert (np.diff(light.entry_share(np.linspace(0.01, 1.0, 50))) > 0.0).all()
    assert math.isnan(light.entry_share(math.nan))


def test_kinds_of_lamp():
    for efficacy in light.EFFICACIES_UMOL_J.values():
        assert 0.0 < efficacy.low < efficacy.value < efficacy.high < 3.5
