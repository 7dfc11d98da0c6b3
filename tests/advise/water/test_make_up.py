import numpy as np
import pytest

from leafgill.advise.water.make_up import draws_of, mixed
from leafgill.science import carbonate
from leafgill.science.cited import Range
from leafgill.science.constants import DKH_MEQ_L


def test_draws_have_the_equilibrium_of_their_kh_and_co2(water):
    drawn = draws_of(water(kh=4.0, co2=20.0), 50)
    expected = carbonate.ph(20.0, 4.0 * DKH_MEQ_L, 25.0, gh_dgh=6.0, extra_salt_mmol_l=1.5)
    assert drawn.ph == pytest.approx(expected, abs=1e-3)
    assert drawn.co2_mg_l == pytest.approx(20.0, rel=1e-3)
    assert drawn.kh_dkh == pytest.approx(4.0)


def test_amounts_go_by_their_parts_and_ph_does_not(water):
    tank, tap = (
        draws_of(water(kh=4.0, gh=6.0, co2=35.0, nitrate=20.0), 10),
        draws_of(water(kh=10.0, gh=14.0, co2=2.0, warm=20.0, nitrate=5.0, name="tap"), 10),
    )
    both = mixed(tank, tap, 0.3)
    assert both.kh_dkh == pytest.approx(0.7 * 4.0 + 0.3 * 10.0)
    assert both.gh_dgh == pytest.approx(0.7 * 6.0 + 0.3 * 14.0)
    assert both.temperature_c == pytest.approx(0.7 * 25.0 + 0.3 * 20.0)
    assert both.levels["nitrate"] == pytest.approx(15.5)
    assert both.dic_mmol_l == pytest.approx(0.7 * tank.dic_mmol_l + 0.3 * tap.dic_mmol_l)
    middle = 0.7 * tank.ph + 0.3 * tap.ph
    assert np.abs(both.ph - middle).min() > 0.05
    expected = carbonate.ph_from_dic(
        both.dic_mmol_l, both.alkalinity_meq_l, both.temperature_c, gh_dgh=both.gh_dgh,
        extra_salt_mmol_l=1.5,
    )  # fmt: skip
    assert both.ph == pytest.approx(expected)


def test_none_and_all_of_the_second(water):
    one, other = draws_of(water(kh=3.0), 5), draws_of(water(kh=9.0, name="tap"), 5)
    assert mixed(one, other, 0.0).ph == pytest.approx(one.ph)
    assert mixed(one, other, 1.0).ph == pytest.approx(other.ph)


def test_a_level_that_one_does_not_know_is_not_told(water):
    one, other = draws_of(water(nitrate=5.0, iron=0.1), 5), draws_of(water(nitrate=9.0), 5)
    assert set(mixed(one, other, 0.5).levels) == {"nitrate"}


def test_pure_water_has_a_ph_too(water):
    pure = draws_of(water(kh=0.0, gh=0.0, co2=0.6), 5)
    assert pure.alkalinity_meq_l.max() == 0.0
    assert 5.3 < pure.ph.mean() < 6.1


def test_ranges_become_draws_that_nothing_makes_negative():
    from leafgill.advise.water.make_up import MakeUp

    wide = MakeUp(
        "w", Range(0.1, 0.0, 0.5), Range(0.1, 0.0, 0.4), Range(3.0, 1.0, 9.0),
        Range(25.0, 24.0, 26.0), {"nitrate": Range(1.0, 0.0, 5.0)},
    )  # fmt: skip
    drawn = draws_of(wide, 400)
    assert min(drawn.alkalinity_meq_l.min(), drawn.gh_dgh.min()) >= 0.0
    assert drawn.levels["nitrate"].min() >= 0.0
    low, high = np.quantile(drawn.co2_mg_l, [0.05, 0.95])
    assert (low, high) == pytest.approx((1.0, 9.0), rel=0.03)
    assert wide.origin("kh_dkh") == "given"
