import math

import numpy as np
import pytest

from leafgill.science import solubility
from leafgill.science.salts import SALTS, solubility_g_l, solubility_source


def test_every_salt_has_figures_and_a_source():
    assert set(solubility.SATURATIONS) == set(SALTS)
    for key in SALTS:
        held = solubility_g_l(key, 20.0)
        assert 0.0 < held.low < held.value < held.high
        assert solubility_source(key).text


@pytest.mark.parametrize("key", ["KNO3", "MgSO4.7H2O", "K2HPO4"])
def test_number_array_and_nan(key):
    one = solubility_g_l(key, 15.0)
    assert all(type(end) is float for end in one)
    grid = np.array([[15.0, 25.0], [math.nan, 5.0]])
    for end, single in zip(solubility_g_l(key, grid), one, strict=True):
        assert end.shape == (2, 2)
        assert end[0, 0] == pytest.approx(single, rel=1e-12)
        np.testing.assert_array_equal(np.isnan(end), np.isnan(grid))


def test_between_the_points_the_logarithm_runs_straight():
    middle = solubility.saturated_g_100g("KNO3", 25.0)
    assert middle == pytest.approx(math.sqrt(31.6 * 45.8), rel=1e-12)
    assert solubility.saturated_g_100g("KNO3", 20.0) == pytest.approx(31.6, rel=1e-12)


def test_crystal_water_counts_as_water():
    """Both kinds of Epsom salt come to the same solution, so a litre holds the same magnesium."""
    hydrate, dry = solubility_g_l("MgSO4.7H2O", 20.0), solubility_g_l("MgSO4", 20.0)
    assert hydrate.value / dry.value == pytest.approx(246.466 / 120.361, rel=1e-4)
    # as a litre of it holds less water than a litre, so less salt than 33.7 g in 100 mL
    assert dry.value < 337.0


@pytest.mark.parametrize("temperature", [-0.1, 40.1])
def test_beyond_the_table_is_refused(temperature):
    with pytest.raises(ValueError, match="0 to 40 °C"):
        solubility_g_l("KNO3", temperature)


def test_another_salt_is_refused():
    with pytest.raises(ValueError, match='a solubility of "salt"'):
        solubility.in_solution_g_l("salt", 20.0)
