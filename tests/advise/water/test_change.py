from dataclasses import replace

import numpy as np
import pytest

from leafgill.advise.water.animals import MOST_GH_DGH, MOST_KH_DKH
from leafgill.advise.water.change import change_of
from leafgill.errors import InputError
from leafgill.science.ammonia import nh3_mg_l
from leafgill.science.cited import Range

BASE = (
    (0.0, "light_day", "10:00-18:00"),
    (0.0, "gas_day", "09:00-18:00"),
    (1.0, "bubble_rate", 3.0),
)


def sure(value):
    return Range(value, value, value)


@pytest.fixture(scope="module")
def afternoon(make_tank, make_diary, make_belief):
    """A belief at 15:00 with much CO2 in the water."""
    return make_belief(make_tank(), make_diary(*BASE), 7.0, width=0.1, shift={"bubble_mass": 1.0})


def test_what_keeps_its_amount_goes_by_the_parts(afternoon, water):
    new = water(kh=8.0, gh=12.0, co2=3.0, warm=20.0, nitrate=4.0)
    told = change_of(afternoon, afternoon.now, 0.25, new, {"nitrate": sure(24.0)})
    assert told.kh_after.value == pytest.approx(0.75 * told.kh_before.value + 0.25 * 8.0, rel=1e-3)
    assert told.gh_after.value == pytest.approx(0.75 * told.gh_before.value + 0.25 * 12.0, rel=1e-3)
    assert told.warmth.value == pytest.approx(0.75 * 25.0 + 0.25 * 20.0)
    ((before, after),) = told.levels
    assert (before.value, after.value) == pytest.approx((24.0, 19.0))


def test_at_once_and_the_first_minute_of_the_model_agree(afternoon, water):
    """The parts' equilibrium and the tank's kernel are two roads to one number."""
    for part, kh, co2 in ((0.3, 8.0, 3.0), (0.6, 2.0, 10.0), (0.5, 12.0, 25.0)):
        told = change_of(afternoon, afternoon.now, part, water(kh=kh, co2=co2))
        assert told.course.minutes[1] == 5.0
        moved = told.co2_after.value - told.co2_before.value
        seen = told.course.co2.mean[1] - told.course.co2_left.mean[1]
        assert seen == pytest.approx(moved, abs=max(0.12 * abs(moved), 0.35))
        ph = told.ph_after.value - told.ph_before.value
        assert told.course.ph.mean[1] - told.course.ph_left.mean[1] == pytest.approx(ph, abs=0.03)


def test_co2_moves_towards_the_new_waters_and_comes_back(afternoon, water):
    told = change_of(afternoon, afternoon.now, 0.5, water(co2=1.0))
    assert told.co2_after.value < 0.7 * told.co2_before.value
    gap = told.course.co2_left.mean - told.course.co2.mean
    assert gap[1] > gap[6] > gap[-1] >= -0.1
    assert 0.5 < told.back.value <= 8.0


def test_a_small_change_is_back_at_once(afternoon, water):
    told = change_of(afternoon, afternoon.now, 0.01, water(kh=4.0, co2=12.0))
    assert told.back.value == 0.0
    assert told.over.value <= 1.0


def test_gassy_new_water_is_told_against_the_limit(afternoon, water):
    calm = change_of(afternoon, afternoon.now, 0.5, water(co2=2.0))
    gassy = change_of(afternoon, afternoon.now, 0.9, water(kh=4.0, co2=90.0))
    assert gassy.over.value > 0.9 > calm.over.value
    assert gassy.peak.value > 50.0
    assert gassy.limits.co2_mg_l == 30.0


def test_jumps_are_held_to_what_animals_take(afternoon, water):
    same = change_of(afternoon, afternoon.now, 0.5, water(kh=4.0, gh=6.0))
    assert all(strain.passed for strain in same.strains)
    hard = change_of(afternoon, afternoon.now, 0.5, water(kh=14.0, gh=24.0, warm=15.0))
    strains = {strain.name: strain for strain in hard.strains}
    assert not any(strains[name].passed for name in ("warmth", "kh", "gh"))
    assert strains["warmth"].jump.value == pytest.approx(5.0)
    assert strains["warmth"].most_part == pytest.approx(0.5 * 2.0 / 5.0)
    for name, limit in (("kh", MOST_KH_DKH), ("gh", MOST_GH_DGH)):
        part = strains[name].most_part
        again = change_of(afternoon, afternoon.now, part, water(kh=14.0, gh=24.0))
        found = {strain.name: strain for strain in again.strains}[name]
        assert found.jump.high == pytest.approx(limit, rel=1e-6)


def test_less_co2_sets_ammonia_free(afternoon, water):
    """With its CO2 gone the water has a higher pH: free ammonia rises though none was added."""
    new = water(kh=8.0, co2=1.0, ammonia=0.0)
    told = change_of(afternoon, afternoon.now, 0.3, new, {"ammonia": sure(1.0)})
    strain = {one.name: one for one in told.strains}["ammonia"]
    state = nh3_mg_l(0.7, told.ph_after.value, 25.0)
    assert strain.jump.value == pytest.approx(float(state), rel=0.05)
    before = float(nh3_mg_l(1.0, told.ph_before.value, 25.0))
    assert strain.jump.value > before
    assert "less CO2 means a higher pH" in strain.words
    calm = change_of(afternoon, afternoon.now, 0.3, water(co2=60.0, ammonia=0.0),
                     {"ammonia": sure(1.0)})  # fmt: skip
    words = {one.name: one for one in calm.strains}["ammonia"].words
    assert words.startswith("find where the ammonia comes from")


def test_without_a_test_nothing_is_said_of_ammonia(afternoon, water):
    told = change_of(afternoon, afternoon.now, 0.3, water(ammonia=0.0))
    assert [strain.name for strain in told.strains] == ["warmth", "kh", "gh"]


def test_the_acid_of_the_tank_is_no_carbonate(make_tank, make_diary, make_belief, water):
    """KH told is the kit's, which counts the acid; CO2 is worked out from carbonate alone."""
    belief = make_belief(
        make_tank(), make_diary(*BASE), 7.0, width=0.05, shift={"non_carbonate": 1.5}
    )
    told = change_of(belief, belief.now, 0.2, water())
    kit = belief.through("alkalinity_meq_l", np.array([belief.now.timestamp()])) / 0.35665
    assert told.kh_before.value == pytest.approx(float(np.median(kit)), rel=1e-6)
    assert told.co2_before.value == pytest.approx(
        float(np.median(belief.at("co2", belief.now))), rel=1e-3
    )


def test_every_figure_has_its_own_key_and_working(afternoon, water):
    told = change_of(
        afternoon, afternoon.now, 0.4, water(nitrate=5.0, ammonia=0.1),
        {"nitrate": sure(20.0), "ammonia": sure(0.3)}, origins={"nitrate": "diary, 3 March"},
    )  # fmt: skip
    keys = [one.key for one in told.figures]
    assert len(keys) == len(set(keys))
    assert all(one.formula and one.source for one in told.figures)
    nitrate = next(one for one in told.figures if one.key == "before_nitrate_mg_l")
    assert nitrate.inputs[0].origin == "diary, 3 March"


def test_the_start_of_a_series_is_what_is_before(afternoon, water):
    told = change_of(afternoon, afternoon.now, 0.4, water(nitrate=5.0), {"nitrate": sure(20.0)})
    start = told.start_of_series()
    assert set(start) == {"KH", "GH", "nitrate"}
    assert start["KH"].value == told.kh_before.value
    assert start["KH"].low < start["KH"].value < start["KH"].high


def test_a_moment_outside_the_beliefs_days_is_refused(afternoon, water):
    late = afternoon.now + (afternoon.now - afternoon.now.replace(year=2024))
    with pytest.raises(InputError, match="the belief covers"):
        change_of(afternoon, late, 0.4, water())


def test_the_same_belief_says_the_same(afternoon, water):
    one, other = (change_of(afternoon, afternoon.now, 0.4, water()) for _ in range(2))
    assert one.figures == other.figures
    assert replace(one.limits) == other.limits
