from dataclasses import replace
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from leafgill.advise import looks
from leafgill.advise.aim import lit_co2, lit_hours
from leafgill.advise.case import case_of, rounded_up
from leafgill.advise.forecast import Outlook
from leafgill.advise.response import Response, between, response_of_setting
from leafgill.advise.search import first_chances
from leafgill.advise.situation import look_around
from leafgill.advise.words import clock, mg_l, minutes_text, per_cent, rate_text
from leafgill.estimate.belief import Interval
from leafgill.tank.schedule import NEVER, parse_window

UTC = ZoneInfo("UTC")
BASE = (
    (0.0, "light_day", "10:00-18:00"),
    (0.0, "kh", 4.0),
    (1.0, "gas_day", "09:00-18:00"),
    (1.0, "bubble_rate", 1.0),
)


@pytest.fixture
def around(make_tank, make_diary, make_belief):
    def at(hours, *rows, awake=(8, 22), **tank):
        described, diary = make_tank(**tank), make_diary(*BASE, *rows)
        belief = make_belief(described, diary, hours, count=30)
        return look_around(described, diary, belief, belief.now, awake)

    return at


def on(day, hour, minute=0):
    return datetime(2025, 3, day, hour, minute, tzinfo=UTC)


# -- what is set


def test_the_setting_and_since_when(around):
    now = around(30.0, (26.0, "bubble_rate", 1.4), (28.0, "bubble_rate", 1.4))
    assert now.setting == 1.4
    assert now.rate == pytest.approx(1.4, rel=0.03) and not now.crept
    assert now.set_at == on(4, 10)  # writing the same down again is no change
    assert now.last_running == 1.4 and not now.first


def test_a_little_creep_counts_and_is_not_told(around):
    counted = ((h, "bubble_count", 0.9) for h in (27.0, 28.0, 29.0))
    now = around(30.0, (26.0, "bubble_rate", 1.0), *counted)
    assert now.rate == pytest.approx(0.9, abs=0.03) and not now.crept
    assert now.base == now.rate
    counted = ((h, "bubble_count", 0.7) for h in (27.0, 28.0, 29.0))
    assert around(30.0, (26.0, "bubble_rate", 1.0), *counted).crept


def test_shut_and_unknown_valves(around, make_tank, make_diary, make_belief):
    shut = around(30.0, (26.0, "bubble_rate", 4.0), (28.0, "bubble_rate", 0.0))
    assert shut.restart and shut.last_running == 4.0 and shut.rate == 0.0
    tank, diary = make_tank(), make_diary(*BASE[:2])
    bare = make_belief(tank, diary, 2.0, count=10)
    now = look_around(tank, diary, bare, bare.now, (8, 22))
    assert now.first and now.rate is None and now.gas is None and not now.gas_on


def test_a_count_without_a_setting_is_a_known_rate(make_tank, make_diary, make_belief):
    tank = make_tank()
    diary = make_diary(*BASE[:3], (2.0, "bubble_count", 1.5))
    belief = make_belief(tank, diary, 3.0, count=10)
    now = look_around(tank, diary, belief, belief.now, (8, 22))
    assert now.setting == 1.5 and now.set_at is None and not now.first


# -- what is fresh


@pytest.mark.parametrize(
    ("now", "since"),
    [
        ((5, 11), (5, 9)),  # two hours into the gas: of this period
        ((5, 9, 30), (4, 9)),  # just begun: of the last one
        ((5, 22), (5, 9)),  # in the evening: of today's
        ((6, 8), (5, 9)),  # before the gas: of yesterday's
    ],
)
def test_a_reading_is_fresh_since_the_last_gas_period(around, now, since):
    hours = (on(*now) - on(3, 8)) / timedelta(hours=1)
    assert around(hours).fresh_since == on(*since)


def test_no_reading_is_fresh_beyond_a_day_and_a_half(around):
    now = around(80.0, (30.0, "gas_day", "off"))
    assert now.gas is None
    assert now.fresh_since == now.now - timedelta(hours=36)


def test_the_last_reading_is_of_ph_or_colour(around):
    assert around(30.0).reading is None
    assert around(30.0, (20.0, "ph", 7.0), (28.0, "kh", 4.0)).reading == on(4, 4)
    assert around(30.0, (20.0, "ph", 7.0), (25.0, "drop_checker", "blue")).reading == on(4, 9)


# -- when to look


def test_after_a_change_the_effect_is_in_and_somebody_is_there(around):
    case = case_of(around(50.0), 2.0)  # Wednesday 10:00
    share = case.response.at(case.look.timestamp())
    assert share >= 0.9
    assert case.look >= case.act + timedelta(hours=1)
    assert case.look.minute % 5 == 0
    early = case_of(around(50.0, awake=(20, 23)), 2.0)
    assert early.look.hour == 20


def test_an_effect_that_comes_too_late_is_looked_at_the_next_day(
    around, make_tank, make_diary, make_belief
):
    slow = case_of(around(57.0), 0.5)  # 17:00, gas until 18:00
    assert looks.after_change(slow) == slow.look
    assert slow.look.day == 6 and slow.look.hour < 18
    tank, diary = make_tank(), make_diary(*BASE)
    quick = make_belief(tank, diary, 57.4, width=0.05, shift={"exchange": 4.0})
    case = case_of(look_around(tank, diary, quick, quick.now, (8, 22)), 0.5)
    assert on(5, 18) < case.look < on(5, 19)
    assert looks.after_change(case) == on(6, 10)


def test_a_waiting_raise_is_thought_of_again_once_the_change_has_shown(around):
    now = around(50.0, (49.6, "bubble_rate", 1.3), (49.5, "ph", 7.0))
    rows = tuple(row for row in _rows(now, 1.8) if not row.passed)
    assert {row.about for row in rows} == {"wait"}
    again = looks.before_raise(now, rows)
    assert now.last_response.at(again.timestamp()) >= 0.9
    late = around(54.0, (53.9, "bubble_rate", 1.3), (53.5, "ph", 7.0))
    rows = tuple(row for row in _rows(late, 1.8) if not row.passed)
    assert looks.before_raise(late, rows) == on(6, 9, 30)


def _rows(situation, rate):
    from leafgill.advise.rules import judge

    return judge(case_of(situation, rate))


def test_the_height_of_the_day(around):
    assert looks.at_height(around(50.0)) == on(5, 17)
    assert looks.at_height(around(57.5)) == on(6, 17)
    assert looks.at_height(around(50.0, awake=(6, 14))) == on(5, 12)


def test_a_valve_is_closed_now_while_gas_runs_else_when_it_comes_on(around):
    assert looks.when_to_turn(around(50.0)) == on(5, 10)
    assert looks.when_to_turn(around(60.0)) == on(6, 9)
    assert looks.when_to_turn(around(60.0, awake=(12, 22))) == on(5, 20)


def test_chances_to_set_a_valve_are_now_and_the_next_gas_on(around):
    assert first_chances(around(50.0)) == [on(5, 10), on(6, 9)]
    assert first_chances(around(50.0, awake=(11, 22))) == [on(5, 11), on(6, 11)]
    # What comes later than that the belief does not show long enough.
    assert first_chances(around(59.0)) == [on(6, 9)]
    assert first_chances(around(59.0, awake=(19, 22))) == []


def test_awake_hours_may_pass_midnight(around):
    late = around(50.0, awake=(14, 2))
    assert late.awake_from(on(5, 10)) == on(5, 14)
    assert late.awake_from(on(6, 1)) == on(6, 1)
    always = around(50.0, awake=(0, 24))
    assert always.awake_from(on(5, 3)) == on(5, 3)


def test_times_are_rounded_up_to_five_minutes():
    assert rounded_up(on(5, 10)) == on(5, 10)
    assert rounded_up(on(5, 10, 1)) == on(5, 10, 5)
    assert rounded_up(on(5, 23, 56)) == on(6, 0)


# -- what counts for the plants


def test_the_lit_hours_a_change_will_have_shaped(around):
    now = around(49.25)  # 09:15, just after gas-on
    assert lit_hours(now, now.now, now.gas) == (on(5, 12), on(5, 18))
    later = around(52.0)  # noon: today is half gone
    assert lit_hours(later, later.now, later.gas) == (on(6, 12), on(6, 18))
    dark = replace(now, light=NEVER)
    assert lit_hours(dark, now.now, now.gas)[0] == now.now + timedelta(hours=2)


def test_gas_after_the_lights_counts_from_the_gas(around):
    now = around(49.25)
    late = replace(now, gas=parse_window("12:00-18:00"))
    assert lit_hours(late, now.now, late.gas) == (on(5, 14), on(5, 18))


def test_co2_of_the_lit_hours_is_their_median(around):
    case = case_of(around(49.25), None)
    found = lit_co2(case.ahead, (on(5, 12), on(5, 18)))
    times = np.arange(on(5, 12).timestamp(), on(5, 18).timestamp() + 1, 1800.0)
    by_hand = np.median([case.ahead.at("co2", t) for t in times], axis=0)
    assert np.allclose(found, by_hand)


# -- responses


def test_a_response_grows_and_is_all_in_after_a_day(around):
    now = around(50.0, (49.6, "bubble_rate", 2.0))
    response = now.last_response
    assert (np.diff(response.share) >= 0.0).all()
    assert response.share[0] == 0.0 and response.share[-1] == 1.0
    assert response.size_mg_l > 1.0
    assert response.at(response.reached_s(0.9)) == pytest.approx(0.9, abs=1e-6)


def test_a_faster_surface_answers_sooner(make_tank, make_diary, make_belief):
    tank = make_tank()
    diary = make_diary(*BASE, (49.2, "bubble_rate", 2.0))
    hours = []
    for shift in (-0.5, 0.5, 1.5, 2.5):
        belief = make_belief(tank, diary, 50.0, width=0.05, shift={"exchange": shift})
        set_s = (belief.now - timedelta(hours=0.8)).timestamp()
        hours.append((response_of_setting(belief, set_s).reached_s(0.9) - set_s) / 3600.0)
    assert hours == sorted(hours, reverse=True)
    # Nine tenths of an exponential approach: ln 10 / k, k of the fastest about 2.8 per hour.
    k = belief.draws.exchange_per_h.mean() * 1.024**5
    assert hours[-1] == pytest.approx(np.log(10.0) / k, rel=0.35)


def test_a_response_is_that_to_the_change_and_not_to_the_rate(around):
    small = around(50.0, (49.6, "bubble_rate", 1.2)).last_response.size_mg_l
    large = around(50.0, (49.6, "bubble_rate", 2.0)).last_response.size_mg_l
    assert small == pytest.approx(0.2 * large, rel=0.25)


def test_a_change_that_changes_nothing_has_shown_all_there_is(around):
    now = around(50.0)
    same = case_of(now, None).response
    assert isinstance(same, Response) and (same.share == 1.0).all()


def test_each_draw_s_own_part_counts_alike():
    """A draw that moves little and at once, one that moves much and late: half and half."""
    times = np.array([0.0, 3600.0, 7200.0])
    still = np.zeros((2, 3))
    moved = np.array([[0.0, 1.0, 1.0], [0.0, 0.0, 9.0]])
    old, new = (Outlook(times, co2, co2, co2, co2, co2) for co2 in (still, moved))
    response = between(old, new, 0.0)
    assert response.share.tolist() == [0.0, 0.5, 1.0]
    assert response.size_mg_l == 5.0


def test_an_old_or_unknown_setting_is_not_waited_for(around):
    assert around(50.0).last_response is None
    assert response_of_setting(around(50.0).belief, on(7, 8).timestamp()) is None


# -- words


def test_words():
    now = on(5, 10)
    assert clock(on(5, 16, 30).timestamp(), now) == "16:30"
    assert clock(on(6, 9).timestamp(), now) == "09:00 tomorrow"
    assert clock(on(4, 9).timestamp(), now) == "09:00 yesterday"
    assert clock(on(7, 9).timestamp(), now) == "Fri 09:00"
    assert [per_cent(p) for p in (0.0, 0.004, 0.0125, 0.1, 0.2449)] == [
        "0 %", "0.4 %", "1.2 %", "10 %", "24 %",
    ]  # fmt: skip
    assert rate_text(1.0) == "1 bubble/s" and rate_text(2.25) == "2.25 bubbles/s"
    assert rate_text(0.7) == "0.7 bubbles/s (7 in 10 s)"
    assert mg_l(Interval(24.1, 19.6, 28.4)) == "24 mg/L (20 to 28)"
    assert mg_l(Interval(88.2, 5.66, 132.7)) == "88 mg/L (5.7 to 130)"
    assert [minutes_text(m) for m in (8.2, 43.0, 119.0, 131.0)] == [
        "8 min", "45 min", "2 h", "2 h 10 min",
    ]  # fmt: skip


def test_a_count_far_from_the_setting_is_counted_again_before_anything_is_raised(
    make_tank, make_diary, make_belief
):
    from leafgill.advise.tune import next_step

    def asked(*more):
        tank, diary = make_tank(), make_diary(*BASE, (50.9, "ph", 7.0), *more)
        belief = make_belief(tank, diary, 51.0)
        return next_step(tank, diary, belief, belief.now)

    assert asked().action == "raise"
    assert asked((50.95, "bubble_count", 12.0)).action != "measure"
    step = asked((50.95, "bubble_count", 3.0))
    assert step.action == "measure" and step.rate is None
    (row,) = [row for row in step.reasons if row.about == "misfit"]
    assert not row.passed and row.text.startswith(
        "0.3 bubbles/s (3 in 10 s) counted at 10:57 where "
    )
    assert "count again" in row.text
    # what runs, written down as the setting, settles it
    assert asked((50.95, "bubble_count", 3.0), (50.97, "bubble_rate", 0.3)).action != "measure"
    # while the line fills a count tells nothing
    assert asked((49.2, "bubble_count", 4.0)).action == "raise"
