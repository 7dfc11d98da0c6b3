"""What the end of a cylinder does to a tank through each kind of regulator."""

import numpy as np
import pytest

from leafgill.advise.rig.diffuse import way_of
from leafgill.advise.rig.regulators import Vessel, advised, regulator_of, set_pressure
from leafgill.advise.rig.use import use_of
from leafgill.science.surge import surge
from leafgill.tank.limits import limits_of

VESSEL = Vessel("2 kg steel", 2.0, 2.67)


@pytest.fixture(scope="module")
def ends(need, described):
    def make(kind, working_bar=2.0, vessel=VESSEL, **sections):
        made = need(151.0, **sections)
        way = way_of(made, "disc", 2)
        limits = limits_of(described(151.0, **sections))
        return regulator_of(kind, made, use_of(made, way), way, vessel, working_bar, limits)

    return make


def test_a_single_stage_gives_more_at_the_end_and_a_two_stage_hardly(ends):
    single, double = ends("single-stage"), ends("two-stage")
    assert single.flow.value > 1.3
    assert double.flow.value < 1.15
    assert single.peak.value > double.peak.value
    assert single.over.value > double.over.value


def test_the_flow_is_that_of_the_cylinders_end(ends, need):
    made = need(151.0)
    way = way_of(made, "disc", 2)
    end = surge(2.67, 20.0, charge_kg=2.0, set_gauge_bar=2.0,
                back_gauge_bar=way.pressure_bar.value)  # fmt: skip
    flow = ends("single-stage").flow
    assert (flow.value, flow.low, flow.high) == pytest.approx(
        (end.middle.most, end.low.most, end.high.most)
    )


def test_a_higher_working_pressure_feels_it_less(ends):
    assert ends("single-stage", 4.0).flow.value < ends("single-stage", 1.5).flow.value


def test_its_peak_is_the_day_run_on_with_that_much_more(ends, need):
    made = need(151.0)
    one = ends("single-stage")
    usual = np.median(made.cycle.co2_max.max(axis=1))
    # CO2 above the air's rises about as the flow does
    assert one.peak.value == pytest.approx(usual * one.flow.value, rel=0.2)


def test_a_large_cylinder_climbs_for_longer(ends):
    small = ends("single-stage", vessel=Vessel("0.5 kg", 0.5, 0.67)).climb_days
    large = ends("single-stage", vessel=Vessel("10 kg", 10.0, 13.3)).climb_days
    assert large.value > 10.0 * small.value


def test_the_gauge_to_change_at_is_below_that_of_a_full_one(ends):
    change = ends("single-stage").change_gauge
    assert 20.0 < change.value < 56.3
    assert ends("two-stage").change_gauge is None


def test_what_is_bearable_is_what_advice_allows_itself(ends):
    single = ends("single-stage")
    assert single.bearable == (single.over.value <= 0.10 and single.danger.value <= 0.01)
    hardy = ends("single-stage", livestock={"kinds": "none"}, target={"co2_mg_l": 10})
    assert hardy.bearable


def test_two_stage_is_advised_where_one_stage_would_harm(ends, described):
    limits = limits_of(described(151.0))
    kind, why = advised(ends("single-stage"), ends("two-stage"), limits, VESSEL)
    assert kind == "two-stage"
    assert why.startswith("left alone at the end of 2 kg steel, a single-stage one would pass")
    plants = {"livestock": {"kinds": "none"}, "target": {"co2_mg_l": 10}}
    kind, why = advised(
        ends("single-stage", **plants), ends("two-stage", **plants),
        limits_of(described(151.0, **plants)), VESSEL,
    )  # fmt: skip
    assert kind == "single-stage"
    assert "change it in time all the same" in why


def test_the_pressure_to_set_leaves_room_or_is_the_keepers_own(need):
    made = need(151.0)
    way = way_of(made, "disc")
    working = set_pressure(made, way)
    assert way.pressure.high + 0.5 <= working.value < way.pressure.high + 0.61
    assert set_pressure(made, way_of(made, "reactor")).value == 1.0
    own = need(151.0, rig={"working_pressure_bar": 1.8})
    assert set_pressure(own, way_of(own, "disc")).value == 1.8
