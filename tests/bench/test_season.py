"""The season's nature closes its books, and a short season is judged from end to end."""

import numpy as np
from bench.season import judge, table
from bench.season_ground import KEYS, ground
from bench.season_nature import nutrients
from bench.season_world import live


def test_a_season_is_the_same_each_time_it_is_lived():
    first, again = live(1, 10), live(1, 10)
    assert first.rows == again.rows
    assert np.array_equal(first.truth, again.truth)
    assert first.truth.shape == (10, len(KEYS))


def test_a_keeper_changes_water_doses_and_tests():
    kept = live(2, 30)
    kinds = {row.kind for row in kept.rows}
    assert {"water_change", "dose", "test", "ph_probe"} <= kinds
    changes = [row.time.day for row in kept.rows if row.kind == "water_change"]
    assert len(changes) == 29 // kept.plan.change_days
    assert "[feeding]" in kept.tank_toml


def test_without_plants_food_and_changes_water_keeps_what_does_not_react():
    from dataclasses import replace

    kept = live(3, 3)
    still = replace(kept.plan, doses=(), food_g=0.0, change_days=1000, tested=())
    hidden = replace(ground(3), dried_day=0.0)
    _, truth = nutrients(3, 100.0, hidden, still, np.zeros(20), np.ones(20))
    for key in ("potassium", "calcium", "magnesium"):
        column = truth[:, KEYS.index(key)]
        assert np.ptp(column) < 1e-9 * column[0]
    iron = truth[:, KEYS.index("iron")]
    assert iron[-1] < iron[0] * np.exp(-0.9 * 19 * hidden.iron_lost_day)


def test_two_short_seasons_are_judged():
    judged = [one for seed in (11, 12) for one in judge(seed, False, (3, 4), (1,), draws=120)]
    assert len(judged) == 2 * 2 * len(KEYS)
    held = np.mean([one.held for one in judged])
    assert held >= 0.6
    assert all(one.low <= one.mean <= one.high or one.high > one.mean for one in judged)
    assert "| all | 24 |" in table(judged)
