import numpy as np
import pytest

from leafgill.science.cartridge import CARTRIDGE_SIZES_G, cartridge_course, cartridge_surge
from leafgill.science.gas_course import given_g


def test_nearly_all_of_it_comes():
    course = cartridge_course(95.0, g_per_day=1.0)
    assert course.source == "cartridge" and course.shuts_at_night
    assert 93.5 < course.grams.value < 95.0
    given = given_g(course.times_d, course.rate_g_per_day.value)[-1]
    assert given == pytest.approx(course.grams.value, rel=3e-3)


def test_the_surge_makes_it_shorter_than_its_mass():
    course = cartridge_course(95.0, g_per_day=1.0)
    # 95 % of the gas at a steady rate would be 90 days
    assert course.days.low < course.days.value < 89.0
    assert course.rate_at(1.0) == pytest.approx((1.0, 1.0, 1.0))
    assert course.rate_at(85.0).high > 1.5


def test_days_go_with_the_rate_and_the_size():
    one, two = (cartridge_course(95.0, g_per_day=g).days.value for g in (1.0, 2.0))
    assert one / two == pytest.approx(2.0, rel=1e-6)
    days = [cartridge_course(size, g_per_day=1.0).days.value for size in CARTRIDGE_SIZES_G]
    np.testing.assert_allclose(np.array(days) / CARTRIDGE_SIZES_G, days[0] / 12.0, rtol=1e-6)


def test_it_is_a_cylinder_filled_to_three_quarters():
    end = cartridge_surge(95.0, temperature_c=20.0)
    assert end.last_liquid_g == pytest.approx(95.0 * 0.1942 / 0.75, rel=1e-3)
    # full of liquid above 22.1 °C, and then over the saturation pressure (64.3 bar at 25 °C)
    assert cartridge_surge(95.0, temperature_c=25.0).inlet_bar[0] == pytest.approx(71.7, abs=0.1)


def test_two_stages_keep_it_steady():
    one, two = (
        cartridge_course(95.0, g_per_day=1.0, regulator=kind).rate_g_per_day.high.max()
        for kind in ("single-stage", "two-stage")
    )
    assert two < 1.4 < one


@pytest.mark.parametrize(
    ("charge", "rate", "said"),
    [(0.0, 1.0, "a charge of 0 g"), (95.0, 0.0, "a flow of 0 g/day")],
)
def test_refused(charge, rate, said):
    with pytest.raises(ValueError, match=said):
        cartridge_course(charge, g_per_day=rate)
