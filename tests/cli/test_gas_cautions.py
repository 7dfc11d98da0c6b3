"""Wherever a cylinder is sized or handled, people are told what it can do to them.

Each line below is looked for in what `rig`, `supply` and `commission` print and in their JSON: a
caution taken out anywhere turns this red.
"""

import re
from pathlib import Path

import pytest

from leafgill.examples import HALLWAY

TANKS = Path(__file__).parents[2] / "examples" / "tanks"
NOW = ("--now", "2025-03-08T12:00")

CAUTIONS = {
    "room air if all escapes": r"closed room of 45 m³, its air holds 2\.\d % CO2",
    "danger to life": r"At 4 % air is immediately dangerous to life",
    "limit of a working day": r"0\.5 % for a working day",
    "limits of a quarter of an hour": r"1\.5 % \(UK\) to 3 % \(NIOSH\) for 15 minutes",
    "room that would do": r"It takes a room of \d+ m³",
    "upright": r"Stand the cylinder upright and fasten it",
    "ventilate": r"Keep the room ventilated",
    "leave at once": r"Then leave at once",
    "closed cupboard": r"Never keep a cylinder in a closed cupboard",
    "car in the sun": r"Never leave a cylinder in a car in the sun",
    "pressure in the heat": r"a full one stands at \d+ bar at 50 °C",
    "room temperature first": r"come to the room's temperature before it is connected",
    "leak test": r"Leak test every joint with soapy water",
    "frostbite": r"freezes skin and eyes",
    "supplier fills and inspects": r"Only a supplier fills, inspects and repairs a cylinder",
    "local rules first": r"Local codes, the supplier's instructions and licensed practice come",
}
HOLD = ("--hold", "high", "--first", "45 bar", "20 °C", "--second", "44 bar", "20 °C",
        "--hours", "12")  # fmt: skip
ASKED = {
    "rig": ("rig", "TANK", *NOW),
    "supply": ("supply", "TANK", HALLWAY.diary, *NOW),
    "commission": ("commission", "TANK"),
    "commission with a hold": ("commission", "TANK", *HOLD),
}


def arguments(name):
    tank = TANKS / "every-key.toml"
    return [tank if part == "TANK" else part for part in ASKED[name]]


@pytest.mark.parametrize("name", list(ASKED))
def test_the_screen_says_every_caution(command, name):
    ran = command(*arguments(name))
    assert ran.code == 0, ran.err
    text = " ".join(ran.out.split())
    missing = [what for what, pattern in CAUTIONS.items() if not re.search(pattern, text)]
    assert missing == []


@pytest.mark.parametrize("name", list(ASKED))
def test_the_json_says_every_caution(command, name):
    ran = command(*arguments(name), "--json")
    assert ran.code == 0, ran.err
    text = " ".join(" ".join(ran.json["cautions"]).split())
    missing = [what for what, pattern in CAUTIONS.items() if not re.search(pattern, text)]
    assert missing == []


@pytest.mark.parametrize("name", list(ASKED))
def test_the_figures_of_the_cautions_open(command, name):
    figures = command(*arguments(name), "--json").json["figures"]
    for key in ("room_co2_ppm", "smallest_room_m3", "full_at_50_c_bar"):
        assert figures[key]["formula"] and figures[key]["source"], key
