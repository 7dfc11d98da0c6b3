import math

import numpy as np
import pytest

from leafgill.science.cylinder import last_liquid_kg, saturation_pressure_bar
from leafgill.science.surge import surge


def usual(**changed):
    asked = {
        "water_capacity_l": 3.34,
        "temperature_c": 22.0,
        "charge_kg": 2.268,
        "set_gauge_bar": 2.0,
        "back_gauge_bar": 0.2,
        "g_per_day": 10.0,
    } | changed
    return surge(**asked)


def test_nothing_moves_while_there_is_liquid():
    end = usual()
    liquid = end.mass_g > end.last_liquid_g + 1e-6
    assert liquid.sum() > 10
    assert set(end.inlet_bar[liquid]) == {saturation_pressure_bar(22.0)}
    for course in (end.low, end.middle, end.high):
        np.testing.assert_allclose(course.flow_ratio[liquid], 1.0, rtol=1e-14)
        assert set(course.outlet_gauge_bar[liquid]) == {2.0}
    assert end.last_liquid_g == pytest.approx(1e3 * last_liquid_kg(3.34, 22.0))


def test_the_surge_of_a_single_stage_by_hand():
    """The most is where what the regulator wants meets what the cylinder still has."""
    end, full = usual(), saturation_pressure_bar(22.0)
    for course, effect in ((end.low, 0.005), (end.middle, 0.01), (end.high, 0.02)):
        assert course.effect == effect
        # set + e·(full - p) = p - 1.01325
        p = (2.0 + effect * full + 1.01325) / (1.0 + effect)
        outlet = p - 1.01325
        assert course.outlet_gauge_bar.max() == pytest.approx(outlet, abs=0.02)
        up, was, behind = p, 3.01325, 1.21325
        expected = (
            up / was if course.passage == "nozzle" else (up**2 - behind**2) / (was**2 - behind**2)
        )
        assert course.most == pytest.approx(expected, rel=0.015)
    assert 1.0 < end.low.most < end.middle.most < end.high.most


def test_then_it_dies_away():
    end = usual()
    for course in (end.low, end.middle, end.high):
        assert course.flow_ratio[-1] == 0.0
        top = int(course.flow_ratio.argmax())
        assert np.all(np.diff(course.flow_ratio[top:]) <= 1e-12)
        assert course.days[-1] == math.inf


def test_two_stages_hardly_surge():
    one, two = usual(), usual(regulator="two-stage")
    assert two.high.most < 1.15
    assert one.high.most > 1.8
    liquid = two.mass_g > two.last_liquid_g + 1e-6
    np.testing.assert_allclose(two.middle.outlet_gauge_bar[liquid], 2.0, rtol=1e-12)
    assert two.middle.outlet_gauge_bar[two.inlet_bar > 15.0].min() < 2.0


def test_days_are_mass_over_flow():
    end = usual()
    steady = end.mass_g >= end.last_liquid_g
    np.testing.assert_allclose(
        end.middle.days[steady], (2268.0 - end.mass_g[steady]) / 10.0, rtol=1e-6
    )
    # the gas phase again, at a quarter of the flow: four times the days
    slow = usual(g_per_day=2.5)
    flows = np.isfinite(end.middle.days)
    np.testing.assert_allclose(slow.middle.days[flows], 4.0 * end.middle.days[flows], rtol=1e-12)
    # what flows faster is gone sooner
    at = np.argmin(np.abs(end.mass_g - 50.0))
    assert end.high.days[at] < end.middle.days[at] < end.low.days[at]
    assert end.low.days[at] < (2268.0 - end.mass_g[at]) / 10.0
    assert usual(g_per_day=None).middle.days is None


def test_when_to_change_the_cylinder():
    end = usual()
    change = end.change_at_gauge_bar(1.2)
    over = end.high.flow_ratio > 1.2
    assert change + 1.01325 > end.inlet_bar[over].max()
    higher = end.inlet_bar[~over & (end.inlet_bar > end.inlet_bar[over].max())]
    assert change + 1.01325 == pytest.approx(higher.min())
    assert end.change_at_gauge_bar(1.5) < change
    assert end.change_at_gauge_bar(5.0) is None
    assert usual(regulator="two-stage").change_at_gauge_bar(1.2) is None


def test_above_the_critical_temperature_the_pressure_falls_at_once():
    end = usual(temperature_c=33.0)
    assert math.isnan(end.last_liquid_g)
    assert np.all(np.diff(end.inlet_bar) < 0.0)
    assert end.inlet_bar[0] > 80.0
    assert end.high.most > 1.8


def test_a_cylinder_begun_below_its_last_liquid():
    end = usual(charge_kg=0.3)
    assert end.mass_g[0] == 300.0
    assert end.inlet_bar[0] < 50.0
    assert end.high.most < usual().high.most


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"regulator": "none"}, 'a regulator "none"; accepted: single-stage, two-stage'),
        ({"set_gauge_bar": 0.2}, "pass no gas"),
        ({"g_per_day": 0.0}, "0 g a day"),
        ({"charge_kg": 0.0}, "a charge of 0 kg"),
        ({"water_capacity_l": 0.0}, "a water capacity of 0 L"),
    ],
)
def test_refused(changed, said):
    with pytest.raises(ValueError, match=said):
        usual(**changed)


def test_refused_ratio():
    with pytest.raises(ValueError, match="accepted: 1 or more"):
        usual().change_at_gauge_bar(0.9)
