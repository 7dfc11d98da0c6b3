"""The timing of Today still runs on a real server (no time is judged here)."""

import json
import subprocess
import sys
from pathlib import Path

SCRIPT = Path(__file__).parents[2] / "bench" / "web_today.py"


def test_a_month_is_asked_for_and_its_figures_are_fresh():
    done = subprocess.run(
        [sys.executable, SCRIPT, "--days", "30", "--requests", "3", "--views", "0", "--json"],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    told = json.loads(done.stdout)
    assert told["readings"] == 30 * 1440
    assert told["entries"] > 200
    assert told["page_ms"]["median"] <= told["page_ms"]["p95"]
    assert len(told["pictures_first_ms"]) >= 4
    assert told["browser"] is None
