"""The end of the cylinder: who surges, what it does to the tank, when to change."""

import numpy as np
import pytest

from leafgill.advise.supply import supply
from leafgill.advise.supply.guard import PARTS, _Draws, flow_ratio, guard_of
from leafgill.science.regulator import needle_flow_ratio, outlet_gauge_bar


@pytest.fixture(scope="module")
def end(make_world):
    world = make_world(rate=3.2, bubble_mg=0.12, weigh_every=14,
                       rig={"cylinder_tare_kg": 3.6, "working_pressure_bar": 1.5})  # fmt: skip
    return supply(world.tank, world.diary, world.now, room_c=21.0)


def test_the_gauge_before_and_the_mass_when_it_falls(end):
    # Span & Wagner 1996 at 21 °C: 58.65 bar absolute, 202.4 g/L
    assert end.guard.saturation_bar.value == pytest.approx(57.6, abs=0.5)
    water = float(np.median(end.every.state.water_l))
    assert end.guard.last_liquid_g.value == pytest.approx(202.4 * water, rel=0.02)


def test_only_a_single_stage_surges(end):
    single, two = end.guard.kinds["single-stage"], end.guard.kinds["two-stage"]
    assert single.ratio.value > 1.2 and single.ratio.low > 1.05
    assert 1.0 <= two.ratio.low <= two.ratio.high < 1.15
    assert single.worst.peak.mean > two.worst.peak.mean > 0.99 * end.guard.as_set.peak.mean
    assert single.worst.p_over_limit > two.worst.p_over_limit


def test_the_ratio_by_hand(end):
    # one draw's effect: 1.5 bar at 57.6 bar gauge, 1 % of what the inlet has lost by then
    draws = _Draws.of(end.tank, end.belief, end.every)
    ratio = np.median(flow_ratio("single-stage", PARTS[-1], draws))
    outlet = outlet_gauge_bar(1.5, 5.4, 58.6, 0.01)
    back = float(np.median(draws.back_bar))
    ends = [needle_flow_ratio(outlet, 1.5, back, passage=p) for p in ("nozzle", "capillary")]
    assert min(ends) * 0.97 < ratio < max(ends) * 1.03


def test_it_grows_as_the_cylinder_empties(end):
    chances = end.guard.kinds["single-stage"].chances
    assert len(chances) == len(PARTS)
    assert chances[-1] > chances[0]
    medians = np.median(end.guard.kinds["single-stage"].ratios, axis=1)
    assert (np.diff(medians) > 0.0).all()
    assert medians[0] == pytest.approx(1.0, abs=0.01)


def test_when_to_change_is_before_the_chance_is_passed(end):
    risk = end.guard.kinds["single-stage"]
    assert risk.change_part is not None and risk.change_g is not None
    at = PARTS.index(risk.change_part)
    most = max(0.10, end.guard.as_set.p_over_limit + 0.02)
    assert risk.chances[at + 1] > most
    assert at == 0 or risk.chances[at] <= most
    assert risk.change_g.value == pytest.approx(
        risk.change_part * end.guard.last_liquid_g.value, rel=1e-6
    )
    assert risk.change_bar.value < end.guard.saturation_bar.value
    assert end.guard.kinds["two-stage"].change_g is None
    # the tank file names no regulator: it is taken for the one that surges
    assert end.surge is risk
    stock = end.every
    left = np.maximum(stock.left_g - risk.change_part * stock.last_liquid_g, 0.0)
    assert end.change_days.value == pytest.approx(np.median(left / stock.use_g_day), rel=1e-6)


def test_a_two_stage_regulator_may_use_it_up(make_world):
    world = make_world(rate=2.0, bubble_mg=0.12, rig={"regulator": "two-stage"})
    found = supply(world.tank, world.diary, world.now)
    assert found.surge.kind == "two-stage"
    assert found.change_g is None
    assert found.change_days == found.days


def test_a_calm_tank_has_nothing_to_fear(make_world):
    world = make_world(rate=0.3, rig={"regulator": "single-stage"})
    found = supply(world.tank, world.diary, world.now)
    assert found.surge.worst.p_over_limit <= 0.10
    assert found.change_g is None


def test_a_tank_over_its_limit_already_is_not_the_regulators_doing(make_world):
    world = make_world(rate=6.0, bubble_mg=0.2)
    found = supply(world.tank, world.diary, world.now)
    assert found.guard.as_set.p_over_limit > 0.15
    assert found.guard.kinds["two-stage"].change_g is None


def test_without_gas_set_there_is_no_day_to_run(end, make_world):
    world = make_world()
    from leafgill.diary import Diary

    found = supply(world.tank, Diary([], timezone="UTC"), world.now)
    guard = guard_of(found.tank, found.belief, found.every)
    assert guard.as_set is None
    assert guard.kinds["single-stage"].worst is None
    assert guard.kinds["single-stage"].ratio.value > 1.1
