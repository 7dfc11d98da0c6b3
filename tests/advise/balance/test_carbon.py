import numpy as np
import pytest

from leafgill.advise.balance.carbon import C_PER_CO2, TREND_LASTS_D, carbon_days, trended
from leafgill.science.constants import CO2_G_MOL


def test_a_belief_s_carbon_is_what_its_model_fixes(kept_belief):
    days = carbon_days(kept_belief, 23, 7)
    course = kept_belief.problem.course(kept_belief.z)
    fixed = -course.fluxes_mmol_l[:, 3] * CO2_G_MOL * C_PER_CO2
    # the model's own integral over the diary, against days of means between its steps
    ours = days.fixed_mg_l[:, 1:23].sum(axis=1)
    assert ours == pytest.approx(fixed, rel=0.05)
    assert np.median(ours) > 1.0


def test_days_the_belief_does_not_cover_go_on_from_the_nearest(kept_belief):
    days = carbon_days(kept_belief, 40, 28)
    trend = kept_belief.draws.uptake_trend_per_day
    # the diary begins 22 days and 4 hours ago: day -23 is hardly covered
    first = days.of_days(np.array([-22.0]))[:, 0]
    assert days.of_days(np.array([-30.0]))[:, 0] == pytest.approx(first * trended(trend, -8.0))
    ahead = days.now_mg_l
    assert days.of_days(np.array([20.0]))[:, 0] == pytest.approx(ahead * trended(trend, 20.0))


def test_a_trend_wears_off():
    trend = np.array([0.02])
    assert trended(trend, 1.0)[0] == pytest.approx(np.exp(0.02), rel=1e-3)
    assert trended(trend, 300.0)[0] == pytest.approx(np.exp(0.02 * TREND_LASTS_D))
    assert trended(trend, -5.0)[0] == pytest.approx(1.0 / trended(trend, 5.0)[0])
    assert trended(np.array([5.0]), 300.0)[0] == pytest.approx(np.e)


def test_without_light_nothing_is_fixed(make_tank, make_diary, make_belief):
    tank = make_tank(day={"lights_on": "10:00", "lights_off": "10:00"})
    belief = make_belief(tank, make_diary((0.0, "kh", 4.0)), 60.0)
    assert carbon_days(belief, 3, 7).fixed_mg_l.max() == 0.0


def test_carbon_is_counted_as_the_element():
    # 44.0095 g of carbon dioxide hold 12.011 g of carbon
    assert pytest.approx(0.27292, rel=1e-4) == C_PER_CO2
