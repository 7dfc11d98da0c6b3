"""A supply in words, JSON and picture."""

import json
from datetime import datetime, timedelta

import numpy as np
import pytest

from leafgill.advise.supply import supply
from leafgill.answer import supply_said as said
from leafgill.answer.figures import plain
from leafgill.answer.supply_json import as_json
from leafgill.answer.supply_picture import picture_of
from leafgill.diary import Diary, Entry
from leafgill.tank.spec import Tank

BEGIN = datetime(2025, 1, 6, 8)
NOW = datetime(2025, 2, 17, 12)


def tank_of(**rig):
    return Tank.from_mapping(
        {
            "tank": {"name": "Invented", "length_cm": 80, "width_cm": 35, "height_cm": 40},
            "day": {"lights_on": "10:00", "lights_off": "18:00"},
            "livestock": {"co2_limit_mg_l": 30.0},
            "rig": {"cylinder_kg": 2.0, "diffuser": "disc", **rig},
        }
    )


def diary_of(*more, lost_g_day=5.0, weigh=True):
    rows = [
        Entry(BEGIN, "care", "cylinder refilled"),
        Entry(BEGIN, "gas_day", "09:00-18:00"),
        Entry(BEGIN, "bubble_rate", 1.5),
    ]
    for week in range(0, 7, 2) if weigh else ():
        at = BEGIN + timedelta(days=7 * week, hours=1)
        shown = round(3600.0 + 1950.0 - lost_g_day * 7 * week)
        rows.append(Entry(at, "cylinder_mass", float(shown), "g", "regulator off"))
    return Diary([*rows, *more])


def told_of(tank, diary, **more):
    return said.Told(supply(tank, diary, NOW, **more))


@pytest.fixture(scope="module")
def told():
    return told_of(tank_of(cylinder_tare_kg=3.6, regulator="two-stage"), diary_of())


def test_the_days_come_first_then_when_to_order(told):
    first, order, change, *rest = said.headline(told)
    assert first.startswith("Gas for 3") and " days, " in first
    early = NOW + timedelta(days=told.supply.change_days.low)
    assert order == f"Order a refill by {early.day} {early:%B} {early:%Y}." or (
        early.year == 2025 and order == f"Order a refill by {early.day} {early:%B}."
    )
    assert "when it is empty" in change
    assert "kg (" in rest[0] and "g/day (" in rest[0]


def test_a_date_has_its_year_only_where_it_is_another():
    assert said.date(datetime(2025, 12, 3), NOW) == "3 December"
    assert said.date(datetime(2026, 1, 3), NOW) == "3 January 2026"


def test_each_source_is_a_row(told):
    rows = said.by_source(told)
    assert [row[0] for row in rows] == ["By the scale", "By bubbles counted", "Together"]
    assert rows[0][1:] == rows[2][1:]


def test_ten_years_is_the_most_that_is_said(told):
    figure = told.of("days_left_days")
    assert said.days_text(figure).endswith(f"to {float(f'{figure.high:.2g}'):g}")
    from dataclasses import replace

    assert said.days_text(replace(figure, high=3650.0)).endswith("to over 3600")


def test_no_leak_is_said_so(told):
    gone, nothing = said.leak(told)
    assert gone.startswith("In 42 days 210 g (") and "account for" in gone
    assert nothing.startswith("Nothing points to a leak")


def test_a_leak_names_the_check_that_settles_it():
    rows = [Entry(BEGIN + timedelta(days=42), "gas_day", "off")]
    diary = diary_of(*rows)
    at = BEGIN + timedelta(days=56)
    diary.add(Entry(at, "cylinder_mass", 5210.0, "g", "regulator off"))
    found = said.Told(supply(tank_of(cylinder_tare_kg=3.6), diary, at + timedelta(hours=2)))
    assert found.supply.leak.likely
    lines = " ".join(said.leak(found))
    assert "A leak between cylinder and counter is likely" in lines
    assert "soapy water" in lines and "leafgill commission TANK --hold high" in lines


def test_contradictions_are_told_and_both_are_held():
    diary = diary_of()
    for minutes in (10, 20, 30):
        at = NOW - timedelta(minutes=minutes)
        diary.add(Entry(at, "cylinder_pressure", 10.0, "", "room 21 °C"))
    found = told_of(tank_of(cylinder_tare_kg=3.6), diary)
    (line, *_) = said.disagreements(found)
    assert line.startswith("By the scale 1.7 kg would be left, by the gauge 0.")
    assert "one of them is wrong" in line
    assert said.by_source(found)[-1][0] == "Widest of them"


def test_the_end_speaks_of_the_keepers_own_regulator(told):
    lines = " ".join(said.end(told))
    assert "Your two-stage regulator then passes 1.0" in lines
    assert "may be used up" in lines
    assert "A worn seat" in lines
    single = told_of(tank_of(cylinder_tare_kg=3.6), diary_of())
    assert "A single-stage regulator, if that is yours," in " ".join(said.end(single))


def test_a_surge_that_harms_says_when_to_change():
    tank = tank_of(cylinder_tare_kg=3.6, regulator="single-stage", working_pressure_bar=1.0)
    rows = [Entry(BEGIN, "bubble_rate", 3.5)]
    found = told_of(tank, Diary([Entry(BEGIN, "gas_day", "09:00-18:00"), *rows]))
    assert found.supply.change_g is not None
    (text,) = (line for line in said.end(found) if "Change the cylinder" in line)
    assert "bar (" in text and "kg (" in text and "in a room of 21 °C" in text
    assert "before the regulator surges" in said.headline(found)[2]


def test_nothing_read_says_what_it_rests_on():
    found = told_of(tank_of(), diary_of(weigh=False))
    assert "Nothing of this cylinder was weighed or read" in " ".join(said.headline(found))
    bare = told_of(tank_of(), Diary([]))
    assert said.by_source(bare)[0][0] == "By what such tanks use"
    assert "can be said once a bubble rate is written down" in " ".join(said.end(bare))
    assert said.end_table(bare) == []
    assert said.what_would_help(bare)


def test_the_table_of_the_end_has_both_regulators(told):
    rows = said.end_table(told)
    assert [row[0] for row in rows] == ["As set", "End, single-stage", "End, two-stage"]
    assert rows[0][1] == "1"
    assert said.limit_title(told.supply) == "over 30 mg/L"


def test_json_holds_the_same(told):
    found = json.loads(json.dumps(plain(as_json(told))))
    supply_ = told.supply
    assert found["days_left"]["value"] == pytest.approx(supply_.days.value, rel=1e-4)
    assert found["gas_left_g"]["low"] <= found["gas_left_g"]["value"]
    assert found["cautions"] == list(supply_.cautions)
    assert set(found["sources"]) == {"scale", "bubbles"}
    assert found["end"]["regulators"]["single-stage"]["flow_ratio"]["value"] > 1.1
    assert found["end"]["says"] == said.end(told)
    assert found["figures"]["gas_left_kg"]["formula"]
    early = datetime.fromisoformat(found["order_by"])
    assert early == (supply_.now + timedelta(days=supply_.change_days.low)).replace(microsecond=0)


def test_every_number_of_the_headline_is_a_figures(told):
    import re

    known = set()
    for figure in told.figures:
        for value in (figure.value, figure.low, figure.high):
            if value is not None:
                known |= {f"{float(f'{value:.2g}'):g}", f"{float(f'{value:.3g}'):g}"}
    for line in (said.headline(told)[0], said.headline(told)[3]):
        for number in re.findall(r"\d+(?:\.\d+)?", line):
            assert number in known, (number, line)


def test_the_picture_has_the_readings_and_the_dates(told):
    picture = picture_of(told)
    assert [mark.kind for mark in picture.marks] == ["scale"] * 4
    assert picture.marks[0].kg == pytest.approx(1.95, abs=0.03)
    assert picture.marks[-1].days == pytest.approx(-0.125, abs=0.01)
    assert picture.change_kg is None
    ends = [day for day, _ in picture.ticks]
    assert ends[0] >= picture.days[0] and ends[-1] <= picture.days[-1]
    assert np.diff(ends).min() == np.diff(ends).max() >= 30.0
    assert all(len(text.split()) == 3 for _, text in picture.ticks)


def test_a_gauge_beside_liquid_is_a_long_bar():
    at = NOW - timedelta(hours=1)
    liquid = diary_of(Entry(at, "cylinder_pressure", 57.0, "", "room 21 °C"), weigh=False)
    gas = diary_of(Entry(at, "cylinder_pressure", 30.0, "", "room 21 °C"), weigh=False)
    bars = []
    for diary in (liquid, gas):
        (mark,) = picture_of(told_of(tank_of(), diary)).marks
        bars.append(mark)
    assert bars[0].high_kg == pytest.approx(2.0, rel=0.01)
    assert bars[0].high_kg - bars[0].low_kg > 4.0 * (bars[1].high_kg - bars[1].low_kg)
    # beside liquid it says no more than "at least"
    assert bars[0].kg == bars[0].low_kg and "at least" in bars[0].shown
    assert bars[1].low_kg < bars[1].kg < bars[1].high_kg and "at least" not in bars[1].shown
