"""A commissioning in words, JSON and picture."""

import json

import pytest

from leafgill.advise.commission import commission
from leafgill.advise.leak_space import HIGH, HOSE, LOW, Hold, Reading, closed_volume
from leafgill.advise.leak_test import USUAL_STEP_BAR
from leafgill.answer import commission_said as said
from leafgill.answer.commission_json import as_json
from leafgill.answer.figures import plain
from leafgill.answer.hold_picture import picture_of
from leafgill.science.cited import Range
from leafgill.tank.spec import Tank


def tank_of(**rig):
    return Tank.from_mapping({"tank": {"name": "Invented", "volume_l": 100}, "rig": rig})


def held(side, first, second, hours, **rig):
    tank = tank_of(cylinder_kg=2.0, **rig)
    volume, origin = closed_volume(tank.rig, side)
    hold = Hold(side, Reading(*first), Reading(*second), hours, volume, origin,
                USUAL_STEP_BAR[side])  # fmt: skip
    return commission(tank, hold=hold)


def test_the_rig_in_one_line():
    tank = tank_of(cylinder_kg=2.0, regulator="two-stage", solenoid=True, diffuser="disc", count=2)
    assert said.title(commission(tank)) == "2 kg cylinder, two-stage regulator, solenoid, 2 x disc"
    assert said.title(commission(tank_of(source="acid-bicarbonate"))) == "acid and bicarbonate"


@pytest.mark.parametrize(
    ("second", "hours", "line"),
    [
        (45.0, 24.0, "Tight (high side, cylinder valve shut, 45 to 45 bar in 24 h)"),
        (20.0, 12.0, "It leaks (high side"),
        (45.0, 6.0, "Cannot tell yet (high side, cylinder valve shut, 45 to 45 bar in 6 h): read"),
    ],
)
def test_the_verdict_in_one_line(second, hours, line):
    assert said.verdict(held(HIGH, (45.0, 20.0), (second, 20.0), hours).hold).startswith(line)


def test_grams_are_never_less_than_nothing():
    assert said.loss(Range(-0.2, -0.5, -0.1)) == "nothing"
    assert said.loss(Range(-0.01, -0.2, 0.1)) == "nothing to be seen, at most 0.1 g/day"
    assert said.loss(Range(0.12, -0.02, 0.3)) == "0.12 g/day, 0 to 0.3"


def test_the_lines_of_a_leak():
    lines = said.hold_lines(held(HIGH, (45.0, 20.0), (20.0, 20.0), 12.0).hold)
    assert lines[0].startswith("Gone: 2.")
    assert "the chance of more than 0.1 g/day, 36 g a year, is over 99 %" in lines[1]
    assert lines[2].startswith("That is 0.") and lines[2].endswith("a year.")
    assert any("valve must have been shut" in line for line in lines)


def test_the_wall_has_a_line():
    lines = said.hold_lines(held(HOSE, (2.0, 20.0), (0.5, 20.0), 12.0, hose="pvc").hold)
    assert any(line.startswith("Of it through the hose's wall") for line in lines)


def test_json_holds_the_same():
    found = held(LOW, (2.0, 20.0), (0.2, 20.0), 12.0)
    told = json.loads(json.dumps(plain(as_json(found))))
    assert told["hold"]["verdict"] == "leaks"
    assert told["hold"]["leak_g_per_day"]["value"] == pytest.approx(
        found.hold.leak_g_day.value, rel=1e-4
    )
    assert told["hold"]["says"][0] == said.verdict(found.hold)
    assert [item["key"] for item in told["checklist"]] == [item.key for item in found.items]
    assert told["cautions"] == list(found.cautions)
    assert set(told["figures"]) == {figure.key for figure in found.figures}
    assert as_json(commission(tank_of()))["hold"] is None


def test_the_picture_of_a_tight_hold_follows_the_warmth():
    test = held(HIGH, (45.0, 21.0), (44.7, 20.0), 24.0).hold
    picture = picture_of(test, "Invented")
    assert picture.title.startswith("Invented: tight")
    assert picture.tight_bar[0] == pytest.approx(45.0, abs=0.05)
    # 0.3 bar a degree of gas at 45 bar
    assert picture.tight_bar[-1] == pytest.approx(44.68, abs=0.1)
    assert picture.limit_bar[-1] < picture.tight_bar[-1] - 1.0
    assert picture.walls_bar is None
    assert [mark.shown for mark in picture.marks] == ["45 bar, 21 °C", "44.7 bar, 20 °C"]


def test_the_picture_reaches_to_the_hour_to_wait_for():
    test = held(HIGH, (45.0, 20.0), (45.0, 20.0), 6.0).hold
    picture = picture_of(test, "Invented")
    assert picture.wait_h == test.wait_h
    assert picture.hours[-1] == pytest.approx(test.wait_h)


def test_the_picture_of_a_hose_has_its_wall():
    test = held(HOSE, (2.0, 20.0), (1.0, 20.0), 12.0, hose="silicone").hold
    picture = picture_of(test, "Invented")
    assert picture.walls_bar is not None
    # silicone empties it within the hours
    assert picture.walls_bar[-1] == 0.0
