"""A balance in words, JSON, figures and picture."""

import json
from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest

from leafgill.advise.balance import balance_of
from leafgill.answer import balance_light_said as light
from leafgill.answer import balance_said as said
from leafgill.answer.balance_figures import figures_of
from leafgill.answer.balance_json import as_json
from leafgill.answer.balance_picture import picture_of
from leafgill.answer.explain import amount, bare, figures_json
from leafgill.answer.figures import plain
from leafgill.diary import Diary, Entry
from leafgill.tank.bottle import bottle_of
from leafgill.tank.spec import Tank
from leafgill.tank.spec_balance import Feeding, Lamp, Salts, Tap

WEEKS = 3


def kept_diary(counsel, *more):
    """Return the example's diary with water changes, doses and tests of the days before now."""
    at = counsel.now - timedelta(days=4)
    rows = [
        Entry(at, "water_change", 30.0, "%"),
        Entry(at + timedelta(hours=1), "dose", 1.0, "g", "KNO3"),
        Entry(at + timedelta(days=1), "test", 10.0, "mg/L", "nitrate"),
        Entry(at + timedelta(days=1), "test", 0.5, "mg/L", "phosphate"),
        Entry(at + timedelta(days=3), "test", 10.0, "mg/L", "nitrate"),
        *more,
    ]
    # after now: nothing of it may be told
    rows.append(Entry(counsel.now + timedelta(days=1), "dose", 9.0, "g", "KNO3"))
    return Diary([*counsel.diary.entries, *rows], timezone=counsel.diary.timezone)


def kept_tank(tank):
    return replace(
        tank,
        salts=Salts(("KNO3", "Fe-DTPA"), (bottle_of("phosphate: 250 mL, KH2PO4 5 g"),)),
        lamp=Lamp(power_w=38.0),
        tap=Tap(nitrate_mg_l=8.0),
        feeding=Feeding(food_g_day=0.3),
    )


@pytest.fixture(scope="module")
def diary(hallway):
    return kept_diary(hallway)


@pytest.fixture(scope="module")
def balance(hallway, diary):
    return balance_of(kept_tank(hallway.tank), diary, hallway.belief, hallway.belief.now, WEEKS)


@pytest.fixture(scope="module")
def unknown(hallway):
    return balance_of(hallway.tank, hallway.diary, hallway.belief, hallway.belief.now, 1)


def test_the_first_line_is_what_holds_growth_back(balance):
    first, growth = said.headline(balance)
    assert balance.limiting.name in first.casefold()
    assert growth.startswith(f"The plants fix {amount(balance.carbon.value, 2)} g (")
    assert f"{amount(balance.growth.value, 2)} g (" in growth


def test_a_limit_is_said_as_surely_as_it_is_known(balance):
    def line(chance, fullness=60.0, gain=20.0, known=True, key="light"):
        limits = [
            replace(one, known=known if one.key == key else one.known,
                    chance=replace(one.chance, value=chance if one.key == key else 30.0),
                    fullness=replace(one.fullness, value=fullness),
                    gain=replace(one.gain, value=gain))
            for one in sorted(balance.limits, key=lambda one: one.key != key)
        ]  # fmt: skip
        return said.headline(replace(balance, limits=tuple(limits)))[0]

    assert line(80.0) == (
        "Light most likely holds growth back (chance 80 %); with it in plenty growth would be 20 % "
        "more"
    )
    assert line(80.0, gain=900.0).endswith("there would be several times the growth")
    assert line(80.0, gain=0.0) == "Light most likely holds growth back (chance 80 %)"
    assert line(40.0).startswith("Light (40 %) or carbon dioxide (30 %) holds growth back")
    assert line(80.0, fullness=95.0).startswith("Nothing holds growth back much: light")
    assert line(80.0, known=False).endswith("by what is usual: nothing of this tank tells")


def test_without_light_nothing_is_said_of_limits(balance):
    dark = replace(balance, carbon=replace(balance.carbon, value=0.0))
    assert said.headline(dark) == [
        "What holds growth back cannot be told: no hours of light are known"
    ]


def test_what_nothing_tells_of_stands_apart(balance, unknown):
    rows = {row[0] for row in said.limit_rows(balance)}
    assert rows == {"Light", "Carbon dioxide", "Nitrate", "Phosphate", "Potassium"}
    assert {row[0] for row in said.limit_rows(unknown)} == {"Light, as is usual", "Carbon dioxide"}
    line = said.limit_notes(balance)[1]
    assert line.startswith("No test and no dose tells of ")
    assert "iron" in line and "nitrate" not in line
    names = {row[0] for row in said.outlook_rows(unknown)}
    assert names == {"Nitrate", "Phosphate", "Potassium", "Calcium", "Magnesium", "Iron"}
    traces = {row[0] for row in said.outlook_rows(unknown, traces=True)}
    assert traces == {"Manganese", "Zinc", "Boron", "Copper", "Molybdenum"}


def test_doses_are_those_of_the_plan(balance, unknown):
    rows = said.dose_rows(balance)
    assert [row[0] for row in rows] == [dose.what for dose in balance.plan.doses]
    line = said.doses_line(balance)
    assert line.startswith("In the week ahead give ")
    for dose, row in zip(balance.plan.doses, rows, strict=True):
        assert f"{amount(dose.each.value, 2)} {dose.unit} of {dose.what}" in line
        assert row[2] == said.often(dose.a_week)
        assert row[3] == said.brings(dose)
    assert said.doses_line(unknown).startswith("By what is usual, and no more than a beginning: ")
    none = replace(balance, plan=replace(balance.plan, doses=()))
    assert said.doses_line(none) == "Nothing need be given in the week ahead."
    assert [said.often(n) for n in (1, 2, 3, 7)] == [
        "once a week", "twice a week", "3 times a week", "every day"
    ]  # fmt: skip


def test_notes_tell_water_changes_and_usual_salts(balance, unknown):
    assert any("% of the water changed a week" in line for line in said.dose_notes(balance))
    notes = said.dose_notes(unknown)
    assert "The tank file names no salts or bottles: usual salts are shown." in notes
    dry = replace(balance.water_change_percent_week, value=0.0)
    dry_notes = said.dose_notes(replace(balance, water_change_percent_week=dry))
    assert "Reckoned without water changes: none are known." in dry_notes


def test_an_outlook_row_is_the_outlook(balance):
    row = next(row for row in said.outlook_rows(balance) if row[0] == "Nitrate")
    one = balance.nutrient("nitrate")
    assert row[1] == bare(one.now)
    assert row[2] == "5 and 40"
    assert row[4].startswith(amount(float(one.as_now.mean[-1]), 2))
    assert row[5].startswith(amount(float(one.dosed.mean[-1]), 2))
    assert len(said.outlook_titles(balance)) == len(row)
    assert said.outlook_titles(balance)[4] == "in 3 weeks, as things go on"


def test_how_a_nutrient_goes_on_is_said_in_words(balance):
    now = balance.now

    def words(short=0.0, over=0.0, days=None, known=True):
        one = balance.nutrient("nitrate")
        from_s = None if days is None else now.timestamp() + days * 86400.0
        return said.outlook_words(
            replace(one, p_short=replace(one.p_short, value=short), short_from_s=from_s,
                    p_over=replace(one.p_over, value=over), known=known),
            now,
        )  # fmt: skip

    assert words() == "stays between"
    assert words(short=30.0) == "may run short (chance 30 %)"
    assert words(short=95.0, days=-0.1) == "likely short now (chance 95 %)"
    later = now + timedelta(days=9)
    assert words(short=70.0, days=9) == (f"likely short from {later.day} {later:%B} (chance 70 %)")
    assert words(over=30.0) == "may become too much (chance 30 %)"
    assert words(over=60.0) == "likely too much (chance 60 %)"
    assert words(known=False) == "nothing tells; by what is usual stays between"


def test_a_week_s_flows_have_their_signs(balance):
    (nitrate,) = [row for row in said.flow_rows(balance) if row[0] == "Nitrate"]
    plants, food = nitrate[1], nitrate[2]
    assert plants.startswith("\u2212")
    flows = {figure.key: figure.value for figure in balance.nutrient("nitrate").week}
    assert float(food) == pytest.approx(flows["nitrate_food_mg_l_week"], rel=0.06)
    assert len(nitrate) == len(said.FLOWS)


def test_tests_stand_newest_first(balance):
    rows = said.test_rows(balance)
    assert len(rows) == 3
    day = balance.now - timedelta(days=1)
    assert rows[0][0] == f"Nitrate, {day.day} {day:%B}"
    assert rows[0][1:3] == ("10 mg/L", "6.7 to 15")
    tests = balance.nutrient("nitrate").tests
    odd = replace(balance.nutrient("nitrate"), tests=(tests[0]._replace(fits=False),))
    found = said.test_rows(replace(balance, nutrients=(odd,)))
    assert found[0][3] == "does not fit: test again"


def test_grounds_are_said_once_for_all_that_share_them(balance):
    lines = said.target_lines(balance)
    assert lines[0].startswith("Floor of nitrate 5, phosphate 0.3")
    assert any(line.startswith("Ceiling of nitrate ") and "Camargo" in line for line in lines)
    assert sum("phosphate" in line for line in lines) == 2
    assert [line[:5] for line in lines] == sorted((line[:5] for line in lines), reverse=True)


def test_what_to_do_first_is_what_is_not_known(balance, unknown, hallway):
    assert light.first_steps(balance) == []
    assert [step.about for step in light.first_steps(unknown)] == [
        "lamp", "test", "fertiliser", "food"
    ]  # fmt: skip
    dark = replace(unknown, light=replace(unknown.light, hours=None))
    assert light.first_steps(dark)[0].about == "hours"
    changing = replace(unknown, water_change_percent_week=balance.water_change_percent_week)
    assert "tap" in [step.about for step in light.first_steps(changing)]


def test_light_says_whether_it_was_measured(balance, unknown):
    rows = dict(light.light_rows(balance))
    assert rows["Light at the plants"].endswith("(worked out from the lamp)")
    assert rows["Hours of light"] == "6 h a day"
    assert " mol/m²" in rows["Light of a day"]
    assert dict(light.light_rows(unknown))["Light at the plants"] == "not known"
    told = replace(balance.light, measured=True)
    assert (
        "(measured)" in dict(light.light_rows(replace(balance, light=told)))["Light at the plants"]
    )


def test_more_light_and_other_hours_say_what_is_not_advised(balance):
    assert [row[0] for row in light.step_rows(balance)] == ["1.25 times", "1.5 times", "2 times"]
    assert len(light.step_titles(balance)) == len(light.step_rows(balance)[0])
    assert len(light.day_titles(balance)) == len(light.day_rows(balance)[0])
    assert light.day_rows(balance)[0][0] == "As now: 11:00 to 17:00"
    assert light.day_rows(balance)[0][2] == "0"
    assert "over 30 mg/L" in light.step_titles(balance)
    refused = tuple(
        replace(one, possible=False, reason="not advised: CO2 would pass 30 mg/L")
        for one in balance.light_up
    )
    told = replace(balance, light_up=refused)
    assert light.step_rows(told)[0][-1] == "not advised"
    assert light.step_notes(told)[0] == (
        "1.25 times the light is not advised: CO2 would pass 30 mg/L."
    )
    assert light.step_notes(replace(balance, light_up=())) == []
    assert light.day_notes(replace(balance, days=())) == []


def test_safety_is_said_beside_light_and_doses():
    more = " ".join(light.MORE_LIGHT)
    assert "animals" in more and "`leafgill next`" in more
    assert "Lower light first and gas after it" in more
    assert "Keep salts and bottles from children" in " ".join(light.DOSING)


def test_every_figure_has_a_key_of_its_own_and_opens(balance):
    figures = figures_of(balance)
    keys = [figure.key for figure in figures]
    assert len(keys) == len(set(keys))
    assert all(figure.formula and figure.source for figure in figures)
    assert {"growth_g_week", "nitrate_mg_l", "nitrate_end_dosed_mg_l", "light_150_growth_percent",
            "hours_pause_peak_mg_l", "light_fullness_percent"} <= set(keys)  # fmt: skip
    figures_json(figures)


def test_json_holds_what_the_screen_shows(balance):
    told = json.loads(json.dumps(plain(as_json(balance))))
    assert told["weeks"] == WEEKS
    nitrate = told["nutrients"]["nitrate"]
    assert nitrate["now_mg_l"]["value"] == pytest.approx(
        balance.nutrient("nitrate").now.value, rel=1e-4
    )
    assert (nitrate["floor_mg_l"], nitrate["ceiling_mg_l"]) == (5.0, 40.0)
    course = nitrate["course"]
    assert len(course["times"]) == len(course["as_now"]["mean"]) == len(course["dosed"]["high"])
    assert course["times"][-1] > told["now"]
    assert nitrate["tests"][0]["shown"] == "10 mg/L"
    assert {one["key"] for one in told["limits"]} >= {"light", "carbon", "iron"}
    assert [dose["what"] for dose in told["doses"]] == [d.what for d in balance.plan.doses]
    assert [step["factor"] for step in told["more_light"]] == [1.25, 1.5, 2.0]
    assert told["hours"][0]["light"] == ["11:00-17:00"]

    def refs(part):
        if isinstance(part, dict):
            if "figure" in part:
                yield part["figure"]
            for name, value in part.items():
                if name != "figures":
                    yield from refs(value)
        elif isinstance(part, list):
            for value in part:
                yield from refs(value)

    found = set(refs(told))
    assert len(found) > 100
    assert found <= set(told["figures"])


def test_the_picture_holds_bands_tests_and_deeds(balance, diary):
    picture = picture_of(balance, diary)
    assert picture.days[-1] == pytest.approx(7.0 * WEEKS)
    assert np.isclose(picture.days, 0.0).any()
    assert picture.days[0] >= -35.0
    names = [panel.name for panel in picture.panels]
    assert names[0] == "nitrate"
    assert "iron, not tested" in names
    assert not any("zinc" in name for name in names)
    nitrate = picture.panels[0]
    assert nitrate.mean.size == picture.days.size
    past = picture.days <= 0.0
    assert nitrate.mean[past] == pytest.approx(nitrate.dosed_mean[past])
    assert [mark.shown for mark in nitrate.marks] == ["10 mg/L", "10 mg/L"]
    assert [mark.days for mark in nitrate.marks] == pytest.approx([-3.0, -1.0], abs=0.01)
    assert nitrate.top_mg_l > 40.0
    assert len(picture.ticks) <= 8


def test_deeds_done_and_to_come(balance, diary):
    deeds = picture_of(balance, diary).deeds
    done = [deed for deed in deeds if deed.done]
    assert {(d.kind, d.words) for d in done} == {
        ("doses", "1 g KNO3"), ("water changes", "30 %")
    }  # fmt: skip
    assert all(deed.days <= 0.0 for deed in done)
    ahead = [deed for deed in deeds if not deed.done]
    assert all(0.0 < deed.days < 7.0 * WEEKS for deed in ahead)
    given = [deed for deed in ahead if deed.kind == "doses"]
    assert len(given) == sum(WEEKS * dose.a_week for dose in balance.plan.doses)
    # one change in the diary is repeated weekly
    changes = [deed.days for deed in ahead if deed.kind == "water changes"]
    assert changes == pytest.approx([3.0, 10.0, 17.0], abs=0.1)


def test_a_tank_of_three_words(make_tank_belief):
    tank, diary, belief = make_tank_belief
    found = balance_of(tank, diary, belief, belief.now, 1)
    assert said.outlook_titles(found)[4] == "in a week, as things go on"
    assert picture_of(found, diary).deeds is not None
    json.dumps(plain(as_json(found)))


@pytest.fixture(scope="module")
def make_tank_belief():
    from datetime import datetime
    from zoneinfo import ZoneInfo

    from leafgill.estimate import believe

    tank = Tank.from_mapping({"tank": {"name": "Small", "volume_l": 40.0}})
    now = datetime(2025, 3, 8, 12, tzinfo=ZoneInfo("UTC"))
    diary = Diary([], timezone="UTC")
    return tank, diary, believe(tank, diary, now)
