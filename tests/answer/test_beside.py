"""What stands beside a step, in words and in JSON."""

import json
from dataclasses import replace

import pytest

from leafgill.advise.step import Beside, Weighed
from leafgill.answer import figures, said
from leafgill.answer.counsel_json import as_json
from leafgill.estimate.belief import Interval

NOTE = Beside(
    "surface",
    "The surface takes much of the gas.",
    (Weighed("gas_saved_a_day", Interval(0.8, 0.6, 1.1), "g"), Weighed("chance", 0.02, "")),
)


@pytest.fixture(scope="module")
def noted(hallway):
    return replace(hallway, step=replace(hallway.step, beside=(NOTE,)))


def test_a_note_is_told_with_what_belongs_to_the_step(noted, hallway):
    assert ("Surface", NOTE.text) in said.what_follows(noted)
    assert "Surface" not in dict(said.what_follows(hallway))


@pytest.mark.parametrize(
    ("about", "label"),
    [
        ("hours", "Gas hours would do"),
        ("water change", "Water change"),
        ("leave", "Until then"),
    ],
)
def test_every_note_has_a_label(hallway, about, label):
    step = replace(hallway.step, beside=(Beside(about, "Words."),))
    assert (label, "Words.") in said.what_follows(replace(hallway, step=step))


def test_a_note_s_figures_carry_their_unit_in_json(noted):
    told = json.loads(json.dumps(figures.plain(as_json(noted)), allow_nan=False))
    (note,) = told["step"]["beside"]
    assert note["about"] == "surface" and note["text"] == NOTE.text
    assert note["figures"] == {
        "gas_saved_a_day_g": {"mean": 0.8, "low": 0.6, "high": 1.1},
        "chance": 0.02,
    }


def test_moved_hours_and_leaving_it_are_said_in_one_line(hallway):
    hours = replace(hallway.step, action="hours", rate=None, schedule="08:30-17:00")
    moved = replace(hallway, step=hours)
    assert said.what_to_do(moved) == "Move the gas hours, leave the valve: 08:30-17:00"
    assert "Gas hours" not in dict(said.what_follows(moved))
    left = replace(hallway.step, action="leave", rate=None)
    assert said.what_to_do(replace(hallway, step=left)) == "Leave it alone"
