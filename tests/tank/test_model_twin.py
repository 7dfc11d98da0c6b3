"""The kernel against a twin: the same tank as a differential equation, solved by SciPy's LSODA.

The right-hand side is written here anew, from CO2's public equilibrium and the laws of the gases,
and integrated piece by piece between the hours at which gas or light switch.
"""

import math
from itertools import pairwise

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from leafgill.science import carbonate
from leafgill.science.gases import (
    co2_equilibrium_mg_l,
    o2_saturation_mg_l,
    o2_to_co2_exchange_ratio,
)
from leafgill.tank.model import simulate

CO2, O2 = 44.0095, 31.9988
SWITCHES = (0.0, 8.0, 9.0, 16.0, 18.0, 24.0)  # gas 08-16, light 09-18
DEGREES = 25.0


def field(tank):
    """Return a tank's figure by name, of its only draw."""
    return lambda name: float(np.ravel(getattr(tank, name))[0])


def slopes(hour, state, tank, gas_on, light_on):
    """d/dt of (DIC near, far [mmol/L], O2 near, far [mg/L]) an hour."""
    of = field(tank)
    dic, o2 = state[:2], state[2:]
    co2 = [
        carbonate.co2_from_dic(
            c, of("alkalinity_meq_l"), DEGREES,
            gh_dgh=of("gh_dgh"), extra_salt_mmol_l=of("extra_salt_mmol_l"),
        )
        for c in dic
    ]  # fmt: skip
    clock = 2.0 * math.pi * (hour % 24.0) / 24.0
    swing = 1.0 + of("room_cos") * math.cos(clock) + of("room_sin") * math.sin(clock)
    exchange = of("exchange_per_h") * 1.024 ** (DEGREES - 20.0)
    gas = of("gain_mg_l") * of("flow") * 3600.0 if gas_on else 0.0
    surface = exchange * (
        co2_equilibrium_mg_l(max(of("room_co2_ppm") * swing, 400.0), DEGREES) - co2[0]
    )
    air = exchange * o2_to_co2_exchange_ratio(DEGREES) * (o2_saturation_mg_l(DEGREES) - o2[0])
    tired = 1.0 - of("uptake_decline") * (hour % 24.0 - 9.0) / 9.0
    full = of("uptake_mg_l_h") * tired if light_on else 0.0
    fixed = [full * c / (c + of("half_saturation_mg_l")) for c in co2]
    breath = of("respiration_mg_l_h")
    given = [
        (f * of("photosynthetic_quotient") - breath / of("respiratory_quotient")) * O2 / CO2
        for f in fixed
    ]
    far = of("shelter_share")
    near = 1.0 - far
    alone = (
        (gas + surface) / (near * CO2) + (breath - fixed[0]) / CO2,
        air / near + given[0],
    )
    if not far:
        return [alone[0], 0.0, alone[1], 0.0]
    flow = of("mixing_per_h") * (dic[1] - dic[0])
    o2_flow = of("mixing_per_h") * (o2[1] - o2[0])
    return [
        alone[0] + flow / near,
        (breath - fixed[1]) / CO2 - flow / far,
        alone[1] + o2_flow / near,
        given[1] - o2_flow / far,
    ]


def twin(tank, days, step_h):
    """Return (CO2 near, CO2 far, O2 near, O2 far) at the steps' edges."""
    of = field(tank)
    salts = {"gh_dgh": of("gh_dgh"), "extra_salt_mmol_l": of("extra_salt_mmol_l")}
    alkalinity = of("alkalinity_meq_l")
    start = carbonate.equilibrium(
        co2_mg_l=of("co2_start_mg_l"), alkalinity_meq_l=alkalinity, temperature_c=DEGREES, **salts
    ).dic_mmol_l
    state = np.array([start, start, of("o2_start_mg_l"), of("o2_start_mg_l")])
    at = np.round(np.arange(round(days * 24 / step_h) + 1) * step_h, 9)
    whole = np.empty((4, at.size))
    for day in range(days):
        for low, high in pairwise(SWITCHES):
            first, last = 24.0 * day + low, 24.0 * day + high
            inside = (at >= first) & (at <= last)
            solved = solve_ivp(
                slopes, (first, last), state, method="LSODA", t_eval=at[inside],
                rtol=1e-9, atol=1e-11, args=(tank, 8.0 <= low < 16.0, 9.0 <= low < 18.0),
            )  # fmt: skip
            assert solved.success
            whole[:, inside] = solved.y
            state = solved.y[:, -1]
    co2 = carbonate.co2_from_dic(whole[:2], alkalinity, DEGREES, **salts)
    return co2[0], co2[1], whole[2], whole[3]


@pytest.mark.parametrize(
    "tank",
    [
        {"flow": 2.0},
        {"flow": 5.0, "exchange_per_h": 0.4, "uptake_mg_l_h": 4.0, "alkalinity_meq_l": 0.5},
        {"flow": 1.0, "exchange_per_h": 0.05, "alkalinity_meq_l": 4.0, "half_saturation_mg_l": 1.0},
    ],
)
def test_one_zone_by_the_minute_is_the_differential_equation(draws, days, tank):
    one = draws(**tank)
    course = simulate(days(2, 1), one)
    co2, _, o2, _ = twin(one, 2, 1.0 / 60.0)
    assert np.ptp(co2) > 5.0
    assert np.max(np.abs(course.co2_mg_l[0] - co2)) < 0.01
    assert np.max(np.abs(course.o2_mg_l[0] - o2)) < 0.01


@pytest.mark.parametrize("mixing", [0.4, 3.0])
def test_two_zones_by_ten_minutes_are_the_differential_equation(draws, days, mixing):
    one = draws(flow=3.0, shelter_share=0.35, mixing_per_h=mixing, uptake_mg_l_h=2.5)
    course = simulate(days(2, 10), one)
    near, far, o2_near, o2_far = twin(one, 2, 1.0 / 6.0)
    assert np.max(np.abs(near - far)) > 1.0
    np.testing.assert_allclose(course.co2_mg_l[0], near, rtol=0.02)
    np.testing.assert_allclose(course.co2_far_mg_l[0], far, rtol=0.02)
    np.testing.assert_allclose(course.o2_mg_l[0], o2_near, rtol=0.02)
    np.testing.assert_allclose(course.o2_far_mg_l[0], o2_far, rtol=0.02)
