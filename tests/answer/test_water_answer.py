from datetime import timedelta

import numpy as np
import pytest

from leafgill.advise.water.blend import blend
from leafgill.advise.water.change import change_of
from leafgill.advise.water.habit import habit_of
from leafgill.advise.water.minerals import Wish
from leafgill.advise.water.remineral import remineralise
from leafgill.advise.water.sources import pure_water, stated, tap_of, with_guesses
from leafgill.answer import water_said as said
from leafgill.answer.water_json import blend_json, change_json, recipe_json
from leafgill.science.cited import Range


@pytest.fixture(scope="module")
def tap(hallway):
    return stated(tap_of(hallway.tank), kh_dkh=9.0, gh_dgh=14.0)


@pytest.fixture(scope="module")
def change(hallway, tap):
    new = with_guesses(tap, ["nitrate"])
    return change_of(hallway.belief, hallway.now, 0.5, new, {"nitrate": Range(20.0, 15.0, 25.0)})


def test_a_mix(tap):
    told = blend(tap, pure_water(tap), 50.0, kh_dkh=4.0)
    assert said.blend_headline(told) == ("21.7 L of tap water and 28.3 L of pure water (57 % pure)")
    rows = dict(said.blend_rows(told))
    assert rows["KH"].startswith("4 dKH, 3.")
    assert rows["pH as poured"].startswith("7.")
    notes = " ".join(said.blend_notes(told))
    assert "CO2 of the tap water is guessed" in notes
    assert blend_json(told)["pure_part"] == told.part.value


def test_minerals(tap):
    told = remineralise(pure_water(tap), Wish(4.0, 6.0), 40.0)
    assert said.recipe_headline(told).startswith("For 40 L: KH 4 dKH, 3.")
    assert [row[0] for row in said.recipe_rows(told)] == ["CaCl2.2H2O", "MgSO4.7H2O", "KHCO3"]
    state = said.recipe_state(told)
    assert state[0].startswith("Conductivity at 25 °C: ")
    assert state[1].startswith("pH at rest in room air: 8.")
    assert "pH." not in state[1]
    answer = recipe_json(told)
    assert answer["grams"]["KHCO3"] == pytest.approx(told.grams[2].value)
    assert answer["cautions"]
    ready = remineralise(tap, Wish(9.0, 14.0), 40.0)
    assert "nothing is to be added" in said.recipe_headline(ready)


def test_a_change_at_once_and_after(change, hallway):
    assert said.change_title(change).startswith("Hallway tank, 8 March 2025, 12:10; tap water of")
    assert said.change_headline(change).startswith("50 % changed: CO2 ")
    rows = {row[0]: row[1:] for row in said.change_rows(change)}
    assert set(rows) == {"CO2", "pH", "KH", "GH", "Warmth", "Nitrate"}
    assert rows["Warmth"][0] == "24.5 °C"
    course = said.course_rows(change)
    assert [row[0] for row in course][:4] == ["before", "5 min", "10 min", "15 min"]
    assert course[0][1] == course[0][2]
    assert len(course[0]) == len(said.COURSE)
    ahead = " ".join(said.ahead(change))
    assert "chance of over 30 mg/L" in ahead
    assert "Shut the gas before" not in ahead


def test_gassy_water_says_to_shut_the_gas(hallway, tap):
    gassy = change_of(hallway.belief, hallway.now, 0.8, stated(tap, co2_mg_l=120.0))
    assert "Shut the gas before this change" in said.ahead(gassy)[-1]


def test_what_the_animals_feel(change):
    rows = {name: (words, passed) for name, words, passed in said.animals(change)}
    words, passed = rows["kh"]
    assert not passed
    assert "At most" in words
    assert "common practice, no source" in words
    assert rows["warmth"][1]


def test_how_it_is_taken_in(change):
    lines = said.taken_in(change)
    assert 'a water change of 50 % with the note "kh 9"' in lines[0]


def test_a_wider_kh_asks_for_a_test(hallway, tap):
    from dataclasses import replace

    wide = replace(tap, kh_dkh=Range(9.0, 2.0, 16.0))
    told = change_of(hallway.belief, hallway.now + timedelta(minutes=5), 0.8, wide)
    assert "test KH an hour after it" in said.taken_in(told)[1]


def test_the_series(change):
    habit = habit_of(change.part, 7.0, change.new, change.start_of_series())
    assert said.habit_headline(habit).startswith("The same change, 50 % every 7 days")
    titles, rows = said.habit_titles(habit), said.habit_rows(habit)
    assert titles == ("", "now", "after 1", "after 4", "in the end", "changes")
    assert [row[0] for row in rows] == ["KH, dKH", "GH, dGH", "Nitrate, mg/L"]
    assert {len(row) for row in rows} == {len(titles)}
    assert {row[-1] for row in rows} == {"4"}


def test_guesses_are_named_and_facts_are_not(change):
    (line,) = said.assumed(change.new.origins)
    assert line.startswith("CO2 and nitrate of the tap water are guessed")
    assert said.assumed({"kh_dkh": "tank file"}) == []


def test_json_of_a_change(change):
    habit = habit_of(change.part, 7.0, change.new, change.start_of_series())
    told = change_json(change, habit)
    assert told["after"]["co2_mg_l"]["value"] == change.co2_after.value
    assert told["course"][0]["co2_mg_l"]["mean"] == pytest.approx(
        told["course"][0]["without"]["co2_mg_l"]["mean"]
    )
    assert told["series"]["levels"]["KH"]["end"]["value"] == pytest.approx(9.0, rel=0.02)
    assert [one["name"] for one in told["animals"]] == ["warmth", "kh", "gh"]
    assert set(told["figures"]) == {one.key for one in (*change.figures, *habit.figures)}
    assert change_json(change)["series"] is None


def test_the_cautions_speak_of_chlorine_warmth_and_pouring():
    words = " ".join(said.ALWAYS)
    for word in ("chlorine", "chloramine", "thermometer", "slowly"):
        assert word in words
    assert np.all([line.endswith(".") for line in said.ALWAYS])
