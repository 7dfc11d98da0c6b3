"""`leafgill care` as a person runs it."""

import pytest

from leafgill.examples import HALLWAY

NOW = ("--now", "2025-03-08T12:00")


@pytest.fixture(scope="module")
def files(tmp_path_factory):
    """The example, whose keeper also wrote what was done to it."""
    diary = tmp_path_factory.mktemp("care") / "diary.csv"
    work = (
        "2025-03-03T09:00,care,diffuser cleaned,,\n"
        "2025-03-03T09:05,care,drop checker refilled,,\n"
        "2025-03-04T09:00,note,,,cylinder stamped 2019-02\n"
        "2025-03-05T09:00,note,,,bubble counter nearly dry\n"
    )
    text = HALLWAY.diary.read_text("utf-8").rstrip("\n")
    diary.write_text(f"{text}\n{work}", "utf-8")
    return HALLWAY.tank, diary


@pytest.fixture
def ran(command, files):
    return command("care", *files, "--probe", HALLWAY.probe, *NOW)


def test_what_is_due_comes_first_with_how_it_is_done(ran):
    assert ran.code == 0, ran.err
    lines = ran.out.splitlines()
    assert lines[0] == "Hallway tank, Saturday 8 March 2025 12:00"
    assert lines[1] == "2 things are due."
    words = " ".join(ran.out.split())
    assert words.index("Fill the bubble counter up: Due now: found wanting") < words.index(
        "The rest"
    )
    assert "by a rule of 5 years its test is past: ask the supplier" in words
    assert "Only a supplier tests and fills." in words
    assert "Clean the diffuser: Due in" in words
    assert "Done last: 5 days ago, Mon 3 Mar; next between" in words
    assert "common practice, no source" in words
    assert ran.err == ""


def test_figures_open_and_json_has_them(command, files):
    told = command("care", *files, *NOW, "--explain")
    assert "How each figure was worked out" in told.out
    answer = command("care", *files, *NOW, "--json").json
    assert answer["tank"] == "Hallway tank"
    jobs = {job["key"]: job for job in answer["jobs"]}
    assert jobs["stamp"]["due"]["state"] == "overdue"
    assert jobs["diffuser"]["last_done"].startswith("2025-03-03T09:00")
    for job in jobs.values():
        assert job["every_days"]["figure"] in answer["figures"]


def test_a_wrong_file_is_told_in_one_line(command, tmp_path):
    gone = command("care", tmp_path / "tank.toml", tmp_path / "diary.csv")
    assert gone.code == 2
    assert len(gone.err.splitlines()) == 1
