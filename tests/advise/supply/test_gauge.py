"""The gauge's quick table against the equation of state, and what liquid does to it."""

import numpy as np
import pytest

from leafgill.advise.supply.gauge import gauge_bar
from leafgill.science.co2_state import pressure_bar


def test_against_the_equation_of_state():
    rng = np.random.default_rng(3)
    t, rho = rng.uniform(5.0, 30.0, 300), rng.uniform(0.0, 350.0, 300)
    real = np.asarray(pressure_bar(rho, t)) - 1.01325
    assert np.abs(gauge_bar(rho, t) - real).max() < 0.15


def test_liquid_holds_it_up():
    # Span & Wagner 1996: 57.29 bar absolute at 20 °C from 194.2 g/L on; 40.7 at 100 g/L
    shown = gauge_bar(np.array([680.0, 300.0, 194.3, 100.0]), np.full(4, 20.0))
    assert shown == pytest.approx([56.28, 56.28, 56.28, 39.7], abs=0.1)


def test_an_empty_cylinder_shows_a_vacuum_and_never_less():
    assert gauge_bar(np.array([0.0, -5.0]), np.array([20.0, 20.0])) == pytest.approx(-1.01325)


def test_shapes():
    assert gauge_bar(np.ones((3, 4)), np.full((3, 4), 20.0)).shape == (3, 4)
