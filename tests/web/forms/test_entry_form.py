from datetime import datetime
from zoneinfo import ZoneInfo

import pytest
from django.http import QueryDict

from leafgill.diary import KINDS, Entry, Kind
from leafgill.diary.csv_reader import read_diary
from leafgill.web.forms.entry_form import (
    form_fields,
    fresh,
    names,
    of_entry,
    read_entry,
    read_typed,
    said,
)
from leafgill.web.forms.entry_kinds import EXTRAS, GROUPS, LEADS, TITLES, UNITS
from leafgill.web.forms.habits import Habits

HABITS = [Habits(), Habits("us", "."), Habits("metric", ","), Habits("us", ",")]
AT = "2025-03-04T12:30"


def read(kind, habits=None, **typed):
    return read_entry(kind, {"time": AT, **typed}, habits or Habits())


def entry_of(text):
    (entry,), findings = read_diary("time,kind,value,unit,note\n" + text)
    assert not [f for f in findings if f.level == "error"]
    return entry


def test_every_kind_has_a_title_a_place_and_a_form():
    assert sorted(kind for _, kinds in GROUPS for kind in kinds) == sorted(Kind)
    assert set(TITLES) == set(LEADS) == set(Kind)
    for kind in Kind:
        fields = form_fields(
            kind, fresh(kind, datetime(2025, 3, 4, 12, 30), Habits()), Habits(), {}
        )
        assert [f.name for f in fields if f.name not in names(kind)] == []
        assert set(names(kind)) == {f.name for f in fields}
        assert fields[0].value == AT


@pytest.mark.parametrize("habits", HABITS)
@pytest.mark.parametrize("kind", list(Kind))
def test_an_entry_shown_and_sent_back_is_the_same_entry(kind, habits):
    entry = entry_of(KINDS[kind].example)
    back = read_entry(kind, of_entry(entry, habits), habits, entry)
    assert back.errors == {}
    assert back.entry == entry


@pytest.mark.parametrize("kind", list(Kind))
def test_units_offered_are_units_the_kind_is_read_in(kind):
    for unit in UNITS.get(kind, ()):
        low = KINDS[kind].accepted[0] or 1.0
        value = {"psi": 100, "ppm": 71, "kg": 5, "lb": 5, "oz": 50, "°F": 77, "per min": 60}
        found = read(
            kind, value=str(value.get(unit, max(low, 20) if unit == "°C" else low)), unit=unit
        )
        assert found.errors == {}, (unit, found.errors)


@pytest.mark.parametrize("kind", list(EXTRAS))
def test_what_a_form_asks_beside_the_value_is_read_by_the_diary_and_found_again(kind):
    answers = {
        "read_to": ("0.2", "resolution", 0.2),
        "instrument": ("probe", "instrument", "probe"),
        "air": ("outdoors", "air", "outdoors"),
        "drawn": ("2025-03-03T08:00", "drawn", datetime(2025, 3, 3, 8, 0)),
        "water_c": ("11.5", "water_c", 11.5),
        "drop": ("0.5", "resolution", 0.5),
        "new_kh": ("3.5", "new_kh_dkh", 3.5),
        "substance": ("phosphate", "substance", "phosphate"),
    }
    for extra in EXTRAS[kind]:
        for answer in {answers[extra.name][0], *(c.value for c in extra.choices if c.value)}:
            found = read(kind, value="7", note="by the window", **{extra.name: answer})
            assert found.errors == {}
            entry = found.entry
            shown = of_entry(entry, Habits())
            assert shown[extra.name] == answer
            assert shown["note"] == "by the window"
        value, attribute, expected = answers[extra.name]
        entry = read(kind, value="7", **{extra.name: value}).entry
        assert getattr(entry, attribute) == expected


def test_a_count_is_bubbles_over_seconds():
    entry = read(Kind.BUBBLE_COUNT, value="17", seconds="20").entry
    assert entry.number == pytest.approx(0.85)
    assert entry.seconds == 20.0
    assert of_entry(entry, Habits())["value"] == "17"
    assert said(entry, Habits()) == "0.85 per s, counted over 20 s"


def test_a_unit_typed_after_the_number_wins():
    assert read(Kind.TEMPERATURE, value="77 °F", unit="°C").entry.number == pytest.approx(25.0)


def test_hours_may_be_off_or_all_day():
    assert str(read(Kind.GAS_DAY, on="08:30", off="17:30").entry.value) == "08:30-17:30"
    assert str(read(Kind.GAS_DAY, never="on").entry.value) == "off"
    assert str(read(Kind.GAS_DAY, always="on").entry.value) == "00:00-24:00"
    assert set(read(Kind.GAS_DAY, on="08:30").errors) == {"off"}
    assert set(read(Kind.GAS_DAY, never="on", always="on").errors) == {"never"}


@pytest.mark.parametrize(
    ("kind", "typed", "name", "words"),
    [
        (Kind.PH, {"value": "66"}, "value", "did you mean 6.6?"),
        (Kind.PH, {"value": ""}, "value", "Is empty"),
        (Kind.KH, {"value": "71", "unit": "dKH"}, "value", "71 ppm"),
        (Kind.DROP_CHECKER, {}, "value", "Choose one."),
        (Kind.FISH, {"value": "green"}, "value", "is not known"),
        (Kind.BUBBLE_COUNT, {"value": "9", "seconds": "x"}, "seconds", "not a unit"),
        (Kind.BUBBLE_COUNT, {"value": "9", "seconds": "0"}, "seconds", "1 to 3600 s"),
        (Kind.WATER_CHANGE, {"value": "40", "new_kh": "44"}, "new_kh", "44 ppm"),
        (Kind.GAS_DAY, {"on": "25:00", "off": "26:00"}, "on", "hours as 08:30-17:30"),
        (Kind.NOTE, {}, "note", "Write something."),
        (Kind.CARE, {}, "value", "Is empty"),
    ],
)
def test_what_is_wrong_is_told_beside_the_input(kind, typed, name, words):
    found = read(kind, **typed)
    assert found.entry is None
    assert set(found.errors) == {name}
    assert words in found.errors[name]


def test_a_time_that_is_none_is_told_beside_it():
    found = read_entry(Kind.PH, {"time": "soon", "value": "6.8"}, Habits())
    assert "soon" in found.errors["time"]
    assert read_entry(Kind.PH, {"value": "6.8"}, Habits()).errors == {
        "time": "Give the day and the time."
    }


def test_a_comma_means_what_the_keeper_means_by_it():
    assert read(
        Kind.CYLINDER_MASS, Habits("metric", ","), value="5,931", unit="kg"
    ).entry.number == pytest.approx(5931.0)
    found = read(Kind.PH, Habits("metric", ","), value="6,8")
    assert found.entry.number == 6.8


def test_a_time_left_as_shown_keeps_its_seconds_and_its_pass_of_a_repeated_hour():
    zone = ZoneInfo("Europe/Berlin")
    second_pass = datetime(2025, 10, 26, 2, 30, 12, tzinfo=zone, fold=1)
    entry = Entry(second_pass, Kind.PH, "6.8")
    shown = of_entry(entry, Habits())
    shown["value"] = "6.9"
    changed = read_entry(Kind.PH, shown, Habits(), entry).entry
    assert changed.number == 6.9
    assert changed.time == second_pass
    assert changed.time.fold == 1


def test_values_are_told_in_the_keepers_measures():
    assert said(entry_of("2025-03-03T08:00,cylinder_mass,5931,g,"), Habits("us")) == "13.08 lb"
    assert said(entry_of("2025-03-03T08:00,temperature,22.6,°C,"), Habits("us", ",")) == "72,68 °F"
    assert said(entry_of("2025-03-03T08:00,ph,6.8,,"), Habits("metric", ",")) == "6,80"
    assert said(entry_of("2025-03-03T08:00,ph,6.805,,"), Habits()) == "6.805"
    assert said(entry_of("2025-03-03T08:00,dose,5,mL,iron"), Habits()) == "5 mL"


def test_only_a_kinds_own_inputs_are_read_from_what_was_sent():
    post = QueryDict("time=x&value=1&admin=1&unit=g")
    assert read_typed(Kind.PH, post) == {"time": "x", "value": "1", "read_to": "", "note": ""}
