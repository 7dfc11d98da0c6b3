"""From a counsel to the day's picture."""

from dataclasses import replace
from datetime import datetime
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from leafgill.advise.forecast import Plan
from leafgill.answer.day import _ticks, day_ends, picture_of
from leafgill.diary import Diary, Entry
from leafgill.science.indicator import co2_boundaries_mg_l


def test_the_band_is_the_belief_up_to_now(hallway):
    picture = picture_of(hallway)
    first, _ = day_ends(hallway.now, "Europe/Lisbon")
    past = picture.hours < picture.now_h
    band = hallway.belief.band("co2", first + picture.hours[past] * 3600.0)
    assert np.allclose(picture.mean[past], band.mean)
    assert np.allclose(picture.outer_low[past], band.low)
    assert np.allclose(picture.outer_high[past], band.high)


def test_bands_are_nested(hallway):
    picture = picture_of(hallway)
    for outer, inner in ((picture.outer_low, picture.inner_low),
                         (-picture.outer_high, -picture.inner_high)):  # fmt: skip
        assert (outer <= inner).all()
    assert (picture.inner_low < picture.inner_high).all()


def test_after_now_it_is_what_the_step_makes_of_it(hallway):
    picture = picture_of(hallway)
    end = picture.hours.searchsorted(17.0)
    outlook = hallway.stepped.outlook
    first, _ = day_ends(hallway.now, "Europe/Lisbon")
    expected = outlook.at("co2", first + picture.hours[end] * 3600.0)
    assert picture.mean[end] == pytest.approx(expected.mean())
    untouched = hallway.as_set.outlook.at("co2", first + picture.hours[end] * 3600.0)
    assert picture.mean[end] > untouched.mean() + 0.5


def test_it_runs_from_midnight_to_midnight(hallway):
    picture = picture_of(hallway)
    assert picture.length_h == 24.0
    assert picture.hours[0] == 0.0
    assert picture.hours[-1] == 24.0
    assert picture.now_h == pytest.approx(12.0 + 10.0 / 60.0)
    assert [text for _, text in picture.ticks][::4] == ["00:00", "12:00", "24:00"]


def test_light_and_gas_are_the_diarys(hallway):
    bars = {bar.name: bar.spans for bar in picture_of(hallway).bars}
    assert bars == {"light": ((11.0, 17.0),), "gas": ((10.0, 17.0),)}


def test_gas_ends_when_the_step_shuts_it(hallway):
    shut = replace(hallway, plan=Plan(bubble_rate=0.0))
    bars = {bar.name: bar.spans for bar in picture_of(shut).bars}
    assert bars["gas"] == ((10.0, pytest.approx(12.0 + 10.0 / 60.0)),)


def test_marks_are_readings_each_by_itself(hallway):
    marks = picture_of(hallway).marks
    noon = next(mark for mark in marks if mark.hour == 12.0)
    assert noon.kind == "electrode"
    assert noon.shown == "pH 7.18"
    assert noon.low < noon.co2_mg_l < noon.high
    # off by 0.12 pH nine times in ten: a factor of 1.32 either way, and a little for the KH
    assert 1.3 < noon.high / noon.co2_mg_l < 1.5
    hand = next(mark for mark in marks if mark.kind == "hand test")
    assert hand.high / hand.low > noon.high / noon.low


def test_a_logged_reading_is_not_drawn_beside_the_same_in_the_diary(hallway):
    diary = Diary(hallway.diary.entries, hallway.diary.streams, timezone="Europe/Lisbon")
    diary.add(Entry("2025-03-08T09:35", "ph_probe", 7.80))
    twice = replace(hallway, diary=diary)
    electrode = [mark.hour for mark in picture_of(twice).marks if mark.kind == "electrode"]
    logged = [0.5 + hour for hour in range(9)]
    assert electrode == pytest.approx([*logged, 9.0 + 35.0 / 60.0, 10.5, 11.5, 12.0])


def test_a_colour_is_its_range_on_the_card_set_back_by_the_lag(hallway):
    mark = next(mark for mark in picture_of(hallway).marks if mark.kind == "drop checker")
    assert mark.shown == "blue"
    assert mark.low == 0.0
    assert mark.high == pytest.approx(co2_boundaries_mg_l(24.5)[0])
    lag_h = hallway.belief.unknowns()["checker_lag"][0].mean
    assert mark.hour == pytest.approx(12.0 - lag_h)


def test_no_mark_is_later_than_now(hallway):
    diary = Diary(hallway.diary.entries, hallway.diary.streams, timezone="Europe/Lisbon")
    diary.add(Entry("2025-03-08T14:00", "ph_probe", 6.90))
    diary.add_readings("ph", ["2025-03-08T15:30"], [6.88])
    picture = picture_of(replace(hallway, diary=diary))
    assert max(mark.hour for mark in picture.marks) <= picture.now_h


def test_the_day_the_clocks_go_forward_has_23_hours():
    at = datetime(2025, 3, 30, 15, 0, tzinfo=ZoneInfo("Europe/Berlin"))
    first, last = day_ends(at, "Europe/Berlin")
    assert (last - first) / 3600.0 == 23.0
    ticks = {text: hour for hour, text in _ticks(first, last, "Europe/Berlin")}
    assert ticks["03:00"] == 2.0
    assert ticks["12:00"] == 11.0
    assert ticks["24:00"] == 23.0


def test_the_day_they_go_back_has_25():
    at = datetime(2025, 10, 26, 15, 0, tzinfo=ZoneInfo("Europe/Berlin"))
    first, last = day_ends(at, "Europe/Berlin")
    assert (last - first) / 3600.0 == 25.0
    ticks = {text: hour for hour, text in _ticks(first, last, "Europe/Berlin")}
    assert ticks["12:00"] == 13.0


def test_the_title_is_the_sentence(hallway):
    picture = picture_of(hallway)
    assert picture.title.startswith("Hallway tank: CO2 ")
    assert picture.title.endswith(" at 12:10")
    assert picture.subtitle.startswith("Saturday 8 March 2025.")
