"""A tracker follows readings, gives CO2 as they come, and says what is not as believed."""

import math
from datetime import timedelta
from math import log

import numpy as np
import pytest

from leafgill.diary import Entry
from leafgill.errors import InputError
from leafgill.estimate.watch.hypotheses import Hypothesis
from leafgill.estimate.watch.tracker import Tracker

HOUR = 3600.0


def test_a_tank_that_goes_on_as_believed_is_left_in_peace(probed, probed_belief, made, follow):
    rows = made(probed, probed_belief, 30.0)
    tracker, at_s, alert = follow(probed, probed_belief, rows)
    assert at_s is None, alert
    assert tracker.verdict.as_believed > 0.7
    assert np.std(tracker.pursuit.ledger.innovations) == pytest.approx(1.0, abs=0.35)


def test_readings_narrow_co2_as_they_come(probed, probed_belief, made):
    rows = made(probed, probed_belief, 8.0)
    blind = Tracker.of(probed.tank, probed.diary, probed_belief).rest(rows[-1][0]).co2
    tracker = Tracker.of(probed.tank, probed.diary, probed_belief)
    seeing = [tracker.take(*row) for row in rows][-1].co2
    assert math.log(seeing.high / seeing.low) < 0.9 * math.log(blind.high / blind.low)
    assert seeing.low < seeing.mean < seeing.high


def test_the_first_co2_is_the_belief_s_own(probed, probed_belief):
    tracker = Tracker.of(probed.tank, probed.diary, probed_belief)
    ours, theirs = tracker.co2(), probed_belief.co2(probed.now)
    assert ours.mean == pytest.approx(theirs.mean, rel=0.05)
    assert ours.low == pytest.approx(theirs.low, rel=0.15)
    assert ours.high == pytest.approx(theirs.high, rel=0.15)


@pytest.mark.parametrize(
    ("fault", "onset_h", "within_h"),
    [
        # the fit ends at 8 h; gas runs from 8:30 to 17:00, light from 10:30 to 18:30
        (Hypothesis("surge", "any", 0.01, rate=log(2.0)), 4.0, 1.0),
        (Hypothesis("stuck open", "gas off", 0.01, gas="open"), 9.0, 1.0),
        (Hypothesis("stuck shut", "gas on", 0.01, gas="shut"), 0.5, 1.2),
        (Hypothesis("kh changed", "any", 0.01, kh=log(0.6), change=0.55), 5.0, 4.0),
        (Hypothesis("aeration on", "any", 0.01, air=True), 4.0, 6.0),
    ],
)
def test_a_fault_is_named(probed, probed_belief, made, follow, fault, onset_h, within_h):
    rows = made(probed, probed_belief, onset_h + within_h + 0.2, fault, onset_h)
    kinds = {"stuck shut": ("stuck shut", "gas lost")}.get(fault.kind, (fault.kind,))
    _, at_s, alert = follow(probed, probed_belief, rows, kinds)
    assert at_s is not None
    assert 0.0 < (at_s - probed.now.timestamp()) / HOUR - onset_h <= within_h
    assert alert.sure > 0.5
    assert "expected pH" in alert.seen


def test_an_electrode_that_jumped_is_not_taken_for_water(probed, probed_belief, made, follow):
    rows = made(probed, probed_belief, 9.0, onset_h=3.0, jump=0.35)
    _, at_s, alert = follow(probed, probed_belief, rows)
    assert at_s is not None
    assert "probe jumped" in alert.kinds
    assert abs((alert.since.timestamp() - probed.now.timestamp()) / HOUR - 3.0) <= 1.0


def test_a_wild_reading_is_no_alarm(probed, probed_belief, made, follow):
    rows = made(probed, probed_belief, 10.0)
    rows[20] = (rows[20][0], rows[20][1] - 1.5)
    _, at_s, _ = follow(probed, probed_belief, rows)
    assert at_s is None


def test_a_dead_electrode_is_said_and_not_followed(probed, probed_belief, made):
    rows = made(probed, probed_belief, 6.0)
    tracker = Tracker.of(probed.tank, probed.diary, probed_belief)
    for at_s, _ in rows[:6]:
        found = tracker.take(at_s, math.nan)
    assert [alert.kind for alert in found.alerts] == ["probe dead"]
    assert tracker.pursuit.ledger.count == 0
    assert "no pH" in found.alerts[0].seen
    silent = Tracker.of(probed.tank, probed.diary, probed_belief)
    silent.take(*rows[0])
    assert silent.rest(rows[0][0] + 4 * HOUR).alerts[0].kinds == ("probe dead",)


def test_hands_after_the_fit_are_followed(probed, probed_belief):
    """A valve that is shut, and written, is no fault: the readings follow."""
    diary = probed.diary.until(probed.now)
    shut = probed.now + timedelta(hours=3)
    diary.add(Entry(shut, "bubble_rate", 0.0, "per s"))
    tracker = Tracker.of(probed.tank, diary, probed_belief)
    tracker.rest((shut + timedelta(hours=3)).timestamp())
    open_still = Tracker.of(probed.tank, probed.diary, probed_belief)
    open_still.rest((shut + timedelta(hours=3)).timestamp())
    assert tracker.co2().mean < 0.6 * open_still.co2().mean


def test_hand_readings_are_enough_to_doubt(hand_kept, hand_belief, write):
    """No bubbles where two a second were set, read twice: the gas is lost."""
    diary = hand_kept.diary.until(hand_kept.now)
    for clock in ("11:00", "13:00"):
        diary.add(write(4, clock, "bubble_count", 0, "10 s"))
    tracker = Tracker.of(hand_kept.tank, diary, hand_belief)
    found = tracker.rest(hand_kept.now.timestamp() + 6 * HOUR)
    assert found.alerts
    assert {"gas lost", "stuck shut"} & set(found.alerts[0].kinds)
    assert "no bubbles counted" in found.alerts[0].seen


def test_the_same_seed_gives_the_same_answer(probed, probed_belief, made):
    rows = made(probed, probed_belief, 3.0)
    ends = []
    for seed in (0, 0, 1):
        tracker = Tracker.of(probed.tank, probed.diary, probed_belief, seed=seed)
        ends.append([tracker.take(*row) for row in rows][-1].co2)
    assert ends[0] == ends[1]
    assert ends[0] != ends[2]


def test_the_belief_and_the_diary_are_untouched(probed, probed_belief, made):
    before = probed_belief.z.copy(), probed_belief.days.co2.copy(), len(probed.diary)
    tracker = Tracker.of(probed.tank, probed.diary, probed_belief)
    for row in made(probed, probed_belief, 2.0):
        tracker.take(*row)
    assert np.array_equal(before[0], probed_belief.z)
    assert np.array_equal(before[1], probed_belief.days.co2)
    assert before[2] == len(probed.diary)


def test_time_does_not_go_back(probed, probed_belief):
    tracker = Tracker.of(probed.tank, probed.diary, probed_belief)
    now_s = probed.now.timestamp()
    tracker.take(now_s + 600.0, 7.0)
    with pytest.raises(InputError, match="accepted: in order"):
        tracker.take(now_s + 540.0, 7.0)
