"""`leafgill watch` as a person runs it."""

import pytest

from leafgill.examples import HALLWAY

NOW = ("--now", "2025-03-08T12:10")
CALM = "Nothing that is not as believed."


@pytest.fixture(scope="module")
def dead(tmp_path_factory):
    """The example's electrode, which shows the same figure for the last two hours."""
    file = tmp_path_factory.mktemp("watch") / "probe.csv"
    lines = HALLWAY.probe.read_text("utf-8").splitlines()
    stuck = [line.split(",")[0] + ",6.90" for line in lines[-121:]]
    file.write_text("\n".join([*lines[:-121], *stuck]) + "\n", "utf-8")
    return file


def test_a_tank_that_is_as_believed(command):
    ran = command("watch", HALLWAY.tank, HALLWAY.diary, "--probe", HALLWAY.probe, *NOW)
    assert (ran.code, ran.err) == (0, "")
    assert ran.out.splitlines() == ["Hallway tank, Saturday 8 March 2025 12:10", CALM]


def test_a_dead_electrode_is_told_with_what_to_look_at(command, dead):
    ran = command("watch", HALLWAY.tank, HALLWAY.diary, "--probe", dead, *NOW)
    assert ran.code == 0, ran.err
    words = " ".join(ran.out.split())
    assert "Look today The electrode, its cable or the logger has failed (over 99 % sure)" in words
    assert "Since about today 10:10" in words
    assert "the electrode shows 6.9 without a change." in words
    assert "Look first Test pH by hand, and put the electrode into a buffer." in words


def test_json_has_every_part(command, dead):
    told = command("watch", HALLWAY.tank, HALLWAY.diary, "--probe", dead, *NOW, "--json").json
    assert (told["tank"], told["now"]) == ("Hallway tank", "2025-03-08T12:10:00+00:00")
    dead_one = next(one for one in told["alerts"] if one["kinds"] == ["probe dead"])
    assert dead_one["urgency"] == "today"
    assert dead_one["sure"] == 1.0
    assert dead_one["since"] == "2025-03-08T10:10:00+00:00"
    assert set(dead_one) == {"kinds", "since", "seen", "explains", "sure", "urgency", "check",
                             "said"}  # fmt: skip


def test_a_wrong_file_is_told_in_one_line(command, tmp_path):
    gone = command("watch", tmp_path / "tank.toml", tmp_path / "diary.csv")
    assert gone.code == 2
    assert len(gone.err.splitlines()) == 1
    assert gone.out == ""
