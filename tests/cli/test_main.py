"""What every command shares: exit codes, one line of complaint, the log, help and version."""

import os
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

import leafgill
from leafgill.cli import run
from leafgill.cli.fail import log_path, one_line
from leafgill.errors import InputError

ROOT = Path(__file__).parents[2]


def shell(*arguments, **options):
    command = [sys.executable, "-c", "from leafgill.cli import main; main()", *arguments]
    return subprocess.run(command, capture_output=True, text=True, check=False, **options)


def test_without_arguments_it_helps(command):
    ran = command()
    assert ran.code == 0
    assert ran.out.startswith("Usage: leafgill [OPTIONS] COMMAND")
    for name in ("next", "water", "demo"):
        assert f"\n  {name} " in ran.out


def test_version_is_the_packages(command):
    assert command("--version").out == f"leafgill {leafgill.__version__}\n"
    declared = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    assert declared["project"]["version"] == leafgill.__version__


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("wter",), "wter"),
        (("water", "--hardness", "4"), "--hardness"),
        (("water", "--ph"), "--ph"),
        (("next",), "TANK"),
        (("next", "tank.toml"), "DIARY"),
        (("demo", "extra"), "extra"),
    ],
)
def test_a_slip_in_the_command_is_one_line_and_exit_2(command, arguments, said):
    ran = command(*arguments)
    assert ran.code == 2
    assert ran.out == ""
    assert len(ran.err.splitlines()) == 1
    assert said in ran.err


def test_the_shell_gets_the_exit_code():
    ran = shell("water", "--ph", "99", "--kh", "4")
    assert ran.returncode == 2
    assert ran.stdout == ""
    assert ran.stderr == "leafgill: --ph = 99 cannot be; accepted: 3 to 11\n"


def failing(monkeypatch, error):
    def broken(_readings):
        raise error

    monkeypatch.setattr("leafgill.cli.water_answer.work_out", broken)


def test_the_unforeseen_is_one_line_exit_1_and_a_log(command, monkeypatch):
    failing(monkeypatch, RuntimeError("a wheel\ncame off"))
    ran = command("water", "--ph", 7, "--kh", 4)
    assert ran.code == 1
    assert len(ran.err.splitlines()) == 1
    assert "RuntimeError: a wheel came off" in ran.err
    assert str(log_path()) in ran.err
    assert "Traceback" not in ran.err
    detail = log_path().read_text(encoding="utf-8")
    assert "Traceback" in detail
    assert "in broken" in detail


def test_the_log_keeps_what_was_there(command, monkeypatch):
    failing(monkeypatch, RuntimeError("first"))
    command("water", "--ph", 7, "--kh", 4)
    failing(monkeypatch, RuntimeError("second"))
    command("water", "--ph", 7, "--kh", 4)
    detail = log_path().read_text(encoding="utf-8")
    assert detail.index("RuntimeError: first") < detail.index("RuntimeError: second")


def test_a_log_that_cannot_be_written_is_said_too(command, monkeypatch, tmp_path):
    (tmp_path / "a file").write_text("")
    monkeypatch.setenv("LEAFGILL_LOG", str(tmp_path / "a file" / "log"))
    failing(monkeypatch, RuntimeError("a wheel came off"))
    ran = command("water", "--ph", 7, "--kh", 4)
    assert ran.code == 1
    assert len(ran.err.splitlines()) == 1
    assert "no detail could be kept" in ran.err


@pytest.mark.parametrize(
    ("platform", "variables", "ends"),
    [
        ("linux", {"XDG_STATE_HOME": "/state"}, "/state/leafgill/leafgill.log"),
        ("linux", {}, "/home/.local/state/leafgill/leafgill.log"),
        ("darwin", {}, "/home/Library/Logs/leafgill/leafgill.log"),
        ("win32", {}, "/home/AppData/Local/leafgill/leafgill.log"),
        ("win32", {"LOCALAPPDATA": "/local"}, "/local/leafgill/leafgill.log"),
    ],
)
def test_the_log_lies_where_the_platform_keeps_state(monkeypatch, platform, variables, ends):
    for name in ("LEAFGILL_LOG", "XDG_STATE_HOME", "LOCALAPPDATA"):
        monkeypatch.delenv(name, raising=False)
    for name, value in variables.items():
        monkeypatch.setenv(name, value)
    monkeypatch.setattr(sys, "platform", platform)
    monkeypatch.setattr(Path, "home", lambda: Path("/home"))
    assert log_path().as_posix() == ends


def test_an_interruption_is_quiet(command, monkeypatch):
    failing(monkeypatch, KeyboardInterrupt())
    ran = command("water", "--ph", 7, "--kh", 4)
    assert ran.code == 130
    assert ran.err == ""


def test_a_reader_that_leaves_early_is_no_failure():
    line = "from leafgill.cli import main; main()"
    ran = subprocess.run(
        f'"{sys.executable}" -c "{line}" water --ph 7 --kh 4 | true',
        shell=True,
        capture_output=True,
        text=True,
        check=False,
    )
    assert ran.stderr == ""


def test_input_errors_from_below_are_the_line(monkeypatch, capsys):
    failing(monkeypatch, InputError("kh is wrong", "tank.toml"))
    assert run(["water", "--ph", "7", "--kh", "4"]) == 2
    assert capsys.readouterr().err == "leafgill: tank.toml: kh is wrong\n"


def test_a_line_cannot_steer_the_terminal():
    assert one_line("a\nb\x1b[31mred\x07") == "a b?[31mred?"


def test_a_terminal_that_lacks_a_letter_gets_another():
    ran = shell("water", "--ph", "7", "--kh", "4", env=os.environ | {"PYTHONIOENCODING": "ascii"})
    assert ran.returncode == 0
    assert "25 ?C" in ran.stdout


def test_help_loads_nothing_heavy():
    ran = shell("--help")
    assert ran.returncode == 0
    probe = (
        "import sys; from leafgill.cli import run; run(['--help']); "
        "print([m for m in ('numpy', 'numba', 'polars', 'altair', 'pint') if m in sys.modules])"
    )
    seen = subprocess.run([sys.executable, "-c", probe], capture_output=True, text=True, check=True)
    assert seen.stdout.splitlines()[-1] == "[]"


def test_water_loads_no_files_and_no_charts():
    probe = (
        "import sys; from leafgill.cli import run; run(['water', '--ph', '7', '--kh', '4']); "
        "print([m for m in ('polars', 'altair', 'pint', 'vl_convert') if m in sys.modules])"
    )
    seen = subprocess.run([sys.executable, "-c", probe], capture_output=True, text=True, check=True)
    assert seen.stdout.splitlines()[-1] == "[]"
