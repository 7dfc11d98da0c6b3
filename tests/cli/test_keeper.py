"""`leafgill keeper`: what it asks, says and refuses; the work is tested with the store."""

import io
import os
import subprocess
import sys

import pytest

from leafgill.cli import run

GOOD = "moss on driftwood"


@pytest.fixture
def opened(monkeypatch, db):
    """Let the commands work on the tests' own store; return the folders they were to open."""
    folders = []
    monkeypatch.setattr("leafgill.web.set_up.set_up", folders.append)
    return folders


@pytest.fixture
def type_in(monkeypatch):
    """Return a function that puts lines on standard input, which is no terminal."""

    def typed(*lines):
        monkeypatch.setattr("sys.stdin", io.StringIO("".join(f"{line}\n" for line in lines)))

    return typed


@pytest.fixture
def at_a_terminal(monkeypatch):
    """Return a function that says what is typed at a terminal's hidden prompts."""

    class Terminal(io.StringIO):
        def isatty(self):
            return True

    def typed(*answers):
        asked = []
        left = iter(answers)
        monkeypatch.setattr("sys.stdin", Terminal())
        monkeypatch.setattr("getpass.getpass", lambda words: (asked.append(words), next(left))[1])
        return asked

    return typed


def test_add_takes_a_line_where_there_is_no_terminal(opened, type_in, capsys):
    type_in(GOOD)
    assert run(["keeper", "add", "ada"]) == 0
    assert capsys.readouterr().out == "ada can log in.\n"
    assert opened == [None]


def test_add_asks_twice_at_a_terminal(opened, at_a_terminal, capsys):
    asked = at_a_terminal(GOOD, GOOD)
    assert run(["keeper", "add", "ada"]) == 0
    assert asked == ["Password for ada: ", "The same again: "]
    asked = at_a_terminal(GOOD, f"{GOOD}s")
    assert run(["keeper", "add", "bob"]) == 2
    assert "the two passwords are not the same; nothing was changed" in capsys.readouterr().err
    from leafgill.web.models import Keeper

    assert [keeper.username for keeper in Keeper.objects.all()] == ["ada"]


def test_a_name_that_is_taken_is_told_before_a_password_is_asked_for(
    opened, at_a_terminal, type_in, capsys
):
    type_in(GOOD)
    run(["keeper", "add", "ada"])
    asked = at_a_terminal()
    assert run(["keeper", "add", "Ada"]) == 2
    assert asked == []
    assert capsys.readouterr().err == 'leafgill: NAME "Ada" is taken\n'


def test_add_tells_of_the_keeper_that_has_the_tanks_so_far(opened, type_in, capsys):
    from leafgill.web.store.keepers import first_keeper

    first_keeper()
    type_in(GOOD)
    assert run(["keeper", "add", "ada"]) == 0
    assert "keeper has no password; the tanks kept so far may be there." in capsys.readouterr().out


def test_password_and_rename_change_what_they_name(opened, type_in, capsys):
    from leafgill.web.models import Keeper
    from leafgill.web.store.keepers import first_keeper

    first_keeper()
    type_in(GOOD)
    assert run(["keeper", "password", "Keeper"]) == 0
    assert run(["keeper", "rename", "keeper", "ada"]) == 0
    out = capsys.readouterr().out
    assert "The password of keeper is changed" in out
    assert "keeper is ada from now on." in out
    assert Keeper.objects.get(username="ada").check_password(GOOD)
    assert run(["keeper", "list"]) == 0
    assert capsys.readouterr().out == "ada: 0 tanks, a password\n"


def test_a_folder_that_is_named_is_the_one_that_is_opened(opened, tmp_path, capsys):
    assert run(["keeper", "list", "--data", str(tmp_path)]) == 0
    assert opened == [tmp_path]


def test_who_is_not_there_is_told_in_one_line(opened, capsys):
    assert run(["keeper", "password", "eve"]) == 2
    err = capsys.readouterr().err
    assert err == 'leafgill: NAME "eve": there is no such keeper; nobody is there yet\n'


def test_a_new_folder_is_made_ready_by_the_first_keeper(tmp_path):
    folder = tmp_path / "new"
    words = [sys.executable, "-c", "from leafgill.cli import main; main()", "keeper"]
    environment = {**os.environ, "LEAFGILL_HOME": str(folder)}
    environment.pop("LEAFGILL_DATABASE_URL", None)

    def command(*more, typed=""):
        return subprocess.run(
            [*words, *more],
            input=typed,
            capture_output=True,
            text=True,
            env=environment,
            check=False,
        )

    made = command("add", "ada", typed=f"{GOOD}\n")
    assert (made.returncode, made.stdout, made.stderr) == (0, "ada can log in.\n", "")
    assert (folder / "leafgill.db").is_file()
    assert command("list").stdout == "ada: 0 tanks, a password\n"
