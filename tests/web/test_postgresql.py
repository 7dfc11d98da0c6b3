"""The tests of the store, and of views that write, once more, on a PostgreSQL server of their own.

The server comes from the machine's own package, listens on a socket in a folder that is thrown
away, and runs as an unprivileged user where the tests run as root, which it would refuse.
"""

import os
import pwd
import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path
from urllib.parse import quote

import pytest

TESTS = Path(__file__).parent
# whatever writes; pages that only show, and the walk of all addresses, ask nothing else of it
PARTS = (
    "store",
    "people",
    "working/test_rounds.py",
    *(
        f"views/test_{part}.py"
        for part in ("about", "archive", "care", "diary", "files", "settings", "setup", "sharing")
    ),
)


def binary(name):
    """Return a program of PostgreSQL, on the path or where Debian keeps it."""
    found = shutil.which(name)
    if found is None:
        places = sorted(Path("/usr/lib/postgresql").glob(f"*/bin/{name}"))
        if not places:
            missing = f"{name} is not there; on Debian: apt-get install postgresql"
            if os.environ.get("LEAFGILL_TESTS_NEED_ALL"):
                pytest.fail(missing)
            pytest.skip(missing)
        found = str(places[-1])
    return found


def unprivileged():
    """Return what makes a process run as somebody else where this one is root's."""
    if os.getuid() != 0:
        return {}
    names = {entry.pw_name: entry for entry in pwd.getpwall()}
    who = names.get("postgres") or names["nobody"]
    return {"user": who.pw_uid, "group": who.pw_gid, "extra_groups": []}


@pytest.fixture(scope="module")
def server():
    """Return the URL of a database server that is there while these tests run."""
    # not below pytest's own folder, which only its user may enter
    folder = Path(tempfile.mkdtemp(prefix="leafgill-pg-"))
    who = unprivileged()
    if who:
        os.chown(folder, who["user"], who["group"])
    data = folder / "data"

    def run(*words):
        done = subprocess.run(words, check=False, cwd=folder, capture_output=True, text=True, **who)
        assert done.returncode == 0, done.stdout + done.stderr

    try:
        run(binary("initdb"), "-D", data, "-U", "leafgill", "-A", "trust", "-E", "UTF8", "-N",
            "--locale", "C")  # fmt: skip
        run(binary("pg_ctl"), "-D", data, "-w", "-l", folder / "log", "-o",
            f"-k {folder} -c listen_addresses='' -c fsync=off", "start")  # fmt: skip
        yield f"postgresql://leafgill@{quote(str(folder), safe='')}/postgres"
    finally:
        if (data / "postmaster.pid").exists():
            run(binary("pg_ctl"), "-D", data, "-m", "immediate", "-w", "stop")
        shutil.rmtree(folder, ignore_errors=True)


def test_store_and_views_do_the_same_on_postgresql(server, tmp_path):
    seen = tmp_path / "seen"
    words = [sys.executable, "-m", "pytest", "-n", "0", "-p", "no:cacheprovider"]
    words += [str(TESTS / part) for part in PARTS]
    env = {**os.environ, "LEAFGILL_DATABASE_URL": server, "LEAFGILL_SEEN_VENDOR": str(seen)}
    env.pop("PYTEST_XDIST_WORKER", None)
    done = subprocess.run(
        words, check=False, cwd=TESTS.parents[1], capture_output=True, text=True, env=env
    )
    told = "\n".join((done.stdout + done.stderr).splitlines()[-60:])
    assert done.returncode == 0, told
    (passed,) = re.findall(r"^(\d+) passed", told, re.MULTILINE)
    assert int(passed) > 100, told
    assert seen.read_text() == "postgresql"
