"""`leafgill next` and `demo`: what is said, as words and as JSON."""

import json
import re
from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from leafgill.answer import figures, said
from leafgill.answer.counsel_json import as_json
from leafgill.diary import Diary, Entry
from leafgill.estimate import TooFewDrawsError
from leafgill.examples import HALLWAY, READING_ROOM

FILES = (HALLWAY.tank, HALLWAY.diary, "--probe", HALLWAY.probe, "--now", "2025-03-08T12:10")


@pytest.fixture
def known(monkeypatch, hallway):
    """Let the command find the counsel already worked out."""
    asked = []

    def ask(tank, diary, now, progress):
        progress("weighing the next step", 0.9)
        asked.append((tank, diary, now))
        return hallway

    monkeypatch.setattr("leafgill.answer.counsel.ask", ask)
    return asked


def joined(text):
    """Return a screen's words without the breaks that its width makes."""
    return " ".join(text.split())


def test_json_is_the_counsel_for_those_files(command, hallway):
    ran = command("next", *FILES, "--json")
    assert ran.code == 0
    assert ran.err == ""
    assert ran.json["co2_mg_l"]["mean"] == pytest.approx(
        hallway.belief.co2(hallway.now).mean, rel=1e-5
    )
    assert ran.json["step"]["action"] == hallway.step.action


def test_the_command_hands_on_tank_diary_and_moment(command, known):
    assert command("next", *FILES).code == 0
    ((tank, diary, now),) = known
    assert tank.name == "Hallway tank"
    assert len(diary) == len(Diary.load(HALLWAY.diary))
    assert set(diary.streams) == {"ph"}
    assert now.isoformat() == "2025-03-08T12:10:00+00:00"


def test_json_has_one_shape(hallway):
    answer = as_json(hallway)
    assert set(answer) == {
        "tank", "now", "co2_mg_l", "co2_max_mg_l", "o2_mg_l", "ph", "limits", "day_ahead", "step",
        "readings", "misfits", "findings", "cautions", "belief",
    }  # fmt: skip
    assert set(answer["step"]) == {
        "action", "rate_per_s", "schedule", "air", "act_at", "look_at", "measure", "expect",
        "close_back_if", "close_back_ph", "later", "beside", "reasons",
    }  # fmt: skip
    assert set(answer["step"]["expect"]) == {"ph", "instrument", "drop_checker", "co2_mg_l"}
    assert set(answer["step"]["reasons"][0]) == {
        "text", "figure", "comparison", "limit", "passed", "rule", "about",
    }  # fmt: skip
    assert set(answer["limits"]) == {
        "co2_mg_l", "co2_danger_mg_l", "o2_min_mg_l", "target_co2_mg_l", "reasons",
    }  # fmt: skip
    for ahead in (answer["day_ahead"]["as_set"], answer["day_ahead"]["with_step"]):
        assert set(ahead) == {
            "peak_co2_mg_l", "peak_at", "p_over_limit", "p_over_danger", "o2_min_mg_l",
            "o2_min_at", "p_low_o2",
        }  # fmt: skip
    assert set(answer["readings"][0]) == {"kind", "what", "narrows_by", "how", "at"}
    for interval in (answer["co2_mg_l"], answer["o2_mg_l"], answer["ph"]):
        assert interval["low"] < interval["mean"] < interval["high"]


def test_json_is_json_without_nan(hallway):
    hole = replace(hallway.step, close_back_ph=float("nan"))
    text = json.dumps(figures.plain(as_json(replace(hallway, step=hole))), allow_nan=False)
    assert json.loads(text)["step"]["close_back_ph"] is None


def test_every_key_of_the_json_is_in_the_docs(hallway, docs):
    def keys(value):
        if isinstance(value, dict):
            return set(value).union(*map(keys, value.values()))
        return set().union(*map(keys, value)) if isinstance(value, list | tuple) else set()

    told = set(re.findall(r"`(\w+)`", docs))
    assert keys(as_json(hallway)) <= told


@pytest.fixture
def docs():
    from pathlib import Path

    return (Path(__file__).parents[2] / "docs" / "cli.md").read_text(encoding="utf-8")


def test_words_say_where_it_stands_first(command, known, hallway):
    lines = command("next", *FILES).out.splitlines()
    assert lines[0].strip() == "Hallway tank, Saturday 8 March 2025 12:10"
    assert lines[1].strip() == f"CO2 {figures.interval(hallway.belief.co2(hallway.now))}"
    assert lines[2].startswith("The animals' limit is 30 mg/L, the aim 24.1.")


def test_words_hold_the_whole_step(command, known, hallway):
    out = joined(command("next", *FILES).out)
    step = hallway.step
    assert step.action == "raise"
    assert f"Raise the gas: {step.rate:.3g} bubbles/s" in out
    assert f"Look again {said.sentence(figures.moment(step.look_at, hallway.now))}" in out
    assert joined(step.measure) in out
    assert f"Expect {figures.interval(step.expect.ph, 'pH')} by the electrode" in out
    assert joined(step.close_back_if) in out
    for reason in step.reasons:
        mark = "✓" if reason.passed else "✗"
        assert f"{mark} {joined(said.sentence(reason.text))}" in out


def test_words_say_what_the_day_brings_with_and_without_the_step(command, known, hallway):
    out = joined(command("next", *FILES).out)
    for ahead in (hallway.as_set, hallway.stepped):
        assert figures.interval(ahead.peak) in out
        assert figures.interval(ahead.o2_min) in out
    assert "as it is set with the step" in out
    assert "chance of over 30 mg/L" in out
    assert "chance of under 5 mg/L" in out


def test_words_name_the_readings_that_help_and_the_cautions(command, known, hallway):
    out = joined(command("next", *FILES).out)
    assert said.sentence(hallway.readings[0].what) in out
    for caution in (*hallway.step.cautions, *said.ALWAYS):
        assert joined(said.sentence(caution)) in out
    assert out.count("your hand stays on") == 1


def test_the_picture_is_among_the_words(command, known):
    out = command("next", *FILES).out
    assert "now, then forecast" in out
    assert "light" in out
    assert "▓" in out


def test_a_pipe_gets_no_colour(command, known):
    assert "\x1b" not in command("next", *FILES).out


def test_a_terminal_that_knows_ascii_only_gets_that(command, known, monkeypatch):
    monkeypatch.setattr("leafgill.cli.next_screen.draws_boxes", lambda _console: False)
    picture = [line for line in command("next", *FILES).out.splitlines() if "|" in line]
    assert len(picture) == 15
    assert all(line.isascii() for line in picture)


def test_what_does_not_fit_is_named(hallway):
    from leafgill.estimate import Misfit

    misfit = Misfit(hallway.now, "ph", "5.9", 6.2, "ph 5.9 at 2025-03-08 12:05 does not fit")
    doubtful = replace(hallway, belief=replace(hallway.belief, misfits=(misfit,)))
    assert said.what_does_not_fit(doubtful) == ["ph 5.9 at 2025-03-08 12:05 does not fit"]
    assert as_json(doubtful)["misfits"][0]["sigma"] == 6.2


def test_findings_carry_their_lines(hallway, tmp_path):
    path = tmp_path / "diary.csv"
    path.write_text(HALLWAY.diary.read_text() + "2025-03-08T12:02,ph,9.8,,\n")
    diary = Diary.load(path, timezone="Europe/Lisbon")
    found = said.findings(replace(hallway, diary=diary))
    line = len(path.read_text().splitlines())
    assert [text for text in found if f"line {line}" in text and "9.8" in text]


def test_what_is_later_than_now_is_said_once(hallway):
    diary = Diary.load(HALLWAY.diary, timezone="Europe/Lisbon")
    for hours in (1, 2, 3):
        diary.add(Entry(hallway.now + timedelta(hours=hours), "ph", 6.9))
    found = said.findings(replace(hallway, diary=diary))
    assert found == ["3 things are later than now; not used until then"]


def test_an_old_diary_says_how_old_it_is(hallway):
    found = said.findings(replace(hallway, now=hallway.now + timedelta(days=9)))
    assert found == [
        "The newest reading is 9 days old; what is said of today is a guess from then."
    ]


def test_an_empty_diary_says_so(hallway):
    empty = replace(hallway, diary=Diary(timezone="Europe/Lisbon"))
    assert said.findings(empty)[0].startswith("Nothing is written in the diary yet")


def test_a_step_for_later_says_when(hallway):
    later = replace(hallway.step, act_at=datetime(2025, 3, 9, 10, 0, tzinfo=hallway.now.tzinfo))
    rows = dict(said.what_follows(replace(hallway, step=later)))
    assert rows["When"] == "Tomorrow 10:00"
    assert "When" not in dict(said.what_follows(hallway))


def test_new_hours_are_part_of_the_step(hallway):
    rows = dict(
        said.what_follows(replace(hallway, step=replace(hallway.step, schedule="09:00-17:00")))
    )
    assert rows["Gas hours"] == "09:00-17:00"


@pytest.mark.parametrize(
    ("action", "rate", "words"),
    [
        ("hold", None, "Leave the gas as it is"),
        ("measure", None, "Measure before anything is changed"),
        ("lower", 1.2, "Lower the gas: 1.2 bubbles/s (12 in 10 s)"),
        ("lower", 0.0, "Shut the gas"),
        ("first setting", 0.5, "Set the gas for the first time: 0.5 bubbles/s (5 in 10 s)"),
        ("emergency", 0.0, "Shut the gas now"),
    ],
)
def test_each_action_has_its_words(hallway, action, rate, words):
    step = replace(hallway.step, action=action, rate=rate)
    assert said.what_to_do(replace(hallway, step=step)) == words


def test_in_distress_what_to_do_comes_first(distress, capsys):
    from leafgill.answer.day import picture_of
    from leafgill.cli.next_screen import show

    show(distress, picture_of(distress))
    out = joined(capsys.readouterr().out)
    assert distress.step.action == "emergency"
    assert "Next step Shut the gas now 1. Shut the gas now" in out
    assert out.index("Move the surface") < out.index("Look again")
    assert out.index("✗ Animals gasping at 12:05") < out.index("✓")
    assert "A reading that would help" not in out
    assert "Why not" not in out


def test_a_hold_shows_one_day_ahead(hallway, capsys):
    from leafgill.answer.day import picture_of
    from leafgill.cli.next_screen import show

    held = replace(hallway, stepped=None, step=replace(hallway.step, action="hold", rate=None))
    show(held, picture_of(held))
    out = capsys.readouterr().out
    assert "with the step" not in out
    assert figures.interval(hallway.as_set.peak) in out
    assert as_json(held)["day_ahead"]["with_step"] is None


@pytest.mark.parametrize(
    ("suffix", "begins"),
    [("png", b"\x89PNG"), ("svg", b"<svg"), ("pdf", b"%PDF"), ("PNG", b"\x89PNG")],
)
def test_a_chart_is_written_beside_the_answer(command, known, tmp_path, suffix, begins):
    path = tmp_path / f"day.{suffix}"
    assert command("next", *FILES, "--chart", path).code == 0
    assert path.read_bytes().startswith(begins)


def test_a_chart_that_cannot_be_finished_is_one_line(command, known, tmp_path, monkeypatch):
    def full(self, data):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("pathlib.Path.write_bytes", full)
    ran = command("next", *FILES, "--chart", tmp_path / "day.svg")
    assert ran.code == 2
    assert ran.err == 'leafgill: --chart "day.svg" cannot be written: No space left on device\n'


def test_a_belief_too_poor_is_one_line_and_exit_1(command, monkeypatch):
    def ask(tank, diary, now, progress):
        raise TooFewDrawsError(12.0)

    monkeypatch.setattr("leafgill.answer.counsel.ask", ask)
    ran = command("next", *FILES)
    assert ran.code == 1
    assert ran.out == ""
    assert len(ran.err.splitlines()) == 1
    assert "12 effective draws" in ran.err


def test_demo_says_that_it_is_invented_and_how_to_do_the_same(command, known):
    ran = command("demo")
    assert ran.code == 0
    lines = ran.out.splitlines()
    assert lines[0].startswith("This tank is invented")
    assert str(HALLWAY.diary) in lines[2]
    assert "--now 2025-03-08T12:10" in lines[2]
    ((tank, _, now),) = known
    assert tank.name == "Hallway tank"
    assert now.isoformat() == "2025-03-08T12:10:00+00:00"


def test_demo_as_json_is_json_alone(command, known):
    assert command("demo", "--json").json["tank"] == "Hallway tank"


def test_demo_without_a_probe_is_the_other_tank(command, known):
    assert command("demo", "--no-probe").code == 0
    ((tank, diary, _),) = known
    assert tank.name == "Reading room tank"
    assert diary.streams == {}


def test_without_a_probe_the_hand_test_is_what_is_expected(reading_room):
    assert READING_ROOM.probe is None
    assert "by the hand test" in dict(said.what_follows(reading_room))["Expect"]
