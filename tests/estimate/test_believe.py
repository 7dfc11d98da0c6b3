"""From a diary to a belief: what it holds, what it forgives, and how often it is right."""

from datetime import timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from leafgill.diary import Diary
from leafgill.estimate import believe
from leafgill.tank.spec import Tank


def ratio(found):
    return found.high / found.low


def test_the_truth_of_an_ordinary_tank_is_held(probed, probed_belief):
    times = np.linspace(probed.edges_s[0] + 86400.0, probed.now.timestamp(), 100)
    found = probed_belief.band("co2", times)
    truth = probed.true_co2(times)
    assert np.mean((found.low <= truth) & (truth <= found.high)) > 0.7
    assert np.median(np.abs(found.mean / truth - 1.0)) < 0.2
    assert probed_belief.misfits == ()
    assert probed_belief.effective_number >= 100


def test_the_same_seed_gives_the_same_draws(hand_kept, hand_belief):
    again = believe(hand_kept.tank, hand_kept.diary, hand_kept.now, count=120)
    other = believe(hand_kept.tank, hand_kept.diary, hand_kept.now, count=120, seed=1)
    assert np.array_equal(again.z, hand_belief.z)
    assert np.array_equal(again.days.co2, hand_belief.days.co2)
    assert not np.array_equal(other.z[:100], hand_belief.z[:100])
    assert other.co2(hand_kept.now).mean == pytest.approx(
        hand_belief.co2(hand_kept.now).mean, rel=0.25
    )


def test_the_callers_diary_is_untouched(hand_kept):
    diary = hand_kept.diary
    before = (list(diary.entries), list(diary.findings), dict(diary.streams), diary.timezone)
    believe(hand_kept.tank, diary, hand_kept.now, count=60)
    assert (list(diary.entries), list(diary.findings), dict(diary.streams), diary.timezone) == (
        before
    )


def test_entries_after_now_are_unused_and_named(hand_kept, hand_belief, write):
    later = [write(4, "12:00", "ph", 5.2), write(4, "12:00", "drop_checker", "yellow")]
    diary = Diary([*hand_kept.diary.entries, *later])
    found = believe(hand_kept.tank, diary, hand_kept.now, count=120)
    assert np.array_equal(found.z, hand_belief.z)
    assert len(found.findings) > len(hand_belief.findings)
    assert sum("is later than now" in said for said in found.findings) == 2


def test_a_naive_now_is_the_tank_s_clock(write):
    tank = Tank.from_mapping(
        {"tank": {"name": "East", "volume_l": 60, "timezone": "Asia/Tokyo"}, "water": {"kh_dkh": 4}}
    )
    naive = [row.at(row.time.replace(tzinfo=None)) for row in [write(0, "12:00", "ph", 6.8)]]
    now = naive[0].time + timedelta(hours=6)
    a = believe(tank, Diary(naive), now, count=60)
    b = believe(tank, Diary(naive), now.replace(tzinfo=ZoneInfo("Asia/Tokyo")), count=60)
    assert a.now == b.now and a.now.utcoffset() == timedelta(hours=9)
    assert np.array_equal(a.days.co2, b.days.co2)


def test_an_empty_diary_is_believed_widely(tank, when, hand_kept, hand_belief):
    found = believe(tank, Diary([]), when(1, "15:00"), count=200)
    assert ratio(found.co2(when(1, "15:00"))) > 3.0
    assert "no hours of light are written; taken as 10:00-18:00" in found.findings
    assert found.misfits == ()
    # A diary narrows what is believed of the same hour of the day.
    assert ratio(hand_belief.co2(hand_kept.now)) < ratio(found.co2(when(1, "15:00")))


def test_a_single_kh_is_enough_for_a_belief(tank, when, write):
    diary = Diary([write(0, "08:00", "kh", 7, "dKH")])
    found = believe(tank, diary, when(0, "09:00"), count=200)
    kh, _, _ = found.unknowns()["kh"]
    assert 5.5 < kh.low < 6.5 < kh.high < 8.0
    assert found.co2(when(0, "09:00")).low > 0.0


def test_missing_hours_are_said(tank, when, write):
    diary = Diary([write(0, "08:00", "bubble_rate", 1.0, "per s"), write(0, "12:00", "ph", 6.9)])
    said = believe(tank, diary, when(0, "15:00"), count=60).findings
    assert said[:2] == (
        "no hours of light are written; taken as 10:00-18:00",
        "no hours of gas are written; taken as those of the light",
    )


def test_a_contradictory_reading_is_named_and_barely_moves_the_rest(
    probed, probed_belief, write, when
):
    noon = when(2, "12:00")
    diary = Diary(probed.diary.entries, probed.diary.streams, timezone="UTC")
    diary.add(write(2, "12:00", "ph", 8.9))
    found = believe(probed.tank, diary, probed.now, count=120)
    named = [m for m in found.misfits if m.time == noon]
    assert [(m.kind, m.shown) for m in named] == [("ph", "8.90")]
    assert named[0].sigma > 3.5
    assert named[0].message == "ph 8.90 at 2025-03-05 12:00 does not fit the rest"
    assert len(found.misfits) == 1
    for moment in (noon, when(3, "15:00"), probed.now):
        before, after = probed_belief.co2(moment), found.co2(moment)
        assert after.mean == pytest.approx(before.mean, rel=0.15)


def test_a_long_diary_looks_back_four_weeks(hand_kept, write, when):
    rows = [row.at(row.time + timedelta(days=36)) for row in hand_kept.diary.entries[5:]]
    old = [write(0, "08:00", "note", "long ago"), write(0, "12:00", "ph", 5.0)]
    found = believe(hand_kept.tank, Diary([*old, *rows]), when(40, "08:00"), count=60)
    assert (found.now.timestamp() - found.edges_s[0]) / 86400.0 == pytest.approx(28.0)
    assert all(shown != "5.00" for _, _, shown in found.problem.evidence.readings)


def test_progress_is_told(hand_kept):
    told = []
    believe(hand_kept.tank, hand_kept.diary, hand_kept.now, count=60,
            progress=lambda what, part: told.append((what, part)))  # fmt: skip
    assert len(told) > 3 and told[-1][1] <= 1.0
