import math

import numpy as np
import pytest

from leafgill.science import ammonia

OF_WATER = (
    ammonia.unionised_share,
    ammonia.lasting_limit_n_mg_l,
    ammonia.short_limit_n_mg_l,
)


@pytest.mark.parametrize("law", OF_WATER)
def test_number_array_and_nan(law):
    assert type(law(7, 25)) is float
    answer = law(np.array([[6.5], [8.0]]), np.array([20.0, math.nan, 28.0]))
    assert answer.shape == (2, 3)
    assert answer[1, 2] == pytest.approx(law(8.0, 28.0), rel=1e-14)
    assert np.isnan(answer[:, 1]).all()
    assert not np.isnan(answer[:, [0, 2]]).any()


def test_half_of_it_at_the_pk():
    assert ammonia.unionised_share(ammonia.ammonium_pk(25.0), 25.0) == pytest.approx(0.5)


def test_there_and_back():
    total = ammonia.ammonium_for_nh3_mg_l(0.02, 7.4, 26.0)
    assert ammonia.nh3_mg_l(total, 7.4, 26.0) == pytest.approx(0.02, rel=1e-12)
    # each mole of NH4+ of the kit is a mole of NH3 at most
    assert ammonia.nh3_mg_l(18.039, 14.0, 25.0) == pytest.approx(17.031, rel=1e-4)


def test_gas_in_the_water_makes_ammonia_harmless():
    """One pH unit down, ten times less NH3: why a stopped gas supply may hurt."""
    ratio = ammonia.unionised_share(7.5, 25.0) / ammonia.unionised_share(6.5, 25.0)
    assert ratio == pytest.approx(10.0, rel=0.02)


def test_limits_fall_with_warmth_and_with_ph_and_the_short_one_is_above_the_lasting_one():
    ph, t = np.meshgrid(np.linspace(6.5, 8.5, 9), np.linspace(18.0, 30.0, 7))
    lasting, short = ammonia.lasting_limit_n_mg_l(ph, t), ammonia.short_limit_n_mg_l(ph, t)
    assert (short > 2.0 * lasting).all()
    for limit in (lasting, short):
        assert (np.diff(limit, axis=0) < 0.0).all()
        assert (np.diff(limit, axis=1) < 0.0).all()
    assert ammonia.lasting_limit_n_mg_l(7.0, 3.0) == ammonia.lasting_limit_n_mg_l(7.0, 7.0)
    assert ammonia.short_limit_n_mg_l(7.0, 5.0) == ammonia.short_limit_n_mg_l(7.0, 9.0)
