import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from leafgill.science import water_properties as water
from leafgill.science.compiled import compiled

LAWS = (
    water.water_viscosity_pa_s,
    water.surface_tension_n_m,
    water.co2_diffusivity_m2_s,
    water.o2_diffusivity_m2_s,
    water.n2_diffusivity_m2_s,
)


@pytest.mark.parametrize("law", LAWS)
def test_scalar_array_and_nan(law):
    assert type(law(25)) is float
    grid = np.array([[18.0, 25.0], [math.nan, 30.0]])
    answer = law(grid)
    assert answer.shape == (2, 2)
    assert answer[0, 1] == pytest.approx(law(25.0), rel=1e-14)
    np.testing.assert_array_equal(np.isnan(answer), np.isnan(grid))
    assert math.isnan(law(math.nan))


@given(st.floats(1.0, 39.0))
def test_warm_water_is_thin_pulls_less_and_lets_gases_wander(t):
    assert water.water_viscosity_pa_s(t + 0.5) < water.water_viscosity_pa_s(t)
    assert water.surface_tension_n_m(t + 0.5) < water.surface_tension_n_m(t)
    for law in LAWS[2:]:
        assert law(t + 0.5) > law(t)


def test_diffusion_by_hand():
    # 5.019e-6·exp(-19510/(8.314463·298.15)) = 5.019e-6·exp(-7.87020)
    assert water.co2_diffusivity_m2_s(25.0) == pytest.approx(
        5.019e-6 * math.exp(-7.87020), rel=1e-5
    )
    assert water.o2_diffusivity_m2_s(25.0) > water.n2_diffusivity_m2_s(25.0)
    assert water.n2_diffusivity_m2_s(25.0) > water.co2_diffusivity_m2_s(25.0)


@compiled
def _inside_a_kernel(t):
    return (
        water.water_viscosity_pa_s(t),
        water.surface_tension_n_m(t),
        water.co2_diffusivity_m2_s(t),
        water.o2_diffusivity_m2_s(t),
        water.n2_diffusivity_m2_s(t),
    )


def test_the_same_names_serve_compiled_code():
    np.testing.assert_allclose(_inside_a_kernel(24.0), [law(24.0) for law in LAWS], rtol=1e-13)
