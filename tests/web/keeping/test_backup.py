"""Backups of SQLite by the real commands: made, read back, brought back, and what can go wrong."""

import hashlib
import json
import resource
import shutil
import sqlite3
import stat
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from leafgill.errors import InputError
from leafgill.web.keeping.backup_format import told_by_name
from leafgill.web.keeping.reading_back import read_back

PROGRAM = (sys.executable, "-c", "from leafgill.cli import main; main()")
TABLES = ("web_keeper", "web_tankrow", "web_specrow", "web_entryrow", "web_sensorrow",
          "web_readingrow", "web_share", "django_migrations")  # fmt: skip


def made(app, *words):
    return Path(app.said("backup", *words)[0])


def test_a_backup_says_what_is_in_it_and_is_its_users_alone(filled):
    place, contents = filled.said("backup")
    path = Path(place)
    assert path.parent == filled.home / "backups"
    assert told_by_name(path.name)[1] == "by-hand"
    entries, readings = (len(filled.rows(t)) for t in ("web_entryrow", "web_readingrow"))
    assert contents.startswith(f"2 keepers, 2 tanks, {entries} entries, {readings} readings; ")
    assert contents.endswith("read back, all is there.")
    assert readings > 1_000
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert stat.S_IMODE(path.parent.stat().st_mode) == 0o700
    assert list(path.parent.iterdir()) == [path]


def test_it_holds_a_database_that_any_sqlite_opens(filled, tmp_path):
    with zipfile.ZipFile(made(filled)) as opened:
        assert set(opened.namelist()) == {"manifest.json", "leafgill.db", "files/secret-key"}
        opened.extract("leafgill.db", tmp_path / "out")
        assert opened.read("files/secret-key") == (filled.home / "secret-key").read_bytes()
    copy = sqlite3.connect(tmp_path / "out" / "leafgill.db")
    for table in TABLES:
        rows = sorted(copy.execute(f"SELECT * FROM {table}").fetchall(), key=repr)
        assert rows == filled.rows(table)
        assert rows
    assert copy.execute("PRAGMA journal_mode").fetchone() == ("delete",)
    copy.close()


def test_it_comes_back_on_another_machine(filled, empty, tmp_path):
    path = made(filled, tmp_path)
    told = empty.said("restore", path)
    assert told[0].startswith("Back as of 20")
    assert "2 keepers, 2 tanks" in told[0]
    assert len(told) == 1
    for table in TABLES:
        assert empty.rows(table) == filled.rows(table)
    for app in (filled, empty):
        assert stat.S_IMODE((app.home / "secret-key").stat().st_mode) == 0o600
    assert (empty.home / "secret-key").read_bytes() == (filled.home / "secret-key").read_bytes()
    assert empty.said("keeper", "list") == filled.said("keeper", "list")
    assert [p.name for p in empty.home.iterdir() if "bringing" in p.name] == []


def test_what_was_written_after_it_is_set_aside_and_not_lost(filled):
    path = made(filled)
    filled.said("keeper", "rename", "anna", "berta")
    told = filled.said("restore", path)
    assert told[1].startswith("What was there before lies in ")
    aside = Path(told[1].removeprefix("What was there before lies in ").removesuffix("."))
    assert [row[2:4] for row in filled.rows("web_keeper")] != []
    assert "anna" in str(filled.said("keeper", "list"))
    before = sqlite3.connect(aside / "leafgill.db")
    assert {name for (name,) in before.execute("SELECT username FROM web_keeper")} >= {"berta"}
    before.close()


def test_the_log_of_what_was_there_is_never_taken_for_the_one_that_came_back(filled):
    path = made(filled)
    writing = sqlite3.connect(filled.database)
    writing.execute("PRAGMA journal_mode=WAL")
    writing.execute("DELETE FROM web_entryrow")
    writing.commit()
    # as a loss of power leaves it: the log beside the file, with what was written last
    wal = filled.home / "leafgill.db-wal"
    assert wal.stat().st_size > 0
    left = shutil.copyfile(wal, filled.home / "copy")
    writing.close()
    shutil.move(left, wal)
    filled.said("restore", path)
    assert len(filled.rows("web_entryrow")) > 100


def test_what_is_there_stays_when_a_backup_is_damaged(filled, tmp_path):
    path = made(filled, tmp_path)
    data = bytearray(path.read_bytes())
    data[len(data) // 2] ^= 0xFF
    bad = tmp_path / "bad.zip"
    bad.write_bytes(data)
    before = filled.rows("web_entryrow")
    for words in (("backup", "--check", bad), ("restore", bad)):
        assert filled.refused(*words).startswith("leafgill: bad.zip: leafgill.db is damaged")
    assert filled.rows("web_entryrow") == before
    assert not list(filled.home.glob("before-restore*"))
    assert not list(filled.home.glob("*.bringing-back"))


def rewritten(path, out, **changes):
    """Write a backup again with members changed by functions of their bytes."""
    with zipfile.ZipFile(path) as old, zipfile.ZipFile(out, "w") as new:
        for name in old.namelist():
            key = name.replace("/", "_").replace(".", "_").replace("-", "_")
            data = changes.get(key, lambda data: data)(old.read(name))
            if data is not None:
                new.writestr(name, data)
    return out


def manifest(**changes):
    return lambda data: json.dumps(json.loads(data) | changes)


def fewer_rows(data):
    told = json.loads(data)
    told["tables"][3]["rows"] += 1
    return json.dumps(told)


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"manifest_json": lambda _: None}, "is no backup of this program"),
        ({"manifest_json": lambda _: b"{"}, "manifest.json cannot be read"),
        ({"manifest_json": lambda _: b"[]"}, "is no backup of this program"),
        ({"manifest_json": manifest(format="leafgill archive!")}, "is no backup of this program"),
        ({"manifest_json": manifest(version=2)}, "is of version 2; this program reads 1"),
        ({"manifest_json": manifest(made_at="soon")}, "what cannot be read"),
        ({"manifest_json": manifest(database="dBase")}, 'is of the database "dBase"'),
        ({"manifest_json": manifest(members=[])}, "lacks leafgill.db"),
        ({"manifest_json": manifest(members=[{"name": "../x", "bytes": 1, "sha256": ""}])},
         'lists "../x", which belongs to none'),
        ({"manifest_json": fewer_rows}, "not the rows that were counted"),
        ({"leafgill_db": lambda _: None}, "lacks leafgill.db"),
        ({"leafgill_db": lambda data: data[:-1]}, "leafgill.db is not what was written"),
        ({"leafgill_db": lambda data: data + b"x"}, "leafgill.db is not what was written"),
        ({"files_secret_key": lambda data: data[::-1]}, "files/secret-key is not what was"),
    ],
)  # fmt: skip
def test_what_is_no_sound_backup_is_told(a_backup, tmp_path, changes, says):
    bad = rewritten(a_backup, tmp_path / "bad.zip", **changes)
    with pytest.raises(InputError) as told:
        read_back(bad)
    assert str(told.value).startswith("bad.zip: ")
    assert says in str(told.value)
    assert list(tmp_path.iterdir()) == [bad]


def test_one_that_was_only_packed_anew_is_as_good(a_backup, tmp_path):
    assert read_back(rewritten(a_backup, tmp_path / "anew.zip")) == read_back(a_backup)


def test_a_database_that_is_broken_within_is_told_though_its_hash_fits(a_backup, tmp_path):
    with zipfile.ZipFile(a_backup) as opened:
        data = bytearray(opened.read("leafgill.db"))
    for at in range(20 * 4096, len(data) - 4096, 4096):
        data[at : at + 64] = bytes(64)

    def listed(told):
        plain = json.loads(told)
        for member in plain["members"]:
            if member["name"] == "leafgill.db":
                member["sha256"] = hashlib.sha256(data).hexdigest()
        return json.dumps(plain)

    bad = rewritten(
        a_backup, tmp_path / "bad.zip", leafgill_db=lambda _: bytes(data), manifest_json=listed
    )
    with pytest.raises(InputError, match=r"bad\.zip: the database"):
        read_back(bad)


def test_of_a_newer_program_it_is_refused(a_backup, empty, tmp_path):
    newer = manifest(program="9.0", migrations=[["web", "0999_later"]])
    later = rewritten(a_backup, tmp_path / "later.zip", manifest_json=newer)
    line = empty.refused("restore", later)
    assert 'is of a newer Leaf & Gill (9.0) than this one ("0999_later" is not known' in line


def test_of_another_kind_of_database_it_is_refused(a_backup, empty):
    line = empty.refused("restore", a_backup, LEAFGILL_DATABASE_URL="postgresql://a@127.0.0.1:1/b")
    assert "is of a SQLite database; unset LEAFGILL_DATABASE_URL" in line


def test_files_that_are_none_are_told(empty, tmp_path):
    (tmp_path / "text.zip").write_text("no zip at all")
    assert "is no zip file" in empty.refused("restore", tmp_path / "text.zip")
    assert "is not there" in empty.refused("backup", "--check", tmp_path / "none.zip")
    assert "leave out PLACE" in empty.refused("backup", tmp_path, "--check", tmp_path / "a.zip")
    assert not empty.database.exists()


def test_nothing_is_written_over(filled, tmp_path):
    path = made(filled, tmp_path / "mine.zip")
    size = path.stat().st_size
    assert "is there already" in filled.refused("backup", path)
    assert path.stat().st_size == size


def test_where_there_is_no_room_it_says_so_and_leaves_nothing(filled, tmp_path):
    """The limit on a file's size stands for a disk that is full: both end in a failed write."""
    out = tmp_path / "out"
    out.mkdir()
    done = subprocess.run(
        [*PROGRAM, "backup", str(out)],
        check=False,
        env=filled.env,
        capture_output=True,
        text=True,
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (150_000, 150_000)),
    )
    assert done.returncode == 2
    (line,) = done.stderr.splitlines()
    assert line.startswith(f"leafgill: no backup could be made at {out}")
    assert line.endswith("nothing is left of it")
    assert list(out.iterdir()) == []
    assert len(filled.rows("web_tankrow")) == 2
    filled.said("backup", out)


def test_a_folder_of_its_own_may_be_named(filled, tmp_path):
    elsewhere = tmp_path / "stick"
    path = Path(filled.said("backup", LEAFGILL_BACKUPS=str(elsewhere))[0])
    assert path.parent == elsewhere
    assert not (filled.home / "backups").exists()


def test_it_is_whole_while_others_write(filled, tmp_path):
    """A writer adds an entry and its mirror in one transaction; no backup has one without other."""
    stop = tmp_path / "stop"
    writer = f"""
import sqlite3, pathlib
db = sqlite3.connect({str(filled.database)!r}, timeout=30, isolation_level=None)
db.execute("CREATE TABLE one (n integer)"); db.execute("CREATE TABLE two (n integer)")
print("writing", flush=True)
n = 0
while not pathlib.Path({str(stop)!r}).exists():
    n += 1
    db.execute("BEGIN IMMEDIATE")
    db.execute("INSERT INTO one VALUES (?)", [n])
    db.execute("INSERT INTO two VALUES (?)", [n])
    db.execute("COMMIT")
"""
    filled.said("keeper", "list")
    process = subprocess.Popen([sys.executable, "-c", writer], stdout=subprocess.PIPE, text=True)
    try:
        assert process.stdout.readline() == "writing\n"
        counts = []
        for number in range(3):
            path = made(filled, tmp_path / f"{number}.zip")
            with zipfile.ZipFile(path) as opened:
                told = json.loads(opened.read("manifest.json"))
            rows = {table["name"]: table["rows"] for table in told["tables"]}
            counts.append((rows["one"], rows["two"]))
    finally:
        stop.touch()
        assert process.wait(60.0) == 0
        process.stdout.close()
    assert all(one == two for one, two in counts)
    assert 0 < counts[0][0] < counts[1][0] < counts[2][0]


def test_before_a_new_form_there_is_a_backup_or_no_new_form(filled):
    opened = sqlite3.connect(filled.database)
    opened.execute("DELETE FROM django_migrations WHERE app = 'axes' AND name LIKE '0010%'")
    opened.commit()
    opened.close()
    blocked = filled.home / "backups"
    blocked.write_text("a file in the way")
    line = filled.refused("keeper", "list")
    assert line.startswith("leafgill: the database is to get a new form, and before that no backup")
