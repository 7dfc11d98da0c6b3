import numpy as np
import pytest
from scipy.integrate import solve_ivp

from leafgill.advise.balance import kernel
from leafgill.advise.balance.kernel import Water, run

N = 12


def water(**more):
    m = 3
    parts = {
        "start_mg_l": np.array([10.0, 0.4, 30.0]),
        "half_mg_l": np.array([0.5, 0.2, 1.0]),
        "loss_per_day": np.array([0.01, 0.3, 0.0]),
        "comes_mg_l_day": np.array([0.3, 0.02, 0.0]),
        "need_mg_l_day": np.tile(np.array([[1.5], [0.4], [0.8]]), N),
        "tap_mg_l": np.array([5.0, 0.1, 2.0]),
        "dose_mg_l": np.zeros((m, N)),
        "dt_day": np.full(N, 1.0),
        "part": np.zeros(N),
        "tap_share": np.ones(N),
    }
    return Water(**(parts | more))


def test_a_course_agrees_with_a_small_step_integrator():
    w = water()
    got, _ = run(w)
    for i in range(3):

        def slope(_, c, i=i):
            eats = w.need_mg_l_day[i, 0] * c / (w.half_mg_l[i] + c)
            return w.comes_mg_l_day[i] - w.loss_per_day[i] * c - eats

        want = solve_ivp(
            slope, (0.0, N), [w.start_mg_l[i]], t_eval=np.arange(N + 1), rtol=1e-9, atol=1e-12
        ).y[0]
        # half a day of frozen coefficients is a few per cent where it runs out, else far less
        assert got[i] == pytest.approx(want, rel=0.02, abs=0.03)


def test_what_came_less_what_went_is_what_changed():
    dose = np.zeros((3, N))
    dose[:, 3] = 2.0
    part = np.zeros(N)
    part[6] = 0.4
    got, flows = run(water(dose_mg_l=dose, part=part), 0)
    assert flows.sum(axis=1) == pytest.approx(got[:, -1] - got[:, 0], abs=1e-9)
    assert flows[:, kernel.DOSED] == pytest.approx(2.0)
    assert (flows[:, kernel.PLANTS] < 0.0).all()
    assert (flows[:, [kernel.COME]] >= 0.0).all()


def test_flows_are_counted_from_the_step_asked_for():
    _, all_of_it = run(water(), 0)
    _, half = run(water(), 6)
    _, none = run(water())
    assert half[0, kernel.COME] == pytest.approx(0.5 * all_of_it[0, kernel.COME])
    assert not none.any()


def test_a_series_of_water_changes_runs_to_the_tap_by_its_closed_form():
    # without plants, loss and food each change leaves 1 - p of what stood above the tap
    still = np.zeros(3)
    part = np.full(N, 0.3)
    got, _ = run(
        water(loss_per_day=still, comes_mg_l_day=still, need_mg_l_day=np.zeros((3, N)), part=part)
    )
    w = water()
    k = np.arange(N + 1)
    want = w.tap_mg_l[:, None] + (w.start_mg_l - w.tap_mg_l)[:, None] * 0.7**k
    assert got == pytest.approx(want)


def test_pure_water_dilutes_and_a_mix_brings_its_share_of_the_tap():
    still = np.zeros(3)
    alone = {"loss_per_day": still, "comes_mg_l_day": still, "need_mg_l_day": np.zeros((3, N))}
    part = np.zeros(N)
    part[0] = 0.5
    pure, _ = run(water(**alone, part=part, tap_share=np.zeros(N)))
    mixed, _ = run(water(**alone, part=part, tap_share=np.full(N, 0.4)))
    w = water()
    assert pure[:, 1] == pytest.approx(0.5 * w.start_mg_l)
    assert mixed[:, 1] == pytest.approx(0.5 * w.start_mg_l + 0.5 * 0.4 * w.tap_mg_l)


def test_nothing_falls_below_nothing():
    got, _ = run(water(need_mg_l_day=np.full((3, N), 500.0)))
    assert (got >= 0.0).all()
    assert got[:, -1].max() < 0.1
