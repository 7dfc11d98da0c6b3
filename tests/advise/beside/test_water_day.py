"""Water-change days: what a change did, and when the next is best done."""

import pytest

from leafgill.advise.beside.water_day import (
    after_change,
    before_change,
    best_and_late,
    change_notes,
)
from leafgill.advise.emergency import with_change
from leafgill.advise.forecast import run
from leafgill.diary import Diary, Entry

WEEKLY = {"water_change": {"percent": 40, "every_days": 7}}
LAST = (24.0 - 5 * 24.0, "water_change", 40.0)  # due at 08:00 tomorrow


def figures(note):
    return {one.name: one.value for one in note.figures}


def test_what_the_last_change_did(settled, around):
    told = settled("07:00-17:00", (50.5, "water_change", 40.0))
    note = after_change(around(told), told[1])
    said, (_, _, belief) = figures(note), told
    # two fifths of the water, whose CO2 is the belief's of new water
    fresh = float(belief.draws.new_co2_mg_l.mean())
    before = said["co2_before"].mean
    assert said["co2_after"].mean == pytest.approx(before + 0.4 * (fresh - before), rel=0.06)
    assert said["kh_after"].mean == pytest.approx(said["kh_before"].mean, rel=0.03)
    assert "40 % of the water was changed 10:30" in note.text
    assert "Nothing is raised before pH or colour has been read since" in note.text
    assert "KH of the new water is not noted" in note.text


def test_a_noted_kh_and_a_reading_after_are_not_asked_for_again(settled, around):
    tank, diary, belief = settled("07:00-17:00", (49.0, "water_change", 40.0))
    noted = Diary(
        [
            Entry(e.time, e.kind, e.value, note="kh 2") if e.kind == "water_change" else e
            for e in diary.entries
        ]
    ).localised("UTC")
    note = after_change(around((tank, noted, belief)), noted)
    assert "not noted" not in note.text and "Nothing is raised" not in note.text


def test_a_change_of_yesterday_is_not_told_again(settled, around):
    told = settled("07:00-17:00", (38.0, "water_change", 40.0))
    assert after_change(around(told), told[1]) is None
    assert change_notes(around(settled()), settled()[1]) == ()


def test_the_next_change_is_best_before_the_gas(settled, around):
    told = settled("09:00-18:00", LAST, tap={"kh_dkh": 2.0}, **WEEKLY)
    situation = around(told)
    note = before_change(situation, told[1])
    said = figures(note)
    assert "due 08:00 tomorrow. Best at 08:30 tomorrow, before the gas comes on" in note.text
    assert said["part"] == pytest.approx(0.4)
    # the new water's lower KH takes off what the lost CO2 puts on: 0.18 and 0.08
    assert said["ph_change_late"].mean == pytest.approx(0.18 - 0.08, abs=0.08)
    assert said["ph_change_late"].mean > said["ph_change_early"].mean + 0.1
    assert said["co2_after_late"].mean < 0.82 * said["co2_before_late"].mean
    assert said["co2_lit_with_it_early"].mean > 0.95 * 17.5
    kh = float(told[2].through("alkalinity_meq_l", told[2].edges_s[-1:]).mean() / 0.3566)
    assert said["kh_after"].mean == pytest.approx(0.6 * kh + 0.4 * 2.0, abs=0.05)
    assert said["kh_after"].low < said["kh_after"].mean < said["kh_after"].high


def test_the_late_change_is_the_forecast_with_it(settled, around):
    told = settled("09:00-18:00", LAST, **WEEKLY)
    situation, belief = around(told), told[2]
    times = best_and_late(situation, situation.now.replace(day=6, hour=8))
    assert (times.best.hour, times.best.minute) == (8, 30)
    assert (times.late.day, times.late.hour) == (6, 17)
    at_s = times.late.timestamp()
    timeline = belief.problem.evidence.timeline
    changed, draws = with_change(belief, timeline, belief.draws, at_s, 0.4)
    ahead = run(belief, changed, draws, situation.now_s, times.lit[1].timestamp())
    said = figures(before_change(situation, told[1]))
    assert said["co2_after_late"].mean == pytest.approx(ahead.at("co2", at_s + 900.0).mean())


def test_gas_that_comes_on_asleep_leaves_the_first_waking_hour(settled, around):
    told = settled("07:00-17:00", LAST, **WEEKLY)
    note = before_change(around(told), told[1])
    assert "Best at 08:00 tomorrow, as soon as somebody is there" in note.text
    assert "KH of the new water is not known" in note.text
    assert before_change(around(told, (13, 22)), told[1]) is None


def test_no_word_of_a_change_that_is_not_due(settled, around):
    fresh = settled("09:00-18:00", (40.0, "water_change", 40.0), **WEEKLY)
    assert before_change(around(fresh), fresh[1]) is None
    assert before_change(around(settled()), settled()[1]) is None


def test_notes_stand_beside_the_step(settled, advised):
    step = advised(settled("09:00-18:00", LAST, target={"co2_mg_l": 20.0}, **WEEKLY))
    assert step.action == "raise"
    assert [note.about for note in step.beside] == ["water change"]
