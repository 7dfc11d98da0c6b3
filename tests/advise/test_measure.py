from datetime import timedelta

import numpy as np
import pytest

from leafgill.advise.candidates import Candidate, candidates
from leafgill.advise.measure import most_telling, narrowing, rank_readings

BASE = (
    (0.0, "light_day", "10:00-18:00"),
    (0.0, "kh", 4.0),
    (25.0, "gas_day", "09:00-18:00"),
    (25.0, "bubble_rate", 1.0),
    (31.0, "ph_probe", 7.0),
    (32.0, "drop_checker", "blue"),
)


def candidate(now, **what):
    return Candidate("ph", "a reading", "how", now, **what)


def test_narrowing_of_a_straight_gaussian_reading(morning):
    """Width after / before = 1 / √(1 + (spread/sd)²) where the reading is CO2 itself plus error."""
    truth = np.random.default_rng(5).normal(20.0, 3.0, 4000)
    for sd in (1.0, 3.0, 9.0):
        expected = 1.0 - 1.0 / np.sqrt(1.0 + (3.0 / sd) ** 2)
        found = narrowing(candidate(morning.now, shows=truth, sd=sd), truth)
        assert found == pytest.approx(expected, abs=0.03)


def test_a_reading_that_does_not_depend_on_the_tank_tells_nothing(morning):
    rng = np.random.default_rng(6)
    truth, other = rng.normal(20.0, 3.0, 2000), rng.normal(0.0, 1.0, 2000)
    assert narrowing(candidate(morning.now, shows=other, sd=0.3), truth) < 0.03
    few = slice(0, 200)
    assert narrowing(candidate(morning.now, shows=other[few], sd=1e-4), truth[few]) < 0.1
    flat = np.full((2000, 3), 1.0 / 3.0)
    assert narrowing(candidate(morning.now, chances=flat), truth) == pytest.approx(0.0, abs=1e-9)


def test_narrowing_of_a_sorting_into_two_halves(morning):
    """A uniform belief cut in the middle is half as wide."""
    truth = np.linspace(0.0, 1.0, 2001)
    upper = (truth > 0.5).astype(float)
    halves = np.column_stack([1.0 - upper, upper])
    found = narrowing(candidate(morning.now, chances=halves), truth)
    assert found == pytest.approx(0.5, abs=0.005)


def test_the_telling_time_is_the_lit_afternoon(make_tank, make_diary, make_belief):
    tank, diary = make_tank(), make_diary(*BASE)
    for hours, told in ((46.0, 57.0), (51.0, 57.0), (54.0, 54.0), (60.0, 81.0)):
        belief = make_belief(tank, diary, hours, count=20)
        wanted = belief.now + timedelta(hours=told - hours)
        assert most_telling(belief, belief.now) == wanted


def test_half_drops_tell_more_than_whole_ones_where_kh_is_in_doubt(
    make_tank, make_diary, make_belief
):
    """pH is as good as known, KH is not: CO2 goes with KH, and a pH more says nothing."""
    tank, diary = make_tank(), make_diary(*BASE)
    belief = make_belief(tank, diary, 54.0, width=0.02, count=200)
    rows = belief.z.copy()
    rows[:, belief.problem.index["kh"]] = 1.5 * np.random.default_rng(2).standard_normal(200)
    doubtful = rebuilt(belief, rows, one_ph=True)
    ranked = {r.what: r.narrows_by for r in rank_readings(tank, diary, doubtful, doubtful.now)}
    assert ranked["KH test on a double sample"] > ranked["KH test"] + 0.05
    assert ranked["KH test on a double sample"] > 0.4
    assert ranked["pH by the electrode"] < 0.05


def test_what_is_in_doubt_decides_what_helps(make_tank, make_diary, make_belief):
    """A valve in doubt: count. A bubble's size in doubt: weigh."""
    tank, diary = make_tank(), make_diary(*BASE)
    belief = make_belief(tank, diary, 54.0, width=0.03, count=200)
    spread = np.random.default_rng(3).standard_normal(200)

    def ranked(name, by):
        rows = belief.z.copy()
        rows[:, [k for n, k in belief.problem.index.items() if n.startswith(name)]] = (
            by * spread[:, None]
        )
        doubtful = rebuilt(belief, rows)
        return {r.what: r.narrows_by for r in rank_readings(tank, diary, doubtful, doubtful.now)}

    valve, bubble = ranked("flow_", 4.0), ranked("bubble_mass", 1.5)
    count, weigh = "bubble count over a minute", "weight of the cylinder, now and in three days"
    assert valve[count] > 0.5
    assert bubble[count] < 0.1
    assert bubble[weigh] > 0.3


def rebuilt(belief, z, one_ph=False):
    from dataclasses import replace

    from leafgill.estimate.believe import days_of

    problem = belief.problem
    course = problem.course(z, problem.evidence.timeline.forcing(belief.edges_s))
    straying = course.ph.mean(axis=0) - course.ph if one_ph else np.zeros(course.ph.shape)
    days = days_of(course, straying)
    return replace(belief, z=z, draws=problem.draws(z), days=days)


def test_only_what_the_keeper_has_is_named(make_tank, make_diary, make_belief):
    tank = make_tank()
    bare = make_diary((0.0, "light_day", "10:00-18:00"), (0.0, "kh", 4.0))
    belief = make_belief(tank, bare, 4.0, count=40)
    kinds = {reading.kind for reading in rank_readings(tank, bare, belief, belief.now)}
    assert kinds == {"ph", "degassed_ph", "kh", "test"}
    full = make_diary(*BASE)
    belief = make_belief(tank, full, 54.0, count=40)
    kinds = {reading.kind for reading in rank_readings(tank, full, belief, belief.now)}
    assert {"ph_probe", "drop_checker", "bubble_count", "cylinder_mass"} <= kinds


def test_readings_are_ranked_and_say_how(tank, running, learnt):
    ranked = rank_readings(tank, running, learnt, learnt.now)
    values = [reading.narrows_by for reading in ranked]
    assert values == sorted(values, reverse=True)
    assert all(0.0 <= value < 1.0 for value in values)
    assert len({reading.what for reading in ranked}) == len(ranked)
    assert all(len(reading.how.split()) > 8 for reading in ranked)
    assert rank_readings(tank, running, learnt, learnt.now) == ranked


def test_a_later_reading_says_when(make_tank, make_diary, make_belief):
    tank, diary = make_tank(), make_diary(*BASE)
    belief = make_belief(tank, diary, 48.0, count=100, width=0.5)  # 08:00, gas off
    best = rank_readings(tank, diary, belief, belief.now)[0]
    assert best.kind == "ph_probe"
    assert best.at == belief.now + timedelta(hours=9) and best.how.startswith("Take it 17:00.")


def test_chances_of_drops_and_colours_are_chances(morning):
    for one in candidates(morning, morning.now, checker=True):
        if one.chances is not None:
            assert np.allclose(one.chances.sum(axis=1), 1.0, atol=1e-6)
            assert (one.chances >= 0.0).all()


def test_a_weighed_cylinder_tells_through_what_it_lost(make_tank, make_diary, make_belief):
    weighed = make_diary(*BASE, (0.0, "cylinder_mass", 5000), (49.0, "cylinder_mass", 4990))
    tank = make_tank()
    belief = make_belief(tank, weighed, 78.0, width=0.5, count=100)
    one = next(
        c for c in candidates(belief, belief.now, checker=False) if c.kind == "cylinder_mass"
    )
    bubble_g = 1e-3 * belief.problem.value(belief.z, "bubble_mass")
    rates = belief.problem.rates(belief.z, bent=False)
    since_last = one.shows - (4990.0 + bubble_g * rates[:, -1] * 0.0)
    assert one.what == "weight of the cylinder"
    # heavier bubbles, lighter cylinder
    assert np.corrcoef(since_last, bubble_g)[0, 1] < -0.8
