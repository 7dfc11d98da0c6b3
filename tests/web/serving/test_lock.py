"""One program at a time on a data folder."""

import os
import signal
import subprocess
import sys

import pytest

from leafgill.web.lock import Lock


@pytest.fixture
def path(tmp_path):
    return tmp_path / "lock"


def test_nobody_holds_it_at_first(path):
    assert Lock(path).holder() is None
    assert not path.exists()


def test_who_holds_it_is_known_until_it_is_let_go(path):
    first, second = Lock(path), Lock(path)
    assert first.take()
    assert second.holder() == os.getpid()
    assert not second.take()
    first.release()
    assert second.holder() is None
    assert second.take()
    second.release()
    second.release()


def test_it_goes_with_a_process_that_is_killed(path):
    program = (
        "import sys, time; from pathlib import Path; from leafgill.web.lock import Lock; "
        "lock = Lock(Path(sys.argv[1])); print(lock.take(), flush=True); time.sleep(600)"
    )
    other = subprocess.Popen(
        [sys.executable, "-c", program, str(path)], stdout=subprocess.PIPE, text=True
    )
    try:
        assert other.stdout.readline() == "True\n"
        assert Lock(path).holder() == other.pid
        assert not Lock(path).take()
        other.send_signal(signal.SIGKILL)
        other.wait(60.0)
        assert Lock(path).holder() is None
        assert Lock(path).take()
    finally:
        other.kill()
        other.stdout.close()
