"""From every schema there ever was to the newest: each row of every table is still what it was.

Each step is a process of its own, as an upgrade is; the rows are made by the schema's own models.
"""

import json
import os
import re
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest

from leafgill.web import migrations

STEP = Path(__file__).with_name("upgrading.py")
SCHEMAS = sorted(
    path.stem
    for path in Path(next(iter(migrations.__path__))).glob("*.py")
    if re.match(r"\d{4}_", path.stem)
)


def step(*words, **env):
    """Run a step; return what it prints."""
    kept = {k: v for k, v in os.environ.items() if not k.startswith(("LEAFGILL_", "DJANGO_"))}
    done = subprocess.run(
        [sys.executable, str(STEP), *words],
        check=False,
        env={**kept, **env},
        capture_output=True,
        text=True,
    )
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def lost(before, after):
    """Return what of some tables' rows is not in the others; columns may have been added."""
    missing = []
    for name, rows in before.items():
        left = list(after.get(name, []))
        for row in rows:
            same = next((r for r in left if all(r.get(k) == v for k, v in row.items())), None)
            if same is None:
                missing.append((name, row))
            else:
                left.remove(same)
    return missing


@pytest.mark.parametrize("schema", SCHEMAS)
def test_nothing_is_lost_on_the_way_up(tmp_path, schema):
    home = str(tmp_path / "home")
    before = step("fill", schema, LEAFGILL_HOME=home)
    assert all(len(rows) == 3 for rows in before.values()), {k: len(v) for k, v in before.items()}
    assert len(before) >= 11
    after = step("upgrade", LEAFGILL_HOME=home)
    assert lost(before, after) == []
    assert set(before) <= set(after)
    with sqlite3.connect(Path(home) / "leafgill.db") as opened:
        assert opened.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        assert opened.execute("PRAGMA foreign_key_check").fetchall() == []
        ours = "SELECT name FROM django_migrations WHERE app = 'web' ORDER BY name"
        assert [name for (name,) in opened.execute(ours)] == SCHEMAS
    opened.close()
    made = [path.name for path in (Path(home) / "backups").glob("*.zip")]
    newest = schema == SCHEMAS[-1]
    assert [name.endswith("-before-upgrade.zip") for name in made] == ([] if newest else [True])


def test_what_is_missing_is_seen():
    rows = {"web_a": [{"id": 1, "x": "a"}, {"id": 2, "x": "a"}]}
    assert (
        lost(rows, {"web_a": [{"id": 1, "x": "a", "new": 0}, {"id": 2, "x": "a", "new": 0}]}) == []
    )
    assert lost(rows, {"web_a": [{"id": 1, "x": "a"}]}) == [("web_a", {"id": 2, "x": "a"})]
    assert lost(rows, {"web_a": [{"id": 1, "x": "a"}, {"id": 2, "x": "b"}]}) != []
    assert len(lost(rows, {})) == 2


@pytest.mark.parametrize("schema", SCHEMAS)
def test_nothing_is_lost_on_the_way_up_on_postgresql(tmp_path, postgres, schema):
    env = {
        "LEAFGILL_HOME": str(tmp_path / "home"),
        "LEAFGILL_DATABASE_URL": postgres.new_database(),
    }
    before = step("fill", schema, **env)
    assert len(before) >= 11
    assert lost(before, step("upgrade", **env)) == []
    made = [path.name for path in (tmp_path / "home" / "backups").glob("*.zip")]
    assert len(made) == (0 if schema == SCHEMAS[-1] else 1)


def test_a_backup_of_an_older_form_comes_back_on_postgresql(on_postgresql, tmp_path):
    older, newer = on_postgresql("older"), on_postgresql("newer")
    before = step("fill", SCHEMAS[0], **older.env)
    program = (
        "from leafgill.web.set_up import start_django; start_django()\n"
        "from datetime import datetime, UTC; from pathlib import Path\n"
        "from leafgill.web.keeping.backing_up import back_up\n"
        f"print(back_up(datetime.now(UTC), 'by-hand', Path({str(tmp_path)!r})).path)"
    )
    place = older.python(program).strip()
    newer.said("restore", place)
    assert lost(before, step("upgrade", **newer.env)) == []


def test_a_backup_of_an_older_form_comes_back_and_is_brought_up(app_in, tmp_path):
    older, newer = app_in("older"), app_in("newer")
    before = step("fill", SCHEMAS[0], **older.env)
    step("upgrade", **older.env)
    (place,) = (older.home / "backups").glob("*-before-upgrade.zip")
    newer.said("restore", place)
    assert lost(before, step("upgrade", **newer.env)) == []
