from dataclasses import replace
from pathlib import Path

import pytest
from django.http import QueryDict
from hypothesis import given
from hypothesis import strategies as st

from leafgill.tank.fields import FIELDS
from leafgill.tank.spec import Tank
from leafgill.web.forms.habits import Habits
from leafgill.web.forms.parts import BY_SLUG, PART_OF, PARTS, SETUP, input_name
from leafgill.web.forms.tank_form import (
    Checked,
    check,
    form_fields,
    merged,
    read_typed,
    tank_of,
    with_part,
)
from leafgill.web.forms.tank_shown import (
    held,
    part_rows,
    shown_values,
)
from leafgill.web.forms.tank_words import help_text

HABITS = [Habits(), Habits("us", "."), Habits("metric", ","), Habits("us", ",")]
EVERY_KEY = Path(__file__).parents[3] / "examples" / "tanks" / "every-key.toml"


def typed(slug, **values):
    part = BY_SLUG[slug]
    names = {input_name(key).replace("-", "_"): input_name(key) for key in part.keys}
    names |= {f"day_{which}_all": f"day-{which}_all" for which in ("lights", "gas", "air")}
    return {names[name]: value for name, value in values.items()}


def test_every_key_of_the_tank_file_is_asked_for_once():
    asked = [key for part in PARTS for key in part.keys]
    assert sorted(asked) == sorted((s, k) for s, keys in FIELDS.items() for k in keys)
    assert set(PART_OF) == set(asked)
    assert [part.slug for part in SETUP] == ["size", "water", "day", "animals", "gas"]


@pytest.mark.parametrize("habits", HABITS)
def test_a_description_shown_and_sent_back_is_the_same_description(habits):
    tank = Tank.load(EVERY_KEY)
    content = held(tank)
    shown = shown_values(content, habits)
    back = {}
    for part in PARTS:
        checked = check(part, shown, habits, content)
        assert checked.fine, (part.slug, checked.errors)
        back[part.slug] = checked.sections
    again = Tank.from_mapping(merged(back))
    assert replace(again, findings=()) == replace(tank, findings=())


def test_us_measures_are_taken_as_such():
    shown = typed("size", tank_name="Den", tank_length_cm="24", tank_width_cm="12")
    shown |= typed("size", tank_height_cm="16", tank_volume_l="")
    checked = check(BY_SLUG["size"], shown, Habits("us"))
    assert checked.fine
    tank = Tank.from_mapping(checked.sections)
    assert tank.length_cm == pytest.approx(60.96)
    assert tank.volume_l == pytest.approx(0.9 * 24 * 12 * 16 * 2.54**3 / 1000)


def test_every_wrong_input_is_told_of_beside_it():
    shown = typed("size", tank_name="Den", tank_length_cm="4", tank_width_cm="wide")
    shown |= typed("size", tank_height_cm="40", tank_timezone="berlin")
    checked = check(BY_SLUG["size"], shown, Habits())
    assert set(checked.errors) == {"tank-length_cm", "tank-width_cm", "tank-timezone"}
    assert checked.errors["tank-length_cm"].startswith("4 is not accepted; accepted: 5 to 1000")
    assert '"wide" is not a number' in checked.errors["tank-width_cm"]
    assert "Europe/Berlin" in checked.errors["tank-timezone"]


def test_a_tank_needs_a_name_and_a_size():
    checked = check(BY_SLUG["size"], typed("size", tank_length_cm="60"), Habits())
    assert checked.errors == {
        "tank-name": 'Give it a name, as "Living room".',
        "tank-volume_l": "Give the water in it, or the other lengths.",
    }
    nothing = check(BY_SLUG["size"], {}, Habits())
    assert nothing.errors["tank-volume_l"] == "Give the water in it, or length, width and height."


def test_an_hour_that_stands_alone_is_told_of_in_the_pages_words():
    checked = check(BY_SLUG["day"], typed("day", day_gas_on="08:30"), Habits())
    assert checked.errors == {
        "day-gas_on": '"08:30" stands alone; accepted: with "The gas goes off", as "20:00", or '
        "neither"
    }


def test_around_the_clock_is_a_tick_that_shows_again():
    checked = check(BY_SLUG["day"], typed("day", day_gas_all="on", day_gas_on="08:30"), Habits())
    assert checked.sections == {"day": {"gas_on": "00:00", "gas_off": "24:00"}}
    shown = shown_values(checked.sections, Habits())
    assert shown["day-gas_all"] == "on"
    assert shown["day-gas_on"] == shown["day-gas_off"] == ""


def test_what_is_doubtful_stands_beside_its_input():
    shown = typed("size", tank_name="Den", tank_length_cm="60", tank_width_cm="30")
    shown |= typed("size", tank_height_cm="36", tank_volume_l="30")
    checked = check(BY_SLUG["size"], shown, Habits())
    assert checked.fine
    assert checked.doubts["tank-volume_l"].startswith('30 L is only 46% of the box of "Inner len')


def test_animals_and_none_at_once_are_refused():
    shown = {"livestock-kinds": ["none", "fish"]}
    checked = check(BY_SLUG["animals"], shown, Habits())
    assert checked.errors == {
        "livestock-kinds": '"none" stands beside fish; accepted: animals, or none alone'
    }


def test_the_form_shows_again_what_was_typed():
    shown = typed("water", tank_temperature_c="hot", water_kh_dkh="4")
    fields = {
        at.name: at
        for at in form_fields(
            BY_SLUG["water"], shown, Habits(), Checked(errors={"tank-temperature_c": "no"})
        )
    }
    assert fields["tank-temperature_c"].value == "hot"
    assert fields["tank-temperature_c"].error == "no"
    assert fields["tank-temperature_c"].described_by == (
        "f-tank-temperature_c-help f-tank-temperature_c-error"
    )
    assert fields["water-kh_dkh"].value == "4"
    assert fields["water-kh_dkh"].unit == "dKH"


def test_an_hour_a_clock_cannot_show_is_shown_as_text():
    sections = {"day": {"gas_on": "20:00", "gas_off": "24:00"}}
    shown = shown_values(sections, Habits())
    fields = {f.name: f for f in form_fields(BY_SLUG["day"], shown, Habits(), Checked())}
    assert (fields["day-gas_off"].widget, fields["day-gas_off"].value) == ("text", "24:00")
    assert fields["day-gas_on"].widget == "time"


def test_one_part_changed_leaves_the_others():
    content = held(Tank.load(EVERY_KEY))
    part = BY_SLUG["water"]
    changed = with_part(content, part, {"water": {"kh_dkh": 6.0}})
    assert changed["water"] == {"kh_dkh": 6.0}
    assert "temperature_c" not in changed["tank"]
    assert changed["tank"]["name"] == content["tank"]["name"]
    assert changed["rig"] == content["rig"]


def test_a_whole_description_tells_doubts_and_faults_by_input():
    tank, doubts, wrong = tank_of(
        {"tank": {"name": "a", "volume_l": 60.0}, "target": {"co2_mg_l": 40.0}}, Habits()
    )
    assert tank is not None
    assert wrong == []
    assert doubts == {
        "target-co2_mg_l": "40 mg/L is above the animals' limit of 30 mg/L, and is held to it"
    }
    none, _, wrong = tank_of({"tank": {"name": "a"}}, Habits())
    assert none is None
    assert wrong[0].startswith("Water in it: is missing")


def test_a_review_names_what_is_known_in_the_keepers_measures():
    rows = dict(part_rows(BY_SLUG["gas"], held(Tank.load(EVERY_KEY)), Habits("us")))
    assert rows["CO2 when full"] == "4.409 lb"
    assert rows["Kind of regulator"] == "two stage"
    assert rows["Solenoid valve"] == "yes"


def test_what_is_sent_is_cut_to_a_sane_length_and_lists_stay_lists():
    post = QueryDict(mutable=True)
    post.setlist("livestock-kinds", ["fish", "shrimp"])
    post["livestock-co2_limit_mg_l"] = "9" * 5000
    read = read_typed(BY_SLUG["animals"], post)
    assert read["livestock-kinds"] == ["fish", "shrimp"]
    assert len(read["livestock-co2_limit_mg_l"]) == 300


@given(
    st.sampled_from(PARTS),
    st.lists(
        st.text(max_size=12) | st.sampled_from(["1,5", "12 in", "08:30", "yes", "fish"]),
        min_size=18,
        max_size=18,
    ),
    st.sampled_from(HABITS),
)
def test_whatever_is_typed_is_kept_or_told_of(part, words, habits):
    shown = {}
    for key, word in zip(part.keys, words, strict=False):
        several = FIELDS[key[0]][key[1]].sort == "words"
        shown[input_name(key)] = [word] if several else word
    checked = check(part, shown, habits)
    fields = form_fields(part, shown, habits, checked)
    assert {f.name for f in fields} >= set(checked.errors)
    assert all("\n" not in error for error in checked.errors.values())
    if checked.fine:
        back = check(part, shown_values(checked.sections, habits), habits)
        assert back.fine


def test_a_field_says_how_another_unit_is_written_in_the_measures_one_does_not_use():
    assert help_text(("tank", "length_cm"), Habits()) == "Or with its unit, as 15.7 in."
    assert help_text(("tank", "length_cm"), Habits("us")) == "Or with its unit, as 40 cm."
    assert help_text(("tank", "width_cm"), Habits()) == ""
    assert help_text(("water", "kh_dkh"), Habits("metric", ",")) == "Or with its unit, as 71 ppm."
