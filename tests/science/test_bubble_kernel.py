import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from leafgill.science import bubble_kernel as kernel

# Water at 25 °C with CO2 at 1 atm: density, viscosity, tension, gas density, gas viscosity.
WATER = (997.05, 8.9e-4, 0.07197, 1.8, 1.49e-5)
D_CO2 = 1.917e-9


def test_a_speck_rises_by_stokes_law():
    # u = Δρ·g·d²/(18 µ) where inertia counts for nothing
    d = 5e-6
    stokes = 9.81 * (997.05 - 1.8) * d * d / (18.0 * 8.9e-4)
    assert kernel.rise(d, *WATER, False) == pytest.approx(stokes, rel=1e-3)
    assert kernel.rise(d, *WATER, True) == pytest.approx(stokes, rel=1e-3)


@pytest.mark.parametrize("best", [73.0, 580.0])
def test_the_pieces_of_the_sphere_law_meet(best):
    below = kernel.rigid_sphere_re(best * (1.0 - 1e-9))
    assert kernel.rigid_sphere_re(best * (1.0 + 1e-9)) == pytest.approx(below, rel=0.01)


@given(st.floats(1e-3, 1e7))
def test_a_larger_best_number_is_a_larger_reynolds_number(best):
    assert kernel.rigid_sphere_re(best * 1.1) > kernel.rigid_sphere_re(best)


def test_the_two_curves_of_an_ellipsoid_meet():
    h = kernel._SHAPE_CHANGES
    assert h == pytest.approx(59.3, rel=0.006)
    assert 0.94 * h**0.757 == pytest.approx(3.42 * h**0.441, rel=1e-12)


def test_a_cap_rises_alike_whatever_its_face():
    dirty, clean = (kernel.rise(0.03, *WATER, face) for face in (False, True))
    by_hand = 0.711 * math.sqrt(9.81 * 0.03 * (997.05 - 1.8) / 997.05)
    assert dirty == clean == pytest.approx(by_hand, rel=1e-12)


def test_pure_liquid_at_most_triples_the_rise():
    # The exponent is nothing at log ξ = -0.6383: 1 + 2/(1 + κ).
    peak = 10.0**-0.6383
    assert kernel.pure_liquid_factor(peak, 0.0) == pytest.approx(3.0, rel=1e-12)
    assert kernel.pure_liquid_factor(peak * 4.0, 0.0) < 2.9
    # and an octave off it: (0.30103/(0.2598 + 0.2·0.66273))² = 0.58862
    off = kernel.pure_liquid_factor(peak * 2.0, 0.0)
    assert off == pytest.approx(1.0 + 2.0 * math.exp(-0.58862), rel=1e-4)


def test_the_correlation_for_clean_bubbles_is_held_where_it_overshoots():
    assert kernel.correlated_rise(1.5e-3, *WATER, True) > 0.46
    assert kernel.rise(1.5e-3, *WATER, True) == kernel.CLEAN_LIMIT_M_S
    assert kernel.rise(1e-3, *WATER, True) == kernel.correlated_rise(1e-3, *WATER, True)
    # a large cap may well be faster
    assert kernel.rise(0.05, *WATER, True) > kernel.CLEAN_LIMIT_M_S


@pytest.mark.parametrize(
    ("reynolds", "printed", "tolerance"),
    [
        (1.0, 1.0, 1e-7),
        (kernel._SLOW_UP_TO, 100.0, 1e-4),
        (kernel._FAST_FROM, 2000.0, 1e-7),
    ],
)
def test_the_pieces_of_the_rigid_transfer_meet(reynolds, printed, tolerance):
    schmidt = 465.6

    def sherwood(re):
        return kernel.rigid_sherwood(re, re * schmidt, schmidt ** (1.0 / 3.0))

    assert reynolds == pytest.approx(printed, rel=0.01)
    assert sherwood(reynolds * (1.0 + 1e-9)) == pytest.approx(
        sherwood(reynolds * (1.0 - 1e-9)), rel=tolerance
    )
    assert sherwood(reynolds * 1.1) > sherwood(reynolds)


def test_still_water_leaves_a_sphere_to_diffusion():
    # Sh = 2 at rest
    assert kernel.rigid_transfer(1e-4, 1e-12, *WATER[:2], D_CO2) == pytest.approx(
        2.0 * D_CO2 / 1e-4, rel=1e-3
    )


def test_mobile_transfer_by_hand_in_centimetres_and_seconds():
    # d 0.2 cm, u 36 cm/s, D 1.917e-5 cm²/s: 1.13·√(1.917e-5·36/(0.45 + 0.04)) cm/s
    by_hand = 1.13 * math.sqrt(1.917e-5 * 36.0 / 0.49) * 1e-2
    assert kernel.mobile_transfer(2e-3, 0.36, D_CO2) == pytest.approx(by_hand, rel=1e-12)


@given(st.floats(1e-5, 2e-2))
def test_a_mobile_face_passes_no_less_than_a_stiff_one(d):
    for speed in (0.01, 0.2):
        clean = kernel.transfer(d, speed, *WATER[:2], D_CO2, True)
        assert clean >= kernel.transfer(d, speed, *WATER[:2], D_CO2, False)
    assert kernel.rise(d, *WATER, True) >= kernel.rise(d, *WATER, False)


def test_nan_stays_nan():
    assert math.isnan(kernel.rise(math.nan, *WATER, False))
    assert math.isnan(kernel.transfer(1e-3, math.nan, *WATER[:2], D_CO2, True))
