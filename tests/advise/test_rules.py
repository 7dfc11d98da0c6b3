"""Each safety rule bites: with it the advice is safe, and taken out of RULES it no longer is."""

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest

from leafgill.advise import rules
from leafgill.advise.forecast import Plan, forecast
from leafgill.advise.rates import most_after
from leafgill.advise.tune import next_step
from leafgill.estimate.belief import Misfit

BASE = (
    (0.0, "light_day", "10:00-18:00"),
    (0.0, "kh", 4.0),
    (25.0, "gas_day", "09:00-18:00"),
    (25.0, "bubble_rate", 1.0),
    (31.0, "ph_probe", 7.0),
    (50.0, "ph_probe", 7.1),
)


@pytest.fixture
def without(monkeypatch):
    def take_out(rule):
        assert rule in rules.RULES
        left = tuple(other for other in rules.RULES if other is not rule)
        monkeypatch.setattr(rules, "RULES", left)

    return take_out


def advised(tank, diary, belief):
    return next_step(tank, diary, belief, belief.now)


def tried(tank, belief, step, hours=24):
    until = belief.now + timedelta(hours=hours)
    return forecast(tank, belief, Plan(bubble_rate=step.rate), until)


def test_every_rule_is_in_force():
    names = {rule.__name__ for rule in rules.RULES}
    assert names == {
        "animals_come_first",
        "co2_stays_under_the_limit",
        "oxygen_stays_up",
        "target_is_not_passed",
        "steps_are_small",
        "last_change_has_shown",
        "somebody_watches",
        "readings_are_fresh",
        "figures_are_numbers",
    }


def test_rule_1_keeps_the_peak_under_the_limit(make_tank, make_diary, make_belief, without):
    tank = make_tank(target={"co2_mg_l": 30.0})
    diary = make_diary(*BASE)
    belief = make_belief(tank, diary, 51.0, width=0.5, shift={"bubble_mass": 2.2})
    step = advised(tank, diary, belief)
    assert tried(tank, belief, step).p_over_limit <= rules.MOST_WHEN_RAISED
    without(rules.co2_stays_under_the_limit)
    unsafe = advised(tank, diary, belief)
    assert unsafe.rate > step.rate
    assert tried(tank, belief, unsafe).p_over_limit > 1.5 * rules.MOST_OVER_LIMIT


def test_rule_1_keeps_far_too_much_out_of_reach(make_tank, make_diary, make_belief, monkeypatch):
    """Where the belief has a long tail it is the hundredth draw that decides."""
    tank, diary = make_tank(), make_diary(*BASE)
    belief = make_belief(
        tank,
        diary,
        51.0,
        seed=2,
        width=1.2,
        count=200,
        shift={"exchange": 1.0, "bubble_mass": 0.6},
    )
    step = advised(tank, diary, belief)
    assert step.action == "raise"
    assert tried(tank, belief, step).p_over_danger <= 0.01
    monkeypatch.setattr(rules, "MOST_OVER_DANGER", 1.0)
    unsafe = advised(tank, diary, belief)
    assert tried(tank, belief, unsafe).p_over_danger > 0.01


def test_rule_1_closes_the_valve_of_a_tank_that_passes_the_limit(
    make_tank, make_diary, make_belief, without
):
    tank = make_tank(target={"co2_mg_l": 30.0})
    diary = make_diary(*BASE)
    belief = make_belief(tank, diary, 51.0, shift={"bubble_mass": 4.2})
    step = advised(tank, diary, belief)
    assert step.action == "lower" and step.rate < 1.0
    without(rules.co2_stays_under_the_limit)
    without(rules.target_is_not_passed)
    assert advised(tank, diary, belief).action != "lower"


def test_rule_1_gives_no_gas_where_oxygen_falls_short(make_tank, make_diary, make_belief, without):
    tank, diary = make_tank(), make_diary(*BASE)
    belief = make_belief(tank, diary, 51.0, shift={"exchange": -2.0, "respiration": 2.2})
    step = advised(tank, diary, belief)
    assert step.action == "hold" and step.rate is None
    assert "break the surface" in step.cautions[0] and "oxygen test" in step.measure
    assert any(row.about == "oxygen" and not row.passed for row in step.reasons)
    without(rules.oxygen_stays_up)
    unsafe = advised(tank, diary, belief)
    assert unsafe.action == "raise"
    assert tried(tank, belief, unsafe).p_low_o2 > rules.MOST_LOW_O2


def test_rule_1_does_not_go_beyond_the_target(make_tank, make_diary, make_belief, without):
    tank = make_tank(livestock={"co2_limit_mg_l": 60.0}, target={"co2_mg_l": 10.0})
    diary = make_diary(*BASE)
    belief = make_belief(tank, diary, 51.0, shift={"bubble_mass": 3.0})
    step = advised(tank, diary, belief)
    assert step.action == "lower"
    row = [row for row in step.reasons if row.about == "target" and row.passed][-1]
    assert 8.5 < row.figure < 11.0
    without(rules.target_is_not_passed)
    assert advised(tank, diary, belief).action == "hold"


def test_rule_2_at_most_doubles(make_tank, make_diary, make_belief, without):
    tank, diary = make_tank(), make_diary(*BASE)
    belief = make_belief(tank, diary, 51.0)
    step = advised(tank, diary, belief)
    assert step.action == "raise" and 1.0 < step.rate <= 2.0
    without(rules.steps_are_small)
    assert advised(tank, diary, belief).rate > 2.0


def test_rule_2_starts_an_unknown_tank_with_one_bubble_at_most(
    make_tank, make_diary, make_belief, without
):
    tank, diary = make_tank(), make_diary(*BASE[:2])
    belief = make_belief(tank, diary, 2.0)
    step = advised(tank, diary, belief)
    assert step.action == "first setting" and 0.0 < step.rate <= 1.0
    without(rules.steps_are_small)
    assert advised(tank, diary, belief).rate > 1.0


def test_rule_2_starts_again_from_little_after_a_shut_valve(
    make_tank, make_diary, make_belief, without
):
    tank = make_tank()
    diary = make_diary(*BASE, (25.5, "bubble_rate", 4.0), (26.0, "bubble_rate", 0.0))
    belief = make_belief(tank, diary, 51.0)
    step = advised(tank, diary, belief)
    assert step.action == "raise" and step.rate == 2.0
    without(rules.steps_are_small)
    assert advised(tank, diary, belief).rate > 4.0


def test_rule_3_waits_for_the_last_change(make_tank, make_diary, make_belief, without):
    tank, diary = make_tank(), make_diary(*BASE, (50.5, "bubble_rate", 1.4))
    belief = make_belief(tank, diary, 51.0)
    step = advised(tank, diary, belief)
    assert step.action == "hold"
    assert {row.about for row in step.reasons if not row.passed} == {"wait"}
    assert step.look_at >= belief.now + timedelta(minutes=30)
    without(rules.last_change_has_shown)
    assert advised(tank, diary, belief).action == "raise"


def test_rule_3_waits_for_nine_tenths_and_not_for_an_hour_alone(make_tank, make_diary, make_belief):
    tank, diary = make_tank(), make_diary(*BASE, (49.2, "bubble_rate", 1.4))
    slow = make_belief(tank, diary, 51.0)
    fast = make_belief(tank, diary, 51.0, shift={"exchange": 3.2, "bubble_mass": 2.5})
    assert advised(tank, diary, slow).action == "hold"
    assert advised(tank, diary, fast).action == "raise"


def test_rule_4_raises_nothing_in_the_last_third(make_tank, make_diary, make_belief, without):
    tank, diary = make_tank(), make_diary(*BASE)
    belief = make_belief(tank, diary, 55.5)  # 15:30, gas until 18:00
    step = advised(tank, diary, belief)
    assert step.action == "hold" and step.look_at.hour == 9 and step.look_at.day == 6
    without(rules.somebody_watches)
    assert advised(tank, diary, belief).action == "raise"


def test_rule_4_holds_to_the_last_third_where_the_water_answers_fast(
    make_tank, make_diary, make_belief
):
    tank, diary = make_tank(), make_diary(*BASE)
    shift = {"exchange": 3.2, "bubble_mass": 2.5}
    for hours, action in ((54.9, "raise"), (55.1, "hold")):  # gas 09:00 to 18:00: until 15:00
        belief = make_belief(tank, diary, hours, shift=shift)
        step = advised(tank, diary, belief)
        assert step.action == action
    refused = [row for row in step.reasons if not row.passed]
    assert [row.limit for row in refused] == [pytest.approx(2.0 / 3.0)]


def test_rule_4_raises_nothing_while_the_gas_is_off(make_tank, make_diary, make_belief, without):
    tank, diary = make_tank(), make_diary(*BASE)
    belief = make_belief(tank, diary, 48.5)  # 08:30, gas from 09:00
    step = advised(tank, diary, belief)
    assert step.action == "hold" and "a raise to" in step.later
    assert step.look_at == belief.now + timedelta(minutes=60)
    without(rules.somebody_watches)
    assert advised(tank, diary, belief).action == "raise"


def test_rule_4_raises_nothing_that_nobody_can_look_at_again(make_tank, make_diary, make_belief):
    tank, diary = make_tank(), make_diary(*BASE)
    belief = make_belief(tank, diary, 51.0)
    assert next_step(tank, diary, belief, belief.now, awake=(8, 22)).action == "raise"
    gone = next_step(tank, diary, belief, belief.now, awake=(9, 12))
    assert gone.action == "hold"
    assert any(row.about == "watch" and not row.passed for row in gone.reasons)


def test_rule_4_measures_first_on_a_stale_reading(make_tank, make_diary, make_belief, without):
    tank, diary = make_tank(), make_diary(*BASE)
    belief = make_belief(tank, diary, 51.0 + 48.0)
    step = advised(tank, diary, belief)
    assert step.action == "measure" and "pH" in step.measure
    assert step.look_at <= belief.now + timedelta(minutes=20)
    without(rules.readings_are_fresh)
    assert advised(tank, diary, belief).action == "raise"


def test_rule_4_measures_first_when_a_reading_contradicts(
    make_tank, make_diary, make_belief, without
):
    tank, diary = make_tank(), make_diary(*BASE)
    belief = make_belief(tank, diary, 51.0)
    odd = Misfit(belief.now - timedelta(hours=3), "ph", "6.1", 5.0, "ph 6.1 does not fit the rest")
    belief = replace(belief, misfits=(odd,))
    step = advised(tank, diary, belief)
    assert step.action == "measure"
    assert any("ph 6.1 does not fit" in row.text for row in step.reasons if not row.passed)
    old = replace(belief, misfits=(odd._replace(time=belief.now - timedelta(hours=30)),))
    assert advised(tank, diary, old).action == "raise"
    without(rules.readings_are_fresh)
    assert advised(tank, diary, belief).action == "raise"


@pytest.mark.parametrize("word", ["gasping", "dead"])
def test_rule_5_stops_the_gas_for_animals_in_distress(
    make_tank, make_diary, make_belief, without, word
):
    tank, diary = make_tank(), make_diary(*BASE, (50.8, "fish", word))
    belief = make_belief(tank, diary, 51.0)
    step = advised(tank, diary, belief)
    assert step.action == "emergency" and step.rate == 0.0
    assert step.look_at <= belief.now + timedelta(minutes=15)
    assert step.close_back_ph is None and "stays shut" in step.close_back_if
    without(rules.animals_come_first)
    assert advised(tank, diary, belief).action == "raise"


def test_rule_5_closes_the_valve_when_animals_breathe_fast(
    make_tank, make_diary, make_belief, without
):
    tank, diary = make_tank(), make_diary(*BASE, (50.8, "fish", "fast-breathing"))
    belief = make_belief(tank, diary, 51.0)
    step = advised(tank, diary, belief)
    assert step.action == "lower" and step.rate == 0.8
    answered = make_diary(*BASE, (50.8, "fish", "fast-breathing"), (50.9, "bubble_rate", 0.8))
    later = make_belief(tank, answered, 51.5)
    assert advised(tank, answered, later).action == "hold"
    without(rules.animals_come_first)
    assert advised(tank, diary, belief).action == "raise"


def test_rule_5_counts_the_newest_word_of_the_last_six_hours(make_tank, make_diary, make_belief):
    tank = make_tank()
    calm = make_diary(*BASE, (50.2, "fish", "gasping"), (50.8, "fish", "normal"))
    assert advised(tank, calm, make_belief(tank, calm, 51.0)).action == "raise"
    old = make_diary(*BASE, (44.0, "fish", "gasping"))
    assert advised(tank, old, make_belief(tank, old, 51.0)).action == "raise"


def test_rule_6_advises_nothing_on_figures_that_are_no_numbers(
    make_tank, make_diary, make_belief, without
):
    """A chance counted over draws that are no numbers would be nought, and so look safe."""
    tank, diary = make_tank(), make_diary(*BASE)
    belief = make_belief(tank, diary, 51.0)
    straying = belief.days.straying.copy()
    straying[::2] = np.nan
    broken = replace(belief, days=replace(belief.days, straying=straying))
    step = advised(tank, diary, broken)
    assert step.action == "measure" and step.rate is None
    without(rules.figures_are_numbers)
    without(rules.target_is_not_passed)
    assert advised(tank, diary, broken).action == "raise"


def test_rule_6_every_step_says_why_with_figures(make_tank, make_diary, make_belief):
    tank = make_tank()
    rows = (BASE, (*BASE, (50.8, "fish", "gasping")), BASE[:2], (*BASE, (50.9, "bubble_rate", 1.5)))
    for entries in rows:
        diary = make_diary(*entries)
        step = advised(tank, diary, make_belief(tank, diary, 51.0))
        assert step.reasons
        for row in step.reasons:
            assert len(row.text.split()) > 4
            assert np.isfinite([row.figure, row.limit]).all()
            below = row.figure <= row.limit
            assert row.passed == (below if row.comparison == "<=" else row.figure >= row.limit)


def test_rule_7_is_said_with_every_step(make_tank, make_diary, make_belief):
    tank, diary = make_tank(), make_diary(*BASE)
    step = advised(tank, diary, make_belief(tank, diary, 51.0))
    assert any("opens a valve" in caution for caution in step.cautions)


def test_a_raise_starts_from_what_really_runs(make_tank, make_diary, make_belief):
    """A valve that has crept shut is opened by steps from what it gives now."""
    tank = make_tank()
    diary = make_diary(*BASE, *((h, "bubble_count", 0.6) for h in (48.5, 49.5, 50.0)))
    belief = make_belief(tank, diary, 51.0)
    step = advised(tank, diary, belief)
    assert step.action == "raise"
    assert step.rate <= most_after(0.7)
    assert any("seems to give" in caution for caution in step.cautions)
    assert any("within the hour" in caution for caution in step.cautions)


def test_a_rate_that_fell_by_itself_sends_the_keeper_to_the_gauge(
    make_tank, make_diary, make_belief
):
    tank = make_tank()
    for count, told in ((0.8, False), (0.4, True)):
        diary = make_diary(*BASE, *((h, "bubble_count", count) for h in (48.5, 49.5, 50.0)))
        belief = make_belief(tank, diary, 51.0, width=0.05)
        cautions = " ".join(advised(tank, diary, belief).cautions)
        assert "seems to give" in cautions
        assert ("runs empty" in cautions) == told
