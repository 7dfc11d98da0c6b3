"""The timing of an import still runs, and brings in what it says (no time is judged here)."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

SCRIPT = Path(__file__).parents[2] / "bench" / "web_import.py"


def test_a_few_days_are_timed_and_all_come_in():
    done = subprocess.run(
        [sys.executable, SCRIPT, "--rows", "3000", "--repeats", "1", "--json"],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    told = json.loads(done.stdout)
    assert told["rows"] == told["readings"] == 3000
    assert told["ours_to_by_hand"] == pytest.approx(told["ours_s"] / told["by_hand_s"])
    assert told["ours_to_by_hand_keyed"] == pytest.approx(told["ours_s"] / told["by_hand_keyed_s"])
