"""docs/cli.md holds what the commands really print, and README.md what the demonstration does.

After a change, write both anew and look at the difference: `python tests/test_docs_cli.py`.
"""

import contextlib
import io
import os
import re
import shlex
from pathlib import Path
from unittest import mock

import pytest

from leafgill.cli import run

ROOT = Path(__file__).parents[1]
PAGE = ROOT / "docs" / "cli.md"
README = ROOT / "README.md"
BLOCK = re.compile(r"```\n\$ (leafgill[^\n]*)\n(.*?)```", re.DOTALL)


def printed(line: str) -> str:
    """Return what a command prints on a terminal 80 wide, without blanks at the lines' ends."""
    into = io.TextIOWrapper(io.BytesIO(), encoding="utf-8")
    with (
        mock.patch.dict(os.environ, {"COLUMNS": "80", "NO_COLOR": "1"}),
        contextlib.redirect_stdout(into),
    ):
        assert run(shlex.split(line)[1:]) == 0
    into.flush()
    text = into.buffer.getvalue().decode()
    return "".join(f"{part.rstrip()}\n" for part in text.splitlines())


def written_anew(page: str) -> str:
    return BLOCK.sub(lambda found: f"```\n$ {found[1]}\n{printed(found[1])}```", page)


def demonstration() -> str:
    """Return the demonstration from the tank's name to the reasons, which README leaves out."""
    return (
        "Hallway tank," + printed("leafgill demo").split("\nHallway tank,")[1].split("\nWhy\n")[0]
    )


def commands() -> list[str]:
    from leafgill.cli.app import app

    groups = [group.name for group in app.registered_groups]
    return [command.name for command in app.registered_commands] + groups


def test_the_page_shows_what_is_printed():
    page = PAGE.read_text(encoding="utf-8")
    assert len(BLOCK.findall(page)) >= 7
    assert written_anew(page) == page


def test_every_command_has_its_help_on_the_page_and_no_other_is_there():
    page = PAGE.read_text(encoding="utf-8")
    titles = re.findall(r"^## (\S+)$", page, re.MULTILINE)
    assert titles == commands()
    for name in commands():
        assert f"$ leafgill {name} --help\n" in page


@pytest.fixture(scope="module")
def shown():
    ((_, block),) = BLOCK.findall(README.read_text(encoding="utf-8"))
    return block.splitlines(), demonstration().splitlines()


def without_figures(line: str) -> str:
    # draws differ in their last digits from one processor to another
    return re.sub(r"\d+(\.\d+)?", "#", " ".join(line.split()))


def test_the_readme_shows_the_demonstration(shown):
    told, real = shown
    words = [[without_figures(line) for line in lines if "│" not in line] for lines in shown]
    assert words[0] == words[1]
    assert sum("│" in line for line in told) == sum("│" in line for line in real) > 10


def test_the_readmes_figures_are_about_the_demonstrations(shown):
    figures = [
        [float(figure) for figure in re.findall(r"\d+(?:\.\d+)?", line)]
        for line in (next(part for part in lines if part.startswith("CO2 ")) for lines in shown)
    ]
    assert figures[0] == pytest.approx(figures[1], rel=0.1)


def test_the_readmes_python_runs(monkeypatch, capsys):
    from leafgill.examples import HALLWAY

    (program,) = re.findall(r"```python\n(.*?)```", README.read_text(encoding="utf-8"), re.DOTALL)
    monkeypatch.chdir(HALLWAY.folder)
    exec(compile(program, "README.md", "exec"), {})
    first, second = capsys.readouterr().out.splitlines()
    assert first.startswith("Interval(mean=")
    assert second in ("raise", "lower", "hold", "measure")


if __name__ == "__main__":
    PAGE.write_text(written_anew(PAGE.read_text(encoding="utf-8")), encoding="utf-8")
    block = f"```\n$ leafgill demo\n{demonstration()}```"
    README.write_text(BLOCK.sub(lambda _: block, README.read_text("utf-8")), encoding="utf-8")
