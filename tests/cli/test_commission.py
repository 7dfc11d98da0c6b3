"""`leafgill commission` as a person runs it."""

import re
import struct
from pathlib import Path

import pytest

TANKS = Path(__file__).parents[2] / "examples" / "tanks"
TANK = TANKS / "every-key.toml"


def hold(side="high", first=("45 bar", "20 °C"), second=("44 bar", "20 °C"), hours="12"):
    return ("--hold", side, "--first", *first, "--second", *second, "--hours", hours)


def refused(ran, *said):
    assert ran.code == 2, ran.out
    assert ran.out == ""
    assert len(ran.err.splitlines()) == 1, ran.err
    assert ran.err.startswith("leafgill: ")
    for text in said:
        assert text in ran.err, ran.err


def test_the_list_with_the_cautions_before_it(command):
    ran = command("commission", TANK)
    assert ran.code == 0, ran.err
    lines = ran.out.splitlines()
    assert lines[0] == "Every key: 2 kg cylinder, two-stage regulator, solenoid, inline"
    assert ran.out.index("Take care first") < ran.out.index("Putting it together")
    assert "☐ 1. Look the cylinder over and weigh it" in lines
    assert any(line.startswith("☐ 18. First bubbles") for line in lines)
    assert "The pressure hold" not in ran.out
    assert ran.err == ""


@pytest.mark.parametrize("path", sorted(TANKS.glob("*.toml")), ids=lambda path: path.stem)
def test_every_example(command, path):
    ran = command("commission", path)
    assert ran.code == 0, ran.err
    assert max(map(len, ran.out.splitlines())) <= 100


def test_a_hold_is_told_first(command):
    ran = command("commission", TANK, *hold(second=("20 bar", "20 °C")))
    assert ran.code == 0, ran.err
    assert ran.out.index("It leaks (high side") < ran.out.index("Take care first")
    told = command("commission", TANK, *hold(second=("20 bar", "20 °C")), "--json").json["hold"]
    assert told["verdict"] == "leaks"
    assert told["lost_g_per_day"]["low"] > 0.5


def test_units_as_keepers_have_them(command):
    us = command(
        "commission", TANK, *hold("low", ("29 psi", "70 °F"), ("2.9 psi", "70 °F")), "--json"
    ).json["hold"]
    assert us["first"]["gauge_bar"] == pytest.approx(2.0, abs=0.01)
    assert us["first"]["temperature_c"] == pytest.approx(21.1, abs=0.1)
    assert us["verdict"] == "leaks"


def test_a_volume_and_a_step_of_ones_own(command):
    told = command("commission", TANK, *hold(), "--volume", "12 mL", "--gauge-step", "0.5",
                   "--json").json  # fmt: skip
    assert told["hold"]["volume_ml"]["value"] == 12.0
    assert told["hold"]["volume_ml"]["high"] < 13.5
    usual = command("commission", TANK, *hold(), "--json").json["hold"]
    wide = usual["lost_g_per_day"]["high"] - usual["lost_g_per_day"]["low"]
    own = told["hold"]["lost_g_per_day"]
    assert own["high"] - own["low"] < 0.7 * wide


def test_the_outlet_by_its_spellings(command):
    for typed in ("CGA 320", "cga320", "cga-320"):
        assert command("commission", TANK, "--outlet", typed, "--json").json["outlet"] == "cga-320"
    assert command("commission", TANK, "--json").json["outlet"] == "din-477-6"


def test_the_room_moves_the_gauge(command):
    cold, warm = (
        command("commission", TANK, "--room-temperature", t, "--json").json["figures"]
        for t in ("15", "25")
    )
    key = "full_gauge_bar"
    assert warm[key]["value"] - cold[key]["value"] > 10.0


def test_figures_open_on_asking(command):
    out = command("commission", TANK, "--explain").out
    assert "How each figure was worked out" in out
    assert "Newton's law of cooling" in out
    assert "How each figure" not in command("commission", TANK).out


def test_the_chart(command, tmp_path):
    path = tmp_path / "hold.png"
    assert command("commission", TANK, *hold(), "--chart", path).code == 0
    head = path.read_bytes()[:24]
    width, height = struct.unpack(">II", head[16:24])
    assert head[:8] == b"\x89PNG\r\n\x1a\n" and width > 1400 and height > 600
    svg = tmp_path / "hold.svg"
    assert command("commission", TANK, *hold(), "--chart", svg).code == 0
    assert "if tight" in svg.read_text("utf-8")


@pytest.mark.parametrize(
    ("options", "says"),
    [
        (("--outlet", "hdmi"), ("--outlet", "cga-320", "tr21-4")),
        (("--outlet", "cga-32"), ("did you mean cga-320?",)),
        (("--hold", "middle"), ("--hold", '"middle"', "hose, low, high")),
        (("--hold", "high"), ("--first", "--second", "--hours", "missing")),
        (("--first", "2 bar", "20 °C"), ("--first belongs to a pressure hold", "--hold")),
        (("--hours", "3"), ("--hours belongs to a pressure hold",)),
        (hold(hours="-3"), ("--hours = -3 h cannot be",)),
        (hold(hours="nan"), ("--hours",)),
        (hold(first=("45 bars of gold", "20 °C")), ("--first pressure", "not a unit of pressure")),
        (hold(first=("450 bar", "20 °C")), ("--first pressure = 450 bar", "0 to 75 bar")),
        (hold("low", first=("45 bar", "20 °C")), ("--first pressure = 45 bar", "0 to 10 bar")),
        (hold(second=("44 bar", "warm")), ("--second temperature", '"warm" is not a number')),
        (hold(second=("44 bar", "70 °C")), ("--second temperature", "0 to 30 °C")),
        (hold(first=("0 bar", "20 °C")), ("nothing to lose",)),
        ((*hold(), "--volume", "0"), ("--volume = 0 mL cannot be",)),
        ((*hold(), "--volume", "3 kg"), ("--volume", "not a unit of volume")),
        ((*hold(), "--gauge-step", "50"), ("--gauge-step = 50 bar cannot be",)),
        (("--chart", "hold.png"), ("--chart draws a pressure hold", "--hold")),
        (("--room-temperature", "100"), ("--room-temperature", "0 to 45")),
    ],
)
def test_wrong_options(command, options, says):
    refused(command("commission", TANK, *options), *says)


def test_wrong_files(command, tmp_path):
    refused(command("commission", tmp_path / "gone.toml"), "gone.toml", "no such file")
    refused(command("commission"), "TANK")


def test_what_a_hold_cannot_be_made_on(command):
    refused(command("commission", TANKS / "shrimp-cube.toml", *hold()), "no valve to shut",
            "low, hose")  # fmt: skip
    refused(command("commission", TANKS / "home-brew.toml", *hold("low", ("1 bar", "20"),
            ("1 bar", "20"))), "yeast", "must not be shut")  # fmt: skip


def test_the_page_names_every_key_of_the_json(command):
    page = (Path(__file__).parents[2] / "docs" / "cli.md").read_text("utf-8")
    part = page.split("\n## commission\n")[1].split("\n## ")[0].split("### As JSON")[1]
    named = set()
    for row in re.findall(r"^\| ((?:`[a-z_]+`(?:, )?)+) \|", part, re.MULTILINE):
        named |= set(re.findall("`([a-z_]+)`", row))
    told = command("commission", TANK, *hold(), "--json").json
    assert named == set(told)
    for key in told["hold"]:
        assert f"`{key}`" in part, key
