"""The app's tests: which database they really ran on, and nothing of it in the keeper's folder."""

import os
import pwd
import shutil
import subprocess
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import quote

import pytest


@pytest.fixture(autouse=True)
def _data_folder(monkeypatch, tmp_path):
    monkeypatch.setenv("LEAFGILL_HOME", str(tmp_path))


@pytest.fixture(autouse=True)
def _quick_passwords(settings):
    # a good hash takes half a second, and every test makes four keepers
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]


@pytest.fixture(scope="session", autouse=True)
def _seen_vendor():
    """Write down the database's kind for whoever started these tests on another one."""
    seen = os.environ.get("LEAFGILL_SEEN_VENDOR")
    if seen:
        from django.db import connection

        Path(seen).write_text(connection.vendor)


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


@dataclass
class Postgres:
    """A database server that is there while the tests run; `url` is that of a database in it."""

    url: str
    run: Callable[..., str]
    made: int = 0

    def new_database(self, like="template1"):
        """Return the URL of a database that is empty, or a copy of another by its URL."""
        self.made += 1
        name, model = f"made_{self.made}", like.rsplit("/", 1)[-1]
        self.run(binary("psql"), self.url, "-c", f"CREATE DATABASE {name} TEMPLATE {model}")
        return self.url.removesuffix("/postgres") + f"/{name}"


@pytest.fixture(scope="session")
def postgres():
    """Start a PostgreSQL server of the tests' own.

    It comes from the machine's own package, listens on a socket in a folder that is thrown away,
    and runs as an unprivileged user where the tests run as root, which it would refuse.
    """
    # not below pytest's own folder, which only its user may enter
    folder = Path(tempfile.mkdtemp(prefix="leafgill-pg-"))
    who = unprivileged()
    if who:
        os.chown(folder, who["user"], who["group"])
    data = folder / "data"

    def run(*words):
        done = subprocess.run(words, check=False, cwd=folder, capture_output=True, text=True, **who)
        assert done.returncode == 0, done.stdout + done.stderr
        return done.stdout

    try:
        run(binary("initdb"), "-D", data, "-U", "leafgill", "-A", "trust", "-E", "UTF8", "-N",
            "--locale", "C")  # fmt: skip
        run(binary("pg_ctl"), "-D", data, "-w", "-l", folder / "log", "-o",
            f"-k {folder} -c listen_addresses='' -c fsync=off", "start")  # fmt: skip
        yield Postgres(f"postgresql://leafgill@{quote(str(folder), safe='')}/postgres", run)
    finally:
        if (data / "postmaster.pid").exists():
            run(binary("pg_ctl"), "-D", data, "-m", "immediate", "-w", "stop")
        shutil.rmtree(folder, ignore_errors=True)
