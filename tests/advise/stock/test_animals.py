import pytest

from leafgill.advise.stock.animals import copper_limit, dangers, highest_ph
from leafgill.science.ammonia import unionised_share
from leafgill.tank.bottle import bottle_of


def test_nothing_to_say_of_a_bottle_without_copper_and_ammonium(make_tank):
    assert dangers(make_tank(), bottle_of("a: 500 mL, KNO3 30 g"), 10.0, 7.0) == ()


def test_free_ammonia_of_a_dose_is_its_ammonium_by_the_share_at_the_highest_ph(make_tank):
    tank = make_tank()
    bottle = bottle_of("a: 500 mL, (NH4)2SO4 5 g")
    (told,) = dangers(tank, bottle, 10.0, 7.0, 8.0)
    ammonium = 0.1 * 2 * 18.038 / 132.134 / 100.0 * 1e3  # mg/L in 100 L
    share = float(unionised_share(8.0, 25.0))
    assert told.name == "ammonia"
    assert told.at_most.value == pytest.approx(ammonium * 17.031 / 18.038 * share, rel=1e-3)
    assert told.at_most.low < told.at_most.value < told.at_most.high
    assert told.passed == (told.at_most.high <= told.limit)


def test_all_of_ureas_nitrogen_may_become_ammonium(make_tank):
    tank = make_tank()
    (urea,) = dangers(tank, bottle_of("a: 500 mL, urea 5 g"), 10.0, 7.0, 8.0)
    # 0.1 g of urea holds as much nitrogen as 0.1·(2·17.031)/60.056 g of ammonia
    free = 0.1 * 2 * 17.031 / 60.056 * 10.0 * float(unionised_share(8.0, 25.0))
    assert urea.at_most.value == pytest.approx(free, rel=1e-3)


def test_without_a_ph_it_is_the_kh_with_the_gas_off(make_tank):
    soft, hard = make_tank(water={"kh_dkh": 1.0}), make_tank(water={"kh_dkh": 8.0})
    assert highest_ph(soft) < 7.8 < 8.3 < highest_ph(hard)
    bottle = bottle_of("a: 500 mL, (NH4)2SO4 1 g")
    (in_soft,), (in_hard,) = (dangers(tank, bottle, 10.0, 7.0) for tank in (soft, hard))
    assert in_hard.at_most.value > 3.0 * in_soft.at_most.value


def test_shrimp_stand_less(make_tank):
    bottle = bottle_of("a: 500 mL, (NH4)2SO4 5 g, CuSO4.5H2O 0.05 g")
    fish, shrimp = (
        dangers(make_tank(livestock={"kinds": kinds}), bottle, 10.0, 7.0, 7.5)
        for kinds in (["fish"], ["fish", "shrimp"])
    )
    assert [one.name for one in fish] == ["ammonia", "copper"]
    assert shrimp[0].limit < fish[0].limit


def test_copper_builds_up_to_what_the_changes_take(make_tank):
    """Before a change: gain / part; 1 mg a week into 100 L with half changed a week is 20 µg/L."""
    tank = make_tank(water_change={"percent": 50.0, "every_days": 7.0})
    bottle = bottle_of("a: 500 mL, CuSO4.5H2O 0.19647 g")  # 0.05 g of copper
    (told,) = dangers(tank, bottle, 1.429, 7.0)
    gain = 0.05 / 500.0 * 1.429 * 7.0 / 100.0 * 1e6
    assert told.at_most.value == pytest.approx(gain / 0.5, rel=1e-3)
    assert not told.passed
    little = dangers(tank, bottle_of("a: 500 mL, CuSO4.5H2O 0.005 g"), 1.0, 7.0)[0]
    assert little.passed


def test_rarer_changes_leave_more_of_it(make_tank):
    bottle = bottle_of("a: 500 mL, CuSO4.5H2O 0.1 g")
    weekly, monthly = (
        dangers(make_tank(water_change={"percent": 50.0, "every_days": days}), bottle, 1.0, 7.0)[0]
        for days in (7.0, 28.0)
    )
    assert monthly.at_most.value == pytest.approx(4.0 * weekly.at_most.value, rel=0.02)


def test_without_changes_in_the_file_the_usual_ones_are_assumed(make_tank):
    (told,) = dangers(make_tank(), bottle_of("a: 500 mL, CuSO4.5H2O 1 g"), 1.0, 7.0)
    assert {given.origin for given in told.at_most.inputs} >= {"assumed"}


def test_hard_water_stands_more_copper(make_tank):
    soft, soft_said = copper_limit(make_tank(water={"gh_dgh": 2.0}))
    hard, _ = copper_limit(make_tank(water={"gh_dgh": 15.0}))
    assert hard > 4.0 * soft
    assert "GH 2 dGH" in soft_said
    assert "cited from memory" in soft_said
    shrimp, said = copper_limit(make_tank(water={"gh_dgh": 15.0}, livestock={"kinds": ["shrimp"]}))
    assert shrimp == 10.0
    assert said == "common practice, no source"
