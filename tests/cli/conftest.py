"""The command run as a person runs it, in this process, with what it printed."""

import json
from dataclasses import dataclass

import pytest

from leafgill.cli import run
from leafgill.cli.counsel import ask
from leafgill.cli.moment import parse_now
from leafgill.diary import Diary, Entry
from leafgill.examples import HALLWAY, READING_ROOM
from leafgill.tank.spec import Tank


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


@pytest.fixture(scope="session")
def hallway():
    """The counsel for the example tank with a probe, worked out once."""
    return counsel_for(HALLWAY)


@pytest.fixture(scope="session")
def reading_room():
    """The counsel for the example tank without a probe, worked out once."""
    return counsel_for(READING_ROOM)


@pytest.fixture(scope="session")
def distress():
    """The same tank with its fish gasping."""
    return counsel_for(HALLWAY, Entry("2025-03-08T12:05", "fish", "gasping"))


def counsel_for(example, *more):
    """Return the counsel for an example at the moment it ends, with more in its diary."""
    tank = Tank.load(example.tank)
    diary = Diary.load(example.diary, example.probe)
    for entry in more:
        diary.add(entry)
    now = parse_now(example.now.isoformat(), tank.timezone)
    return ask(tank, diary, now, lambda _what, _part: None)
