"""The command run as a person runs it, in this process, with what it printed."""

import json
from dataclasses import dataclass

import pytest

from leafgill.cli import run


@dataclass
class Ran:
    code: int
    out: str
    err: str

    @property
    def json(self):
        return json.loads(self.out)


@pytest.fixture
def command(capfd, monkeypatch, tmp_path):
    """Run `leafgill` with arguments; the width is 100 and the log lies in the test's folder."""
    monkeypatch.setenv("COLUMNS", "100")
    monkeypatch.setenv("NO_COLOR", "1")
    monkeypatch.setenv("LEAFGILL_LOG", str(tmp_path / "leafgill.log"))

    def ran(*arguments):
        capfd.readouterr()
        code = run([str(argument) for argument in arguments])
        captured = capfd.readouterr()
        return Ran(code, captured.out, captured.err)

    return ran
