"""docs/cli.md holds what the commands really print.

After a change, write the page anew and look at the difference: `python tests/test_docs_cli.py`.
"""

import os
import re
import shlex
import subprocess
import sys
from pathlib import Path

PAGE = Path(__file__).parents[1] / "docs" / "cli.md"
BLOCK = re.compile(r"```\n\$ (leafgill[^\n]*)\n(.*?)```", re.DOTALL)


def printed(line: str) -> str:
    """Return what a command prints on a terminal 80 wide, without blanks at the lines' ends."""
    words = shlex.split(line)[1:]
    command = [sys.executable, "-c", "from leafgill.cli import main; main()", *words]
    setting = os.environ | {"COLUMNS": "80", "NO_COLOR": "1", "PYTHONUTF8": "1"}
    ran = subprocess.run(command, capture_output=True, env=setting, check=True, encoding="utf-8")
    return "".join(f"{part.rstrip()}\n" for part in ran.stdout.splitlines())


def written_anew(page: str) -> str:
    return BLOCK.sub(lambda found: f"```\n$ {found[1]}\n{printed(found[1])}```", page)


def commands() -> list[str]:
    from leafgill.cli.app import app

    return [command.name for command in app.registered_commands]


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


if __name__ == "__main__":
    PAGE.write_text(written_anew(PAGE.read_text(encoding="utf-8")), encoding="utf-8")
