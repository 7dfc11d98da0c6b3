"""What must hold of the tank whatever its figures: balance, order, limits, convergence."""

import math
from datetime import time

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from leafgill.science import carbonate
from leafgill.science import carbonate_kernel as kernel
from leafgill.science.acid_kernel import hydrogen_beside_acid
from leafgill.science.constants import CO2_G_MOL
from leafgill.science.gases import (
    co2_equilibrium_mg_l,
    o2_saturation_mg_l,
    o2_to_co2_exchange_ratio,
)
from leafgill.tank.model import THETA, exchange_now_per_h, growth, relaxed, simulate
from leafgill.tank.timeline import WaterChange
from leafgill.tank.window import Window

HOUR = 3600.0
DAY = 86400.0
NIGHT_AIR = ((0.0, Window(time(20), time(7))),)
TWO_CHANGES = (WaterChange(0.6 * DAY, 0.3), WaterChange(2.4 * DAY, 0.5))
NEVER = ((0.0, None),)

figures = settings(deadline=None, max_examples=60)
tanks = st.fixed_dictionaries(
    {
        "exchange_per_h": st.floats(0.02, 0.6),
        "exchange_air_per_h": st.floats(0.0, 2.0),
        "exchange_trend_per_day": st.floats(-0.05, 0.05),
        "gain_mg_l": st.floats(1e-4, 6e-3),
        "gain_trend_per_day": st.floats(-0.1, 0.1),
        "line_lag_h": st.floats(0.0, 0.7),
        "uptake_mg_l_h": st.floats(0.0, 6.0),
        "uptake_trend_per_day": st.floats(-0.1, 0.1),
        "uptake_decline": st.floats(0.0, 1.0),
        "half_saturation_mg_l": st.floats(0.5, 15.0),
        "respiration_mg_l_h": st.floats(0.05, 2.0),
        "room_cos": st.floats(-0.3, 0.3),
        "alkalinity_meq_l": st.floats(0.3, 4.0),
        "acid_pka": st.floats(4.0, 7.5),
        "alkalinity_trend_per_day": st.floats(-0.03, 0.03),
        "co2_start_mg_l": st.floats(0.5, 40.0),
        "o2_start_mg_l": st.floats(2.0, 10.0),
        "shelter_share": st.sampled_from([0.0, 0.05, 0.3, 0.6]),
        "mixing_per_h": st.floats(0.1, 8.0),
    }
)


@figures
@given(tanks, st.floats(0.0, 0.5), st.floats(0.3, 4.0), st.sampled_from([1, 10, 30]))
def test_carbon_that_came_and_went_is_carbon_that_is_there(
    draws, days, tank, acid_share, new_alkalinity, step_min
):
    tank["acid_meq_l"] = acid_share * tank["alkalinity_meq_l"]
    tank["co2_far_start_mg_l"] = 0.5 * tank["co2_start_mg_l"]
    course = simulate(
        days(3, step_min, air=NIGHT_AIR, changes=TWO_CHANGES),
        draws(**tank, new_alkalinity=[new_alkalinity, 1.0]),
    )
    gained = course.dic_mmol_l[0, 1] - course.dic_mmol_l[0, 0]
    turned_over = np.abs(course.fluxes_mmol_l[0]).sum()
    assert gained == pytest.approx(course.fluxes_mmol_l[0].sum(), abs=1e-9 * max(turned_over, 1.0))
    assert (course.o2_min_mg_l() >= 0.0).all()
    assert np.isfinite(course.ph).all() and (course.co2_mean_mg_l() > 0.0).all()


def test_balance_says_what_each_flux_is(draws, days):
    forcing = days(1, 10, changes=(WaterChange(12 * HOUR, 0.4),))
    tank = draws(new_co2_mg_l=30.0)
    gas, exchange, breath, uptake, change = simulate(forcing, tank).fluxes_mmol_l[0]
    # Eight hours of gas at one bubble a second; a day's breath: by hand.
    assert gas == pytest.approx(1.1e-3 * 3600 * 8 / CO2_G_MOL, rel=1e-12)
    assert breath == pytest.approx(0.4 * 24 / CO2_G_MOL, rel=1e-12)
    assert exchange < 0.0
    # Nine hours of light, losing 30 % of its strength evenly: at most 85 % of nine times uptake.
    assert -1.5 * 9 * 0.85 / CO2_G_MOL < uptake < 0.0
    # New water of less alkalinity (1.0 for 1.4) takes bicarbonate away, more CO2 or not.
    assert -0.4 * 0.4 < change < 0.4 * 30.0 / CO2_G_MOL


@figures
@given(tanks, st.lists(st.floats(0.05, 6.0), min_size=2, max_size=5, unique=True))
def test_more_bubbles_never_mean_less_co2(draws, days, tank, rates):
    course = simulate(days(2, 10), draws(**tank, flow=np.sort(rates)[:, None]))
    later = course.co2_mean_mg_l()
    assert (np.diff(later, axis=0) >= -1e-9 * later[1:]).all()
    # By 16:00 of the second day the gas has been on for hours.
    assert (np.diff(later[:, 40 * 6]) > 0.0).all()


@figures
@given(st.floats(0.03, 0.5), st.floats(1.1, 3.0), st.sampled_from([0.0, 0.02, 0.2, 0.6]))
def test_more_exchange_lowers_the_co2_of_a_lit_and_gassed_tank(draws, days, exchange, factor, far):
    tank = draws(exchange_per_h=[exchange, factor * exchange], flow=3.0, shelter_share=far)
    little, much = simulate(days(2, 10), tank).co2_mean_mg_l()
    lit = slice(33 * 6, 40 * 6 + 1)
    assert (much[lit] < little[lit]).all()


@figures
@given(st.floats(0.1, 1.0), st.floats(0.05, 2.0), st.floats(20.0, 30.0))
def test_in_the_dark_without_gas_co2_comes_to_rest_at_the_room_and_breath(
    draws, days, exchange, respiration, temperature
):
    forcing = days(30, 30, gas=NEVER, light=NEVER, temperature=((0.0, temperature),))
    tank = draws(
        exchange_per_h=exchange, respiration_mg_l_h=respiration, room_cos=0.0, room_sin=0.0
    )
    course = simulate(forcing, tank)
    degrees = forcing.temperature_c[0]
    pull = exchange * THETA ** (degrees - 20.0)
    rest = co2_equilibrium_mg_l(700.0, degrees) + respiration / pull
    assert course.co2_mg_l[0, -1] == pytest.approx(rest, rel=1e-6)
    # pH and CO2 stand to each other as the equilibrium has it.
    ph = carbonate.ph(rest, 1.4, degrees, gh_dgh=6.0, extra_salt_mmol_l=0.5)
    assert course.ph[0, -1] == pytest.approx(ph, abs=1e-6)


def test_gas_arrives_when_the_hose_is_full(draws, days):
    tank = draws(line_lag_h=[0.0, 0.5, 0.51, 20.0])
    forcing = days(1, 1)
    course = simulate(forcing, tank)
    here = course.co2_mg_l
    opened = 8 * 60
    # With a lag of half an hour the first 30 minutes go as if there were no gas at all.
    np.testing.assert_array_equal(here[1, : opened + 31], here[3, : opened + 31])
    assert here[1, opened + 31] > here[3, opened + 31]
    assert here[0, opened + 1] > here[3, opened + 1]
    gas_in = course.fluxes_mmol_l[:, 0]
    np.testing.assert_allclose(gas_in / gas_in[0], [1.0, 7.5 / 8, 7.49 / 8, 0.0], rtol=1e-9)


@figures
@given(tanks)
def test_oxygen_is_never_less_than_none(draws, days, tank):
    tank |= {"respiration_mg_l_h": 8.0, "uptake_mg_l_h": 0.0, "exchange_per_h": 0.05}
    course = simulate(days(1, 10, light=NEVER), draws(**tank))
    assert (course.o2_min_mg_l() >= 0.0).all()
    assert course.o2_min_mg_l()[0, -1] < 0.5


def test_oxygen_rests_where_air_meets_breath(draws, days):
    course = simulate(days(20, 10, light=NEVER, gas=NEVER), draws(exchange_per_h=0.5))
    pull = 0.5 * THETA**5 * o2_to_co2_exchange_ratio(25.0)
    used = 0.4 / 0.9 * 31.9988 / CO2_G_MOL
    rest = o2_saturation_mg_l(25.0) - used / pull
    assert course.o2_mg_l[0, -1] == pytest.approx(rest, rel=1e-9)


def test_tired_plants_and_half_hungry_ones_fix_what_the_law_says(draws, days):
    # CO2 held at 6 mg/L (the half saturation) by a fierce exchange: uptake is half of full.
    held = 6.0 / co2_equilibrium_mg_l(1.0, 25.0)
    tank = draws(
        exchange_per_h=300.0, room_co2_ppm=held, room_cos=0.0, room_sin=0.0, flow=0.0,
        uptake_decline=[0.0, 0.5], co2_start_mg_l=6.0,
    )  # fmt: skip
    fixed = -simulate(days(1, 1), tank).fluxes_mmol_l[:, 3] * CO2_G_MOL
    np.testing.assert_allclose(fixed, [9 * 0.75, 9 * 0.75 * 0.75], rtol=1e-3)


def test_water_change_mixes_the_two_waters(draws, days):
    forcing = days(1, 1, gas=NEVER, light=NEVER, changes=(WaterChange(12 * HOUR, 0.25),))
    tank = draws(
        exchange_per_h=1e-9, respiration_mg_l_h=0.0, co2_start_mg_l=20.0, new_alkalinity=3.0,
        o2_start_mg_l=4.0,
    )  # fmt: skip
    course = simulate(forcing, tank)
    salts = {"gh_dgh": 6.0, "extra_salt_mmol_l": 0.5}
    old = carbonate.equilibrium(
        co2_mg_l=20.0, alkalinity_meq_l=1.4, temperature_c=25.0, **salts
    ).dic_mmol_l
    new = carbonate.equilibrium(
        co2_mg_l=2.0, alkalinity_meq_l=3.0, temperature_c=25.0, **salts
    ).dic_mmol_l
    assert course.alkalinity_meq_l[0, -1] == pytest.approx(0.75 * 1.4 + 0.25 * 3.0, rel=1e-12)
    # The new water's DIC is reckoned with the tank's activity: 0.5 % of it at most.
    assert course.dic_mmol_l[0, 1] == pytest.approx(0.75 * old + 0.25 * new, rel=3e-3)
    o2 = course.o2_mg_l[0, 12 * 60 - 1 : 12 * 60 + 2]
    assert o2[1] == pytest.approx(o2[0], rel=1e-3)


def test_water_change_thins_the_acid(draws, days):
    forcing = days(1, 10, gas=NEVER, light=NEVER, changes=(WaterChange(12 * HOUR, 0.4),))
    tank = draws(
        exchange_per_h=1e-9, respiration_mg_l_h=0.0, acid_meq_l=0.5, acid_pka=6.5, gh_dgh=0.0,
        new_alkalinity=1.4, co2_start_mg_l=15.0,
    )  # fmt: skip
    course = simulate(forcing, tank)
    strength = kernel.ionic_strength_mol_l(1.4, 0.0, 0.5)
    k1, k2, kw, gamma = kernel.conditional_constants(25.0, strength, 0.0)
    ka = 10.0 ** (3.0 - 6.5) / gamma**2
    for edge, acid, dic in ((0, 0.5, 0), (-1, 0.5 * 0.6, 1)):
        carbon = course.dic_mmol_l[0, dic]
        h = hydrogen_beside_acid(carbon, 1.4, k1, k2, kw, acid, ka, 0.0)
        assert course.ph[0, edge] == pytest.approx(-math.log10(gamma * h * 1e-3), abs=1e-9)


@pytest.mark.parametrize(
    "zones", [{}, {"shelter_share": 0.35, "mixing_per_h": 0.4}, {"shelter_share": 0.35}]
)
def test_halved_steps_quarter_the_error(draws, days, zones):
    tank = draws(flow=2.0, **zones)
    minutes = (60, 30, 15, 1)
    hourly = [simulate(days(1, s), tank).co2_mean_mg_l()[0, :: 60 // s] for s in minutes]
    errors = [np.sqrt(np.mean((answer - hourly[-1]) ** 2)) for answer in hourly[:-1]]
    assert errors[0] < 0.05
    assert 1.7 < math.log2(errors[0] / errors[1]) < 2.4
    assert 1.7 < math.log2(errors[1] / errors[2]) < 2.4


@figures
@given(tanks)
def test_a_vanishing_shelter_is_no_shelter(draws, days, tank):
    tank["shelter_share"] = [0.0, 1e-9]
    # As full a mixing as that of a whole tank: the shelter is the open water's shadow.
    course = simulate(days(2, 10), draws(**tank))
    np.testing.assert_allclose(course.co2_mg_l[1], course.co2_mg_l[0], rtol=1e-5)
    np.testing.assert_allclose(course.o2_mg_l[1], course.o2_mg_l[0], rtol=1e-5, atol=1e-6)


def test_gas_fades_with_the_gain(draws, days):
    """Two days with the gain falling by a tenth a day bring what its course says, no more."""
    even = simulate(days(2, 10), draws(flow=2.0))
    fading = simulate(days(2, 10), draws(flow=2.0, gain_trend_per_day=-0.1))
    brought = fading.fluxes_mmol_l[0, 0] / even.fluxes_mmol_l[0, 0]
    # The same hours of gas on both days: about exp(-0.05) of it on the first, exp(-0.15) then.
    assert brought == pytest.approx(0.5 * (np.exp(-0.05) + np.exp(-0.15)), abs=0.01)


def test_fierce_mixing_makes_two_zones_one(draws, days):
    # At uptake that does not depend on the place, a well mixed tank is one, however parted.
    course = simulate(days(2, 1), draws(shelter_share=[0.0, 0.4], mixing_per_h=500.0, flow=2.0))
    np.testing.assert_allclose(course.co2_mg_l[1], course.co2_mg_l[0], rtol=3e-3)
    np.testing.assert_allclose(course.co2_far_mg_l[1], course.co2_mg_l[1], rtol=1e-2)


def test_shelter_has_less_co2_by_day_and_less_oxygen_by_night(draws, days):
    course = simulate(days(2, 10), draws(shelter_share=0.4, mixing_per_h=0.5, flow=3.0))
    noon, before_dawn = 37 * 6, 31 * 6
    assert course.co2_far_mg_l[0, noon] < course.co2_mg_l[0, noon] - 1.0
    assert course.o2_far_mg_l[0, before_dawn] < course.o2_mg_l[0, before_dawn] - 0.05


def test_a_forecast_goes_on_where_the_diary_ends(draws, days):
    whole = days(4, 10)
    half = whole.steps // 2
    early, late = (
        whole._replace(
            **{name: np.ascontiguousarray(v[part]) for name, v in whole._asdict().items()}
        )
        for part in (slice(None, half), slice(half, None))
    )
    tank = draws(
        exchange_trend_per_day=0.04,
        gain_trend_per_day=-0.03,
        uptake_trend_per_day=0.05,
        alkalinity_trend_per_day=-0.01,
    )
    through = simulate(whole, tank)
    first = simulate(early, tank)
    then = tank._replace(co2_start_mg_l=first.co2_mg_l[:, -1], o2_start_mg_l=first.o2_mg_l[:, -1])
    second = simulate(late, then, start_h=48.0)
    # Trends are looked at every two hours, on a clock that starts with the course: alkalinity may
    # lie 0.1 % apart, which is near 0.05 mg/L of CO2 until the next look.
    np.testing.assert_allclose(second.co2_mg_l, through.co2_mg_l[:, half:], atol=0.1)
    np.testing.assert_allclose(
        second.alkalinity_meq_l, through.alkalinity_meq_l[:, half:], rtol=1e-3
    )


def test_trends_are_held_within_a_factor_e():
    assert growth(0.1, 24.0) == pytest.approx(math.exp(0.1))
    assert growth(5.0, 240.0) == pytest.approx(math.e)
    assert growth(-5.0, 240.0) == pytest.approx(1.0 / math.e)


@figures
@given(st.floats(-5.0, 5.0), st.floats(1e-9, 20.0), st.floats(1e-3, 1.0))
def test_a_step_of_relaxation_is_the_exact_one(rate, pull, dt):
    change, area = relaxed(rate, pull, dt)
    z = pull * dt
    if z > 1e-4:
        by_hand = rate / pull * (1.0 - math.exp(-z))
        assert change == pytest.approx(by_hand, rel=1e-9, abs=1e-12)
        assert area == pytest.approx((rate * dt - by_hand) / pull, rel=1e-6, abs=1e-12)
    else:
        assert change == pytest.approx(rate * dt, rel=1e-4)
        assert area == pytest.approx(0.5 * rate * dt * dt, rel=1e-3)


def test_exchange_of_the_moment(draws):
    tank = draws(exchange_per_h=[0.1, 0.2])
    np.testing.assert_allclose(exchange_now_per_h(tank, 20.0, 0.5), [0.4, 0.5])
    np.testing.assert_allclose(exchange_now_per_h(tank, 25.0, 0.0) / [0.1, 0.2], 1.024**5)


def test_draws_do_not_touch_each_other(draws, days):
    many = draws(exchange_per_h=np.linspace(0.05, 0.5, 9), shelter_share=np.linspace(0.0, 0.5, 9))
    course = simulate(days(2, 10), many)
    alone = simulate(days(2, 10), many.take(np.array([6])))
    np.testing.assert_array_equal(alone.co2_mg_l[0], course.co2_mg_l[6])
    np.testing.assert_array_equal(alone.fluxes_mmol_l[0], course.fluxes_mmol_l[6])
