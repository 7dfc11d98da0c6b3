"""`leafgill supply` as a person runs it."""

import re
import struct
from pathlib import Path

import pytest

from leafgill.examples import HALLWAY, READING_ROOM

TANKS = Path(__file__).parents[2] / "examples" / "tanks"
NOW = ("--now", "2025-03-08T12:00")


@pytest.fixture
def files(tmp_path):
    """A tank with a cylinder whose tare is known, and the diary of the example."""
    tank = tmp_path / "tank.toml"
    text = READING_ROOM.tank.read_text("utf-8")
    tank.write_text(text + "cylinder_tare_kg = 3.2\n", "utf-8")
    return tank, READING_ROOM.diary


def refused(ran, *said):
    assert ran.code == 2, ran.out
    assert ran.out == ""
    assert len(ran.err.splitlines()) == 1, ran.err
    assert ran.err.startswith("leafgill: ")
    for text in said:
        assert text in ran.err


def test_the_answer_in_the_order_it_is_needed(command, files):
    ran = command("supply", *files, *NOW)
    assert ran.code == 0, ran.err
    lines = ran.out.splitlines()
    assert lines[0] == "Reading room tank, Saturday 8 March 2025 12:00"
    assert lines[1].startswith("Gas for ") and " days, " in lines[1]
    assert lines[2].startswith("Order a refill ")
    parts = ["What is left", "Is there a leak", "The end of the cylinder",
             "A reading that would help", "Taken for granted", "Take care"]  # fmt: skip
    places = [ran.out.index(f"\n{part}\n") for part in parts]
    assert places == sorted(places)
    assert "1.7 kg" in ran.out  # 4924 g less 3.2 kg
    assert ran.err == ""


def test_the_probe_and_the_room_are_taken(command):
    ran = command("supply", HALLWAY.tank, HALLWAY.diary, "--probe", HALLWAY.probe, *NOW,
                  "--room-temperature", "68 °F")  # fmt: skip
    assert ran.code == 0
    assert re.search(r"the gauge shows 56 bar \(5[345] to 5[89]\)", " ".join(ran.out.split()))
    assert "room is taken as" not in ran.out


def test_figures_open_on_asking(command, files):
    short, long = (command("supply", *files, *NOW, *more) for more in ((), ("--explain",)))
    assert "How each figure was worked out" not in short.out
    assert "How each figure was worked out" in long.out
    assert "weight without regulator 4924 g (diary, 7 March 2025)" in " ".join(long.out.split())
    assert "Span & Wagner 1996" in long.out


def test_json(command, files):
    told = command("supply", *files, *NOW, "--json").json
    assert told["tank"] == "Reading room tank"
    assert told["now"] == "2025-03-08T12:00:00+00:00"
    assert told["gas_left_g"]["low"] < told["gas_left_g"]["value"] < told["gas_left_g"]["high"]
    assert told["order_by"] == told["change"]["early"]
    assert told["figures"]["days_left_days"]["value"] == pytest.approx(
        told["days_left"]["value"], rel=1e-4
    )
    assert told["leak"]["gone_g"]["value"] == 42.0


def test_a_diary_with_nothing_in_it(command, tmp_path):
    diary = tmp_path / "diary.csv"
    diary.write_text("time,kind,value,unit,note\n", "utf-8")
    ran = command("supply", TANKS / "smallest.toml", diary, *NOW)
    assert ran.code == 0, ran.err
    assert "Nothing of this cylinder was weighed or read" in ran.out
    assert "By what such tanks use" in ran.out
    assert "A reading that would help" in ran.out


def test_the_chart(command, files, tmp_path):
    path = tmp_path / "gas.png"
    assert command("supply", *files, *NOW, "--chart", path).code == 0
    head = path.read_bytes()[:24]
    assert head[:8] == b"\x89PNG\r\n\x1a\n"
    width, height = struct.unpack(">II", head[16:24])
    assert width > 1400 and height > 700


def test_words_fit_the_width(command, files):
    out = command("supply", *files, *NOW, "--explain").out
    assert max(map(len, out.splitlines())) <= 100


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("warm", "--room-temperature"),
        ("99", "accepted: 0 to 45 °C"),
        ("20 bar", "not a unit of temperature"),
    ],
)
def test_a_room_that_cannot_be(command, files, typed, says):
    refused(command("supply", *files, *NOW, "--room-temperature", typed), says)


def test_wrong_files_and_moments(command, files, tmp_path):
    tank, diary = files
    refused(command("supply", tank, tmp_path / "gone.csv"), "gone.csv", "no such file")
    refused(command("supply", diary, tank), "tank file")
    refused(command("supply", tank, diary, "--now", "soon"), "--now", "ISO 8601")
    refused(command("supply", tank, diary, "--chart", tmp_path / "gas.doc"), "--chart", ".png")
    refused(command("supply", tank), "DIARY")


def test_yeast_is_no_cylinder(command, files):
    refused(command("supply", TANKS / "home-brew.toml", files[1], *NOW),
            '[rig] source = "yeast"', "leafgill rig")  # fmt: skip


def test_the_page_names_every_key_of_the_json(command, files):
    page = (Path(__file__).parents[2] / "docs" / "cli.md").read_text("utf-8")
    part = page.split("\n## supply\n")[1].split("\n## ")[0].split("### As JSON")[1]
    named = set()
    for row in re.findall(r"^\| ((?:`[a-z_]+`(?:, )?)+) \|", part, re.MULTILINE):
        named |= set(re.findall("`([a-z_]+)`", row))
    assert named == set(command("supply", *files, *NOW, "--json").json)
