"""The tests of the store, and of views that write, once more, on a PostgreSQL server of their own.

The server is the one of conftest.py.
"""

import os
import re
import subprocess
import sys
from pathlib import Path

TESTS = Path(__file__).parent
# whatever writes; pages that only show, and the walk of all addresses, ask nothing else of it
PARTS = (
    "store",
    "people",
    "working/test_rounds.py",
    "working/test_watch_kept.py",
    *(f"alerts/test_{part}.py" for part in ("book", "gathering", "teller", "watcher")),
    "publishing/test_standing.py",
    *(f"ingest/test_{part}.py" for part in ("taking", "http", "folder", "topics")),
    *(
        f"views/test_{part}.py"
        for part in (
            "about",
            "alerts",
            "archive",
            "care",
            "diary",
            "files",
            "sensors",
            "settings",
            "setup",
            "sharing",
            "telling",
        )
    ),
)


def test_store_and_views_do_the_same_on_postgresql(postgres, tmp_path):
    seen = tmp_path / "seen"
    words = [sys.executable, "-m", "pytest", "-n", "0", "-p", "no:cacheprovider"]
    words += [str(TESTS / part) for part in PARTS]
    env = {**os.environ, "LEAFGILL_DATABASE_URL": postgres.url, "LEAFGILL_SEEN_VENDOR": str(seen)}
    env.pop("PYTEST_XDIST_WORKER", None)
    done = subprocess.run(
        words, check=False, cwd=TESTS.parents[1], capture_output=True, text=True, env=env
    )
    told = "\n".join((done.stdout + done.stderr).splitlines()[-60:])
    assert done.returncode == 0, told
    (passed,) = re.findall(r"^(\d+) passed", told, re.MULTILINE)
    assert int(passed) > 100, told
    assert seen.read_text() == "postgresql"
