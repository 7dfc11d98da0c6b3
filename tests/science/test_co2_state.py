import math
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pytest

from leafgill.science import co2_fluid, co2_state


def test_pressure_scalar_array_and_nan():
    assert type(co2_state.pressure_bar(100, 20)) is float
    answer = co2_state.pressure_bar(np.array([[50.0], [500.0]]), np.array([20.0, math.nan, 40.0]))
    assert answer.shape == (2, 3)
    assert answer[0, 0] == co2_state.pressure_bar(50.0, 20.0)
    assert answer[1, 0] == co2_fluid.saturation_pressure_bar(20.0)
    assert np.all(np.isnan(answer[:, 1])) and np.all(np.isfinite(answer[:, 2]))
    assert math.isnan(co2_state.pressure_bar(math.nan, 20.0))


def test_density_scalar_array_and_nan():
    assert type(co2_state.density_kg_m3(1, 20)) is float
    answer = co2_state.density_kg_m3(np.array([1.0, 30.0, math.nan]), np.array([[20.0], [35.0]]))
    assert answer.shape == (2, 3)
    assert answer[0, 1] == co2_state.density_kg_m3(30.0, 20.0)
    assert np.all(np.isnan(answer[:, 2]))
    assert co2_state.density_kg_m3(0.0, 20.0) == 0.0


@pytest.mark.parametrize("t", [-20.0, 10.0, 20.0, 28.0, 30.9, 31.0, 35.0, 60.0])
@pytest.mark.parametrize("p", [1.0, 10.0, 40.0, 73.0, 120.0, 250.0])
def test_density_is_the_inverse_of_pressure(p, t):
    rho = co2_state.density_kg_m3(p, t)
    assert co2_state.pressure_bar(rho, t) == pytest.approx(p, rel=2e-6)


@pytest.mark.parametrize("t", [5.0, 20.0, 28.0, 30.5])
def test_the_saturation_line_has_gas_below_and_liquid_above(t):
    at = co2_fluid.saturation_pressure_bar(t)
    for below in (1e-9, 1e-6, 1e-4):
        gas = co2_state.density_kg_m3(at * (1.0 - below), t)
        assert gas == pytest.approx(co2_fluid.vapour_density_kg_m3(t), rel=6e-3)
    for above in (0.0, 1e-9, 1e-6, 1e-4):
        liquid = co2_state.density_kg_m3(at * (1.0 + above), t)
        assert liquid == pytest.approx(co2_fluid.liquid_density_kg_m3(t), rel=3e-3)


def test_pressure_has_no_step_where_a_phase_ends():
    t = 20.0
    for edge in (co2_fluid.vapour_density_kg_m3(t), co2_fluid.liquid_density_kg_m3(t)):
        below, above = co2_state.pressure_bar(np.array([edge - 1e-3, edge + 1e-3]), t)
        assert below == pytest.approx(above, rel=1e-4)
    at = co2_fluid.saturation_pressure_bar(t)
    assert co2_state.pressure_bar(0.95 * co2_fluid.vapour_density_kg_m3(t), t) < 0.995 * at
    assert co2_state.pressure_bar(1.02 * co2_fluid.liquid_density_kg_m3(t), t) > 1.05 * at


def test_thin_gas_agrees_with_the_full_equation():
    p, t = np.array([0.1, 1.0, 5.0, 10.0, 15.0]), np.array([[0.0], [20.0], [40.0], [60.0]])
    full = co2_state.density_kg_m3(p, t)
    np.testing.assert_allclose(co2_fluid.thin_gas_density_kg_m3(p, t), full, rtol=1e-4)


@pytest.mark.parametrize(
    ("law", "args", "said"),
    [
        (co2_state.pressure_bar, (100.0, -60.0), "-60 °C; accepted: -56.558 to 150 °C"),
        (co2_state.pressure_bar, (100.0, 151.0), "151 °C"),
        (co2_state.pressure_bar, ([10.0, -1.0], 20.0), "-1 kg/m³; accepted: 0 to 1180 kg/m³"),
        (co2_state.pressure_bar, (1200.0, 20.0), "1200 kg/m³"),
        (co2_state.density_kg_m3, (-0.1, 20.0), "-0.1 bar; accepted: 0 to 1000 bar"),
        (co2_state.density_kg_m3, (1.0, 500.0), "500 °C"),
    ],
)
def test_refused(law, args, said):
    with pytest.raises(ValueError, match=said):
        law(*args)


def test_threads_do_not_disturb_each_other():
    """A CoolProp state is changed by every question, so two threads must not share one."""
    pressures = np.linspace(1.0, 50.0, 200)
    alone = [co2_state.density_kg_m3(p, 20.0) for p in pressures]
    with ThreadPoolExecutor(4) as pool:
        together = list(pool.map(lambda p: co2_state.density_kg_m3(p, 20.0), pressures))
        kept = set(pool.map(lambda _: id(co2_state._state()), range(64)))
    assert together == alone
    assert id(co2_state._state()) not in kept


def test_nothing_loads_coolprop_before_it_is_needed():
    code = (
        "import sys; from leafgill.science import cylinder, surge, generators, air, hose\n"
        "cylinder.saturation_pressure_bar(20.0); cylinder.last_liquid_kg(3.34, 20.0)\n"
        "cylinder.gas_volume_l(1.0, 20.0); cylinder.cylinder_pressure_bar(2.0, 3.34, 20.0)\n"
        "air.room_co2_ppm_after_release(2.0, 30.0, 20.0); air.room_co2_ppm(1.0, 30.0, 0.5)\n"
        "assert not any(name.startswith('CoolProp') for name in sys.modules)\n"
        "assert 'periodictable' not in sys.modules\n"
    )
    subprocess.run([sys.executable, "-c", code], check=True)
