"""Wrong uses of `leafgill next`: each ends with 2 and one line that says what and where."""

import os
import shutil

import pytest

from leafgill.examples import HALLWAY


@pytest.fixture
def files(tmp_path):
    """The example's files in a folder of their own."""
    for source in (HALLWAY.tank, HALLWAY.diary, HALLWAY.probe):
        shutil.copy(source, tmp_path / source.name)
    return tmp_path


def refused(ran, *said):
    assert ran.code == 2, ran.err
    assert ran.out == ""
    assert len(ran.err.splitlines()) == 1, ran.err
    assert ran.err.startswith("leafgill: ")
    for text in said:
        assert text in ran.err


def ask(command, files, *more, tank="tank.toml", diary="diary.csv"):
    return command("next", files / tank, files / diary, *more)


def test_no_such_tank(command, files):
    refused(ask(command, files, tank="gone.toml"), "gone.toml", "no such file")


def test_no_such_diary(command, files):
    refused(ask(command, files, diary="gone.csv"), "gone.csv", "no such file")


def test_no_such_probe(command, files):
    refused(ask(command, files, "--probe", files / "gone.csv"), "gone.csv", "no such file")


def test_tank_and_diary_swapped(command, files):
    refused(ask(command, files, tank="diary.csv", diary="tank.toml"), "diary.csv", "tank file")


def test_a_tank_as_diary(command, files):
    refused(ask(command, files, diary="tank.toml"), "tank.toml")


def test_a_probe_file_as_diary(command, files):
    refused(ask(command, files, diary="probe.csv"), "probe.csv")


def test_a_diary_as_probe(command, files):
    refused(ask(command, files, "--probe", files / "diary.csv"), "diary.csv")


def test_a_folder_as_tank(command, files):
    (files / "tanks").mkdir()
    refused(ask(command, files, tank="tanks"), "tanks", "folder")


def test_a_folder_as_diary(command, files):
    (files / "diaries").mkdir()
    refused(ask(command, files, diary="diaries"), "diaries", "folder")


def test_an_empty_diary_file(command, files):
    (files / "diary.csv").write_text("")
    refused(ask(command, files), "diary.csv", "empty")


def test_a_key_that_is_none(command, files):
    text = (files / "tank.toml").read_text().replace("kh_dkh", "kh_degrees")
    (files / "tank.toml").write_text(text)
    refused(ask(command, files), "tank.toml", "kh_degrees")


def test_a_value_that_cannot_be(command, files):
    text = (files / "tank.toml").read_text().replace("temperature_c = 24.5", "temperature_c = 245")
    (files / "tank.toml").write_text(text)
    refused(ask(command, files), "temperature_c", "245")


def test_a_row_that_cannot_be(command, files):
    with (files / "diary.csv").open("a") as diary:
        diary.write("2025-03-08T12:05,ph,68,,\n")
    refused(ask(command, files), "diary.csv line", "68")


@pytest.mark.parametrize("now", ["yesterday", "2025-13-08T12:00", "08.03.2025", "", "0800-03-08"])
def test_a_now_that_is_no_time(command, files, now):
    refused(ask(command, files, "--now", now), "--now")


def test_a_chart_of_an_unknown_sort(command, files):
    refused(ask(command, files, "--chart", files / "day.gif"), "day.gif", ".png, .svg, .pdf")


def test_a_chart_without_a_suffix(command, files):
    refused(ask(command, files, "--chart", files / "day"), "day", ".png")


def test_a_chart_in_a_folder_that_is_not_there(command, files):
    refused(ask(command, files, "--chart", files / "gone" / "day.png"), "gone", "no folder")


def test_a_chart_that_is_a_folder(command, files):
    (files / "day.png").mkdir()
    refused(ask(command, files, "--chart", files / "day.png"), "folder")


def test_a_chart_that_may_not_be_written(command, files, monkeypatch):
    # whoever runs the tests may be allowed everything, so the system's answer is put in its place
    monkeypatch.setattr("os.access", lambda path, mode: not (mode & os.W_OK))
    refused(ask(command, files, "--chart", files / "day.png"), "day.png", "may not be written")


def test_an_option_without_its_value(command, files):
    refused(ask(command, files, "--probe"), "--probe")


def test_demo_checks_its_chart_first(command, tmp_path):
    refused(command("demo", "--chart", tmp_path / "day.gif"), "day.gif", ".png, .svg, .pdf")
