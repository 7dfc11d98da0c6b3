"""The bubble rate that really was: against dense linear algebra and hand-worked figures."""

import numpy as np
import pytest

from leafgill.estimate.flow import (
    CREEP_SD_PER_ROOT_DAY,
    SETTING_SD,
    Count,
    Flow,
    Setting,
    count_sd,
    smooth_flow,
    stretches,
)

DAY = 86400.0


def dense(starts, of_setting, logs, counts):
    """Condition the stretches' joint Gaussian on the counts, by the textbook's formula."""
    n = len(starts)
    cov = np.zeros((n, n))
    for i in range(n):
        for j in range(n):
            if of_setting[i] == of_setting[j]:
                first = starts[of_setting.index(of_setting[i])]
                common = (min(starts[i], starts[j]) - first) / DAY
                cov[i, j] = SETTING_SD**2 + CREEP_SD_PER_ROOT_DAY**2 * common
    mean = np.array(logs)
    h = np.zeros((len(counts), n))
    for row, (stretch, _, _) in enumerate(counts):
        h[row, stretch] = 1.0
    noise = np.diag([sd**2 for _, _, sd in counts])
    gain = cov @ h.T @ np.linalg.inv(h @ cov @ h.T + noise)
    seen = np.log([rate for _, rate, _ in counts])
    return mean + gain @ (seen - h @ mean), cov - gain @ h @ cov


def test_one_setting_and_one_count_by_hand():
    flow = smooth_flow([Setting(0.0, 2.0)], [Count(3600.0, 1.8, 10.0)], 0.4 * DAY)
    # 18 bubbles: sd² = (0.5/18)² + 0.03² = 0.0016716; weights 277.78 and 598.2.
    assert count_sd(1.8, 10.0) ** 2 == pytest.approx(0.0016716, rel=1e-4)
    expected = (277.7778 * np.log(2.0) + np.log(1.8) / 0.00167160) / (277.7778 + 1 / 0.00167160)
    assert flow.log_mean == pytest.approx([expected], rel=1e-6)
    assert flow.directions[0, 0] ** 2 == pytest.approx(1 / (277.7778 + 1 / 0.0016716), rel=1e-4)


def test_the_smoother_is_the_dense_conditional():
    settings = [Setting(0.0, 2.0), Setting(3 * DAY, 3.0)]
    counts = [
        Count(0.5 * DAY, 1.7, 10.0),
        Count(2.2 * DAY, 1.6, 20.0),
        Count(4.5 * DAY, 3.3, 10.0),
    ]
    flow = smooth_flow(settings, counts, 5 * DAY)
    starts = [0.0, DAY, 2 * DAY, 3 * DAY, 4 * DAY]
    assert flow.start_s == tuple(starts)
    seen = [
        (0, 1.7, count_sd(1.7, 10.0)),
        (2, 1.6, count_sd(1.6, 20.0)),
        (4, 3.3, count_sd(3.3, 10.0)),
    ]
    mean, cov = dense(starts, [0, 0, 0, 1, 1], np.log([2, 2, 2, 3, 3]), seen)
    assert flow.log_mean == pytest.approx(mean, abs=1e-10)
    kept = flow.directions.T @ flow.directions
    lost = cov - kept
    assert np.linalg.eigvalsh(lost).min() > -1e-12
    assert -1e-12 < np.trace(lost) <= 0.03 * np.trace(cov)


def test_a_shut_valve_gives_nothing_and_hears_no_count():
    settings = [Setting(0.0, 2.0), Setting(0.4 * DAY, 0.0)]
    quiet = smooth_flow(settings, [], 0.9 * DAY)
    loud = smooth_flow(settings, [Count(0.5 * DAY, 5.0, 10.0)], 0.9 * DAY)
    assert quiet.shut.tolist() == [0.0, 1.0]
    assert loud.log_mean == pytest.approx(quiet.log_mean)
    rates = quiet.rates(np.zeros((1, quiet.directions.shape[0])), np.zeros(1))
    assert rates[0] == pytest.approx([2.0, 0.0])


def test_a_count_at_the_moment_of_a_setting_was_before_it():
    settings = [Setting(0.0, 2.0), Setting(0.4 * DAY, 4.0)]
    flow = smooth_flow(settings, [Count(0.4 * DAY, 1.5, 10.0)], 0.9 * DAY)
    assert flow.log_mean[0] < np.log(1.7)
    assert flow.log_mean[1] == pytest.approx(np.log(4.0))


def test_a_count_before_any_setting_starts_a_stretch():
    flow = smooth_flow([], [Count(100.0, 1.5, 10.0)], 0.4 * DAY)
    assert flow.start_s == (100.0,)
    assert flow.log_mean == pytest.approx([np.log(1.5)])


def test_nothing_set_nothing_counted():
    flow = smooth_flow([], [], DAY)
    assert flow.start_s == () and flow.directions.shape == (0, 0)


def test_stretches_are_cut_daily_but_for_a_short_end():
    assert stretches([Setting(0.0, 1.0)], 2.4 * DAY) == [(0.0, 0), (DAY, 0)]
    assert stretches([Setting(0.0, 1.0)], 2.6 * DAY) == [(0.0, 0), (DAY, 0), (2 * DAY, 0)]


def test_bend_takes_a_power_of_the_rate():
    flow = Flow((0.0,), np.log([4.0]), np.zeros(1), np.zeros((1, 1)))
    assert flow.rates(np.zeros((2, 1)), np.array([0.0, 0.5]))[:, 0] == pytest.approx([4.0, 2.0])


def test_fast_bubbles_blur():
    assert count_sd(6.0, 60.0) > 0.12 > count_sd(4.0, 60.0)


def test_few_bubbles_counted_of_a_fast_valve_are_no_sharp_count():
    assert count_sd(4.8, 10.0, set_to=6.5) == count_sd(6.5, 10.0 * 4.8 / 6.5)
    flow = smooth_flow([Setting(0.0, 6.5)], [Count(3600.0, 4.8, 10.0)], 7200.0)
    # Of the 30 % between them the setting's error and the blurred eye's share by their squares.
    assert flow.rates(np.zeros((1, flow.directions.shape[0])), np.zeros(1))[0, 0] == pytest.approx(
        6.5 * (4.8 / 6.5) ** (SETTING_SD**2 / (SETTING_SD**2 + 0.1241**2)), rel=2e-3
    )


def test_a_cut_starts_a_stretch_of_the_same_setting():
    day = 86400.0
    parts = stretches(
        [Setting(0.0, 2.0), Setting(2.0 * day, 3.0)], 3.2 * day, [0.3 * day, 2.5 * day]
    )
    assert parts == [
        (0.0, 0),
        (0.3 * day, 0),
        (day, 0),
        (2.0 * day, 1),
        (2.5 * day, 1),
    ]
