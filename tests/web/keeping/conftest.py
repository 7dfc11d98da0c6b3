"""Commands run as processes of their own, and a data folder with two tanks in it."""

import os
import shutil
import sqlite3
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

import pytest

COMMAND = (sys.executable, "-c", "from leafgill.cli import main; main()")
FILL = """
from leafgill.web.set_up import set_up
set_up()
from leafgill.web import demo
from leafgill.web.store import logins
demo.fill()
logins.make("anna", "a long password")
"""


def environment(**more):
    """Return the environment without anything that would steer the app."""
    kept = {k: v for k, v in os.environ.items() if not k.startswith(("LEAFGILL_", "DJANGO_"))}
    return {**kept, **more}


@dataclass
class App:
    """An app that lies in a folder: its commands, its database."""

    env: dict[str, str]

    @property
    def home(self):
        return Path(self.env["LEAFGILL_HOME"])

    @property
    def database(self):
        return self.home / "leafgill.db"

    def run(self, *words, **more):
        """Run a command; return what came of it."""
        return subprocess.run(
            [*COMMAND, *(str(word) for word in words)],
            check=False,
            env={**self.env, **more},
            capture_output=True,
            text=True,
        )

    def said(self, *words, **more):
        """Run a command that does well; return its lines."""
        done = self.run(*words, **more)
        assert (done.returncode, done.stderr) == (0, "")
        return done.stdout.splitlines()

    def refused(self, *words, **more):
        """Run a command that refuses; return its one line."""
        done = self.run(*words, **more)
        assert (done.returncode, done.stdout) == (2, ""), done.stdout + done.stderr
        (line,) = done.stderr.splitlines()
        return line

    def python(self, program):
        """Run a program on the app's data."""
        done = subprocess.run(
            [sys.executable, "-c", program],
            check=False,
            env=self.env,
            capture_output=True,
            text=True,
        )
        assert done.returncode == 0, done.stderr
        return done.stdout

    def rows(self, table):
        """Return every row of a table of SQLite, in order."""
        opened = sqlite3.connect(self.database)
        try:
            return sorted(opened.execute(f"SELECT * FROM {table}").fetchall(), key=repr)
        finally:
            opened.close()


def app_at(folder, **more):
    env = environment(LEAFGILL_HOME=str(folder / "home"), LEAFGILL_LOG=str(folder / "log"), **more)
    return App(env)


@pytest.fixture(scope="session")
def _filled(tmp_path_factory):
    made = app_at(tmp_path_factory.mktemp("filled"), LEAFGILL_NOW="2025-03-08T12:10+00:00")
    made.python(FILL)
    return made


@pytest.fixture(scope="session")
def a_backup(_filled, tmp_path_factory):
    """Give a backup of it."""
    folder = tmp_path_factory.mktemp("backup")
    return Path(_filled.said("backup", folder)[0])


@pytest.fixture
def filled(_filled, tmp_path):
    """Give an app of its own with two tanks and two keepers."""
    made = app_at(tmp_path)
    shutil.copytree(_filled.home, made.home)
    return made


@pytest.fixture(scope="session")
def _filled_url(postgres, tmp_path_factory):
    url = postgres.new_database()
    folder = tmp_path_factory.mktemp("filled-pg")
    more = {"LEAFGILL_DATABASE_URL": url, "LEAFGILL_NOW": "2025-03-08T12:10+00:00"}
    app_at(folder, **more).python(FILL)
    return url


@pytest.fixture
def on_postgresql(request, postgres, tmp_path):
    """Return a function that gives an app of its own on a new database of a real server."""

    def make(name, *, fill=False):
        like = {"like": request.getfixturevalue("_filled_url")} if fill else {}
        return app_at(tmp_path / name, LEAFGILL_DATABASE_URL=postgres.new_database(**like))

    return make


@pytest.fixture
def app_in(tmp_path):
    """Return a function that gives an app that was never started."""
    return lambda name: app_at(tmp_path / name)


@pytest.fixture
def empty(app_in):
    """Give an app that was never started."""
    return app_in("other")
