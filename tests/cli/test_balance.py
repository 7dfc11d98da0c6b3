"""`leafgill balance` as a person runs it."""

import struct

import pytest

from leafgill.examples import HALLWAY

NOW = ("--now", "2025-03-08T12:10")
MORE = """
[lamp]
power_w = 38
[salts]
kept = ["KNO3"]
bottles = ["phosphate: 250 mL, KH2PO4 5 g"]
"""
ENTRIES = """2025-03-05T09:00,water_change,30,%,
2025-03-05T10:00,dose,1,g,KNO3
2025-03-06T10:00,dose,5,mL,green juice
2025-03-07T09:00,test,10,mg/L,nitrate
"""


@pytest.fixture
def files(tmp_path):
    """The example's tank with a lamp and salts, and its diary with a dose and a test."""
    tank, diary = tmp_path / "tank.toml", tmp_path / "diary.csv"
    tank.write_text(HALLWAY.tank.read_text("utf-8") + MORE, "utf-8")
    diary.write_text(HALLWAY.diary.read_text("utf-8") + ENTRIES, "utf-8")
    return tank, diary


def test_the_answer_in_the_order_it_is_needed(command, files, tmp_path):
    chart = tmp_path / "weeks.png"
    ran = command("balance", *files, *NOW, "--weeks", "2", "--explain", "--chart", chart)
    assert ran.code == 0, ran.err
    assert ran.err == ""
    lines = ran.out.splitlines()
    assert lines[0] == "Hallway tank, Saturday 8 March 2025 12:10"
    assert "growth back" in lines[1]
    assert "In the week ahead give " in ran.out
    parts = ["What to do first", "What holds growth back", "A week's doses", "The nutrients",
             "What comes and goes in a week", "Tests", "Light", "More light", "Other hours",
             "Where the nutrients are kept, and why", "Taken for granted", "Take care",
             "How each figure was worked out"]  # fmt: skip
    places = [ran.out.index(f"\n{part}\n") for part in parts]
    assert places == sorted(places)
    said = " ".join(ran.out.split())
    assert "1 dose not counted (mL, green juice)" in said
    assert "Nitrate, 7 March 10 mg/L" in said
    assert "Lower light first and gas after it" in said
    assert "tanh(PPFD / Ik)" in said
    assert max(map(len, lines)) <= 100
    head = chart.read_bytes()[:24]
    assert head[:8] == b"\x89PNG\r\n\x1a\n"
    width, height = struct.unpack(">II", head[16:24])
    assert width > 1400 and height > 1000


def test_json_and_the_probe(command, files):
    told = command("balance", *files, "--probe", HALLWAY.probe, *NOW, "--weeks", "2", "--json").json
    assert told["tank"] == "Hallway tank"
    assert told["weeks"] == 2
    assert told["nutrients"]["nitrate"]["known"]
    assert told["nutrients"]["nitrate"]["course"]["times"][-1].startswith("2025-03-22")
    assert not told["doses_assumed"]
    assert {dose["what"] for dose in told["doses"]} <= {"KNO3", "phosphate"}
    assert told["figures"]["growth_g_week"]["low"] < told["growth_g_week"]["high"]


@pytest.mark.parametrize(
    ("more", "says"),
    [
        (("--weeks", "0"), "--weeks"),
        (("--weeks", "27"), "--weeks"),
        (("--chart", "weeks.gif"), ".gif"),
        (("--now", "soon"), "--now"),
    ],
)
def test_what_cannot_be_is_refused_in_a_line(command, files, more, says):
    ran = command("balance", *files, *more)
    assert ran.code == 2, ran.out
    assert ran.out == ""
    assert len(ran.err.splitlines()) == 1, ran.err
    assert says in ran.err


def test_a_diary_that_is_not_there(command, files, tmp_path):
    ran = command("balance", files[0], tmp_path / "gone.csv", *NOW)
    assert ran.code == 2
    assert "gone.csv" in ran.err
