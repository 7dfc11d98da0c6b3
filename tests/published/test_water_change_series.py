"""A series of water changes against its closed form, and against what keepers reckon by.

The closed form is that of a first-order recurrence (any text on difference equations): c' =
(1-x)(c+g) + x·n has the solution c_k = c* + (c_0 - c*)(1-x)^k. The rules of thumb are common
practice, no source; arithmetic bears them out.
"""

import numpy as np
import pytest

from leafgill.advise.water.habit import habit_of
from leafgill.advise.water.make_up import MakeUp, draws_of, mixed
from leafgill.advise.water.series import after_changes, changes_until, ends_at, step_by_step
from leafgill.science.cited import Range


def sure(value):
    return Range(value, value, value)


def test_halving_each_week_ends_at_twice_what_comes_in_before_a_change():
    """Common practice, no source: half the water a week holds a substance to two weeks' gain."""
    gain = 10.0
    told = step_by_step(0.0, 0.0, 0.5, gain, 60)
    assert told.before[-1] == pytest.approx(2.0 * gain)
    assert ends_at(0.0, 0.5, gain) == pytest.approx(gain)


def test_three_changes_of_a_half_leave_an_eighth():
    assert after_changes(40.0, 0.0, 0.5, 0.0, 3) == pytest.approx(5.0)


def test_many_small_changes_do_less_than_one_large_one():
    """Ten times a tenth leave 0.9^10 = 0.349 of the old water, once all of it none."""
    assert after_changes(1.0, 0.0, 0.1, 0.0, 10) == pytest.approx(0.3487, abs=1e-4)
    assert changes_until(1.0, 0.0, 0.1, 0.1) == 22  # 0.9^22 = 0.0985


def test_ever_smaller_changes_become_the_exponential_of_running_water():
    """n changes of 1/n are exp(-1) in the end: one tank of water run through."""
    left = after_changes(1.0, 0.0, 1e-4, 0.0, 10_000)
    assert left == pytest.approx(np.exp(-1.0), rel=1e-4)


@pytest.mark.parametrize("part", [0.2, 0.45])
def test_the_waters_themselves_mixed_again_and_again_follow_the_closed_form(part):
    """KH, hardness, dissolved carbon and nitrate of drawn waters, mixed six times."""
    tank = draws_of(MakeUp("t", sure(4.0), sure(6.0), sure(20.0), sure(25.0),
                           {"nitrate": sure(40.0)}), 3)  # fmt: skip
    new = draws_of(MakeUp("n", sure(9.0), sure(14.0), sure(3.0), sure(25.0),
                          {"nitrate": sure(5.0)}), 3)  # fmt: skip
    water = tank
    for _ in range(6):
        water = mixed(water, new, part)
    assert water.kh_dkh == pytest.approx(after_changes(4.0, 9.0, part, 0.0, 6))
    assert water.levels["nitrate"] == pytest.approx(after_changes(40.0, 5.0, part, 0.0, 6))
    dic = after_changes(float(tank.dic_mmol_l[0]), float(new.dic_mmol_l[0]), part, 0.0, 6)
    assert water.dic_mmol_l == pytest.approx(dic)


def test_the_series_told_to_the_keeper_is_the_closed_form():
    new = MakeUp("n", sure(8.0), sure(12.0), sure(3.0), sure(25.0), {"nitrate": sure(5.0)})
    told = habit_of(0.4, 7.0, new, {"nitrate": sure(40.0)}, {"nitrate": sure(0.5)}, (1, 3))
    (trend,) = told.trends
    for count, figure in trend.later:
        assert figure.value == pytest.approx(after_changes(40.0, 5.0, 0.4, 3.5, count))
    assert trend.end.value == pytest.approx(5.0 + 3.5 * 0.6 / 0.4)
